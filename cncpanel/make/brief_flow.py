"""A job file from a client's brief: written only when every check of the cabinet is green."""

import tempfile
from pathlib import Path

from pydantic import ValidationError

from cncpanel.cabinet.brief import Brief, BriefFile, read_brief
from cncpanel.cabinet.finding import Finding
from cncpanel.cabinet.forms.form import job_text, unmet
from cncpanel.cabinet.forms.screen import parts_text
from cncpanel.errors import Place, Problem, ProblemsFound
from cncpanel.errors.toml import TomlFile, problems_from_validation
from cncpanel.make.fit_flow import Judged, judge
from cncpanel.make.new_job import write_all


def parts_file(job: Path) -> str:
    """The name of the shop's catalogue beside the job."""
    return f"{job.stem}_parts.toml"


def write_from_brief(brief_path: Path, job: Path) -> tuple[tuple[Path, ...], Judged]:
    """Write the job that the brief asks for and its catalogue; raises ProblemsFound, and then nothing is written."""
    brief, file = read_brief(brief_path)
    files, judged = from_brief(brief, file, job)
    return write_all(files), judged


def write_asked(wishes: dict[str, object], job: Path) -> tuple[tuple[Path, ...], Judged]:
    """The same from answers at a prompt."""
    file = TomlFile(path=Path("answers"), shown="answers", data={"brief": wishes}, lines={})
    try:
        brief = Brief.model_validate(wishes)
    except ValidationError as error:
        raise ProblemsFound(problems_from_validation(error, file, BriefFile)) from None
    files, judged = from_brief(brief, file, job)
    return write_all(files), judged


def from_brief(brief: Brief, file: TomlFile, job: Path) -> tuple[dict[Path, bytes], Judged]:
    """The files to write and what was found; raises ProblemsFound with every wish that cannot be met."""
    told = [Problem(file.place(("brief", key)), text, allowed) for key, text, allowed in unmet(brief)]
    if told:
        raise ProblemsFound(told)
    parts = parts_file(job)
    files = {job: job_text(brief, parts).encode(), job.with_name(parts): parts_text(brief).encode()}
    judged = _judged(files, job)
    wrong = [finding for finding in judged.findings if finding.verdict == "fails"]
    if wrong:
        raise ProblemsFound(Problem(_wish(finding, file), _cannot(finding)) for finding in wrong)
    return files, judged


def _wish(finding: Finding, file: TomlFile) -> Place:
    """The wish that the check is about, where it is one."""
    brief = file.data.get("brief")
    key = (finding.check,) if isinstance(brief, dict) and finding.check in brief else ()
    return file.place(("brief", *key))


def _cannot(finding: Finding) -> str:
    return f"cannot be met: {finding.check}: {finding.text}"


def _judged(files: dict[Path, bytes], job: Path) -> Judged:
    """What the checks say of the files, before they are anywhere."""
    with tempfile.TemporaryDirectory() as folder:
        for path, content in files.items():
            (Path(folder) / path.name).write_bytes(content)
        return judge(Path(folder) / job.name)
