"""The job's labels: one for every part, in the order in which the parts lie on their sheets."""

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from cncpanel.drawing.label_stock import LABEL_SHEETS
from cncpanel.drawing.part_sticker import Sticker, label_pages
from cncpanel.errors import Place, Problem, ProblemsFound
from cncpanel.job.model import Job
from cncpanel.job.paper import LabelStock
from cncpanel.job.read import ReadJob
from cncpanel.layout.layout import Part
from cncpanel.layout.saw.plan import SawnPart, SawPlan
from cncpanel.make.flow import Made, Prepared
from cncpanel.make.named import panel_named
from cncpanel.make.stem import panel_stem
from cncpanel.output.pdf_drawing import drawing_pdf
from cncpanel.output.pdf_qr import qr_modules
from cncpanel.panel.panel import Panel


def labels_pdf(made: Made | Prepared) -> bytes:
    """The sheets of labels, full size."""
    return _pdf(made.read, list(stickers(made)), label_stock(made.read.job))


@dataclass(frozen=True, slots=True)
class LabelChoice:
    """One panel by its name or all, the sheet of labels by its name or the job's, labels gone from the first sheet."""

    panel: str | None = None
    stock: str | None = None
    skip: int = 0


def labels_out(made: Prepared, out: Path, choice: LabelChoice) -> dict[Path, bytes]:
    """All parts' labels, or one panel's, as that file; raises ProblemsFound with all that cannot be."""
    stock, index = _chosen(made.read, made.panels, out, choice)
    return {out: _pdf(made.read, list(stickers(made, index)), stock, choice.skip)}


def saw_labels_out(
    read: ReadJob, panels: tuple[Panel, ...], plan: SawPlan, out: Path, choice: LabelChoice
) -> dict[Path, bytes]:
    """As `labels_out`, of a job for the saw only."""
    stock, index = _chosen(read, panels, out, choice)
    return {out: _pdf(read, list(saw_stickers(read, panels, plan, index)), stock, choice.skip)}


def _chosen(read: ReadJob, panels: tuple[Panel, ...], out: Path, choice: LabelChoice) -> tuple[LabelStock, int | None]:
    """The sheet of labels, and the panel's number where one is named."""
    found: list[Problem] = []
    chosen = next((known for known in LABEL_SHEETS if known == choice.stock), label_stock(read.job))
    if out.suffix.lower() != ".pdf":
        found.append(Problem(Place(str(out)), "no labels are of this kind", ".pdf"))
    if choice.stock not in (None, chosen):
        found.append(Problem(Place("--sheet"), f'"{choice.stock}" is not known', ", ".join(LABEL_SHEETS)))
    count = len(list(LABEL_SHEETS[chosen].boxes()))
    if choice.skip >= count:
        found.append(Problem(Place("--skip"), f"a sheet has {count} labels", f"0 to {count - 1}"))
    if found:
        raise ProblemsFound(found)
    return chosen, None if choice.panel is None else panel_named(choice.panel, panels, read.file.path).index


def _pdf(read: ReadJob, chosen: list[Sticker], stock: LabelStock, skip: int = 0) -> bytes:
    head = read.job.job
    return drawing_pdf(label_pages(chosen, LABEL_SHEETS[stock], skip), f"Labels {head.name}, revision {head.revision}")


def label_stock(job: Job) -> LabelStock:
    """As the job says; else what is common with its paper."""
    return job.settings.labels or ("Letter 3x10" if job.job.units == "inch" else "A4 3x8")


def stickers(made: Made | Prepared, index: int | None = None) -> Iterator[Sticker]:
    """All parts' labels, or those of one panel."""
    panels = {panel.index: panel for panel in made.panels}
    for sheet in made.layout.sheets:
        for number, part in enumerate(sheet.parts, start=1):
            if index in (None, part.panel):
                yield _sticker(made.read, part, panels[part.panel], f"Sheet {sheet.number}, part {number}")


def saw_labels_pdf(read: ReadJob, panels: tuple[Panel, ...], plan: SawPlan) -> bytes:
    """The labels of a job for the saw, in the order in which its parts are sawn."""
    return _pdf(read, list(saw_stickers(read, panels, plan)), label_stock(read.job))


def saw_stickers(
    read: ReadJob, panels: tuple[Panel, ...], plan: SawPlan, index: int | None = None
) -> Iterator[Sticker]:
    """All sawn parts' labels, or those of one panel, in the order in which they are sawn."""
    by_index = {panel.index: panel for panel in panels}
    for sheet in plan.sheets:
        for part in sheet.parts:
            if index in (None, part.panel):
                yield _sticker(read, part, by_index[part.panel], f"Saw sheet {sheet.number}, {part.piece}")


def _sticker(read: ReadJob, part: Part | SawnPart, panel: Panel, where: str) -> Sticker:
    head, part_id = read.head_of(panel.index), panel_stem(panel, mirrored_copy=part.mirrored_copy)
    return Sticker(
        part_id=part_id,
        code=qr_modules(part_id),
        name=part.label,
        job=", ".join(text for text in (f"Revision {head.revision}", head.name, head.date) if text),
        face=panel.face,
        edges=f"Edges: {panel.edge_words or 'square'}",
        where=where,
    )
