"""One panel's paper by its own command: the panel found, the options read, one file or a folder of them written."""

from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path

from pydantic import ValidationError

from cncpanel.cabinet.derive import read_cabinet
from cncpanel.drawing.ahead import ahead_regions
from cncpanel.drawing.paper import PaperSize
from cncpanel.errors import Gathering, Place, Problem, ProblemsFound
from cncpanel.errors.validation import split_allowed
from cncpanel.job.model import Face, TemplateSettings
from cncpanel.job.read import ReadJob
from cncpanel.job.values import Values
from cncpanel.make.artwork import artwork_files
from cncpanel.make.named import panel_named
from cncpanel.make.one_file import write
from cncpanel.make.paper_set import drawing_document
from cncpanel.make.stem import panel_stem
from cncpanel.make.templates import cut_ahead, one_template, template_files
from cncpanel.make.unprintable import tell_unprintable
from cncpanel.output.pdf import pdf
from cncpanel.panel.panel import Panel
from cncpanel.panel.resolve import resolve
from cncpanel.units import DimensionUnit


def one_panel(
    job: Path, name: str, gathering: Gathering, dimensions: DimensionUnit | None = None
) -> tuple[ReadJob, Panel]:
    """The job, with `dimensions` in place of its own, and its panel of that name; raises ProblemsFound."""
    read = read_cabinet(job, gathering).read
    if dimensions is not None:
        settings = read.job.settings.model_copy(update={"dimensions": dimensions})
        read = replace(read, job=read.job.model_copy(update={"settings": settings}))
    panels = resolve(read, gathering)
    gathering.stop_if_any()
    tell_unprintable(read.file, gathering)
    return read, panel_named(name, panels, job)


def with_options(read: ReadJob, options: Mapping[str, object]) -> TemplateSettings:
    """The job's template settings with the options given in their place, lengths as the job writes them.

    Raises ProblemsFound with every option that cannot be.
    """
    base = read.job.settings.template
    given = {key: value for key, value in options.items() if value is not None}
    if "correct" in given:
        given["correction"] = [part.strip() for part in str(given.pop("correct")).split(",")]
    try:
        asked = TemplateSettings.model_validate(given, context=Values(read.job.job.units).context)
    except ValidationError as error:
        found = [_problem(details["loc"], details["msg"]) for details in error.errors()]
        raise ProblemsFound(list(dict.fromkeys(found))) from None
    settings = base.model_copy(update={key: getattr(asked, key) for key in given})
    if settings.bush is not None and settings.bit is not None and settings.bush <= settings.bit:
        raise ProblemsFound([Problem(Place("--bush"), "the cutter does not go through the guide bush", "over --bit")])
    return settings


def _problem(where: tuple[int | str, ...], message: str) -> Problem:
    name = str(where[0]) if where else "bush"
    if name == "correction":
        allowed = "true length over printed length across and along, each 0.95 to 1.05: 1.005,1"
        return Problem(Place("--correct"), "not two corrections that a printer may need", allowed)
    return Problem(Place(f"--{name}"), *split_allowed(message.removeprefix("Value error, ")))


def template_out(
    read: ReadJob,
    panel: Panel,
    settings: TemplateSettings,
    out: Path,
    *,
    face: Face,
    mirrored_copy: bool,
    roll: bool,
    r12: bool,
) -> dict[Path, bytes]:
    """Every template file into the folder `out`, or the one that its ending names; raises ProblemsFound."""
    kinds = {".pdf": "roll" if roll else "tiles", ".svg": "svg", ".dxf": "r12" if r12 else "dxf"}
    kind = kinds.get(out.suffix.lower())
    if out.suffix and kind is None:
        raise ProblemsFound(
            [Problem(Place(str(out)), "no template is of this kind", f"{', '.join(kinds)}, or a folder")]
        )
    _tell_nothing_left(panel, settings)
    try:
        if kind is None:
            return {out / name: content for name, content in template_files(read, panel, settings, face).items()}
        return {out: one_template(read, panel, settings, face, mirrored_copy=mirrored_copy, kind=kind)}
    except ValueError as error:
        raise ProblemsFound([Problem(Place("--overlap"), *split_allowed(str(error)))]) from None


def _tell_nothing_left(panel: Panel, settings: TemplateSettings) -> None:
    """A template for a guide bush that is wider than the panel has no line."""
    ahead = cut_ahead(settings)
    if ahead is not None and not ahead_regions(panel, ahead):
        text = f'nothing of panel "{panel.name}" is left so far inside its edge'
        raise ProblemsFound([Problem(Place("--bush"), text, "a smaller guide bush, or a larger bit")])


def artwork_out(read: ReadJob, panel: Panel, out: Path) -> dict[Path, bytes]:
    """Every artwork file into the folder `out`, or the one that its ending names.

    Raises ProblemsFound where the panel has no artwork, or no file or more than one is of the kind.
    """
    files = artwork_files(read, panel)
    if not files:
        raise ProblemsFound([Problem(panel.place, f'panel "{panel.name}" has no artwork', "a table panel.artwork")])
    if not out.suffix:
        return {out / name: content for name, content in files.items()}
    kinds = [name for name in files if name.endswith(out.suffix.lower())]
    if len(kinds) != 1:
        text = "several files are of this kind" if kinds else "no file is of this kind"
        raise ProblemsFound([Problem(Place(str(out)), f"{text}: {', '.join(kinds or files)}", "a folder")])
    return {out: files[kinds[0]]}


def drawing_out(read: ReadJob, panel: Panel, out: Path, paper: PaperSize | None) -> dict[Path, bytes]:
    """The panel's drawing into the folder `out`, or as that file; raises ProblemsFound where it is no PDF."""
    if out.suffix and out.suffix.lower() != ".pdf":
        raise ProblemsFound([Problem(Place(str(out)), "no drawing is of this kind", ".pdf, or a folder")])
    path = out if out.suffix else out / f"{panel_stem(panel)}-drawing.pdf"
    return {path: pdf(drawing_document(read, panel, paper))}


def write_each(files: Mapping[Path, bytes]) -> None:
    """Each file put in place whole; raises ProblemsFound where one cannot be."""
    for path, content in files.items():
        try:
            path.parent.mkdir(parents=True, exist_ok=True)
        except OSError as error:
            problem = Problem(Place(str(path)), f"cannot be written: {error.strerror}", "another --out")
            raise ProblemsFound([problem]) from None
        write(path, content, "another --out")
