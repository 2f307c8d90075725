"""The example jobs that come with the program, and a copy of one of them to change into one's own."""

from difflib import get_close_matches
from pathlib import Path

from cncpanel.errors import Place, Problem, ProblemsFound

_HERE = Path(__file__).resolve().parent
_FOLDERS = (_HERE.parent.parent / "fixtures" / "jobs", _HERE / "shipped")  # source tree; installed from a wheel


def shipped_examples() -> dict[str, Path]:
    """The example jobs by name, in order of name."""
    for folder in _FOLDERS:
        files = {file.stem: file for file in folder.glob("*.toml")}
        if files:
            return dict(sorted(files.items()))
    return {}


def example_files(name: str, job_name: str) -> dict[str, bytes]:
    """The files of that example, the job itself as `job_name`, its drawings under their own names.

    Raises ProblemsFound: no such example.
    """
    examples = shipped_examples()
    if name not in examples:
        near = get_close_matches(name, examples, n=1)
        question = f"; did you mean {near[0]}?" if near else ""
        text = f'there is no example "{name}"{question}'
        raise ProblemsFound([Problem(Place("--example"), text, ", ".join(examples))])
    job = examples[name]
    drawings = sorted(job.parent.glob("*.dxf"))
    content = job.read_bytes()
    named = [file for file in drawings if file.name.encode() in content]
    return {job_name: content} | {file.name: file.read_bytes() for file in named}
