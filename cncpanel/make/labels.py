"""The job's labels: one for every part, in the order in which the parts lie on their sheets."""

from collections.abc import Iterator

from cncpanel.drawing.label_stock import LABEL_SHEETS
from cncpanel.drawing.part_sticker import Sticker, label_pages
from cncpanel.job.model import Job
from cncpanel.job.paper import LabelStock
from cncpanel.layout.layout import Part, Sheet
from cncpanel.make.flow import Made
from cncpanel.make.stem import panel_stem
from cncpanel.output.pdf_drawing import drawing_pdf
from cncpanel.output.pdf_qr import qr_modules
from cncpanel.panel.panel import Panel


def labels_pdf(made: Made) -> bytes:
    """The sheets of labels, full size."""
    head = made.read.job.job
    pages = label_pages(list(stickers(made)), LABEL_SHEETS[label_stock(made.read.job)])
    return drawing_pdf(pages, f"Labels {head.name}, revision {head.revision}")


def label_stock(job: Job) -> LabelStock:
    """As the job says; else what is common with its paper."""
    return job.settings.labels or ("Letter 3x10" if job.job.units == "inch" else "A4 3x8")


def stickers(made: Made) -> Iterator[Sticker]:
    """All parts' labels."""
    panels = {panel.index: panel for panel in made.panels}
    for sheet in made.layout.sheets:
        for number, part in enumerate(sheet.parts, start=1):
            yield _sticker(made, sheet, number, part, panels[part.panel])


def _sticker(made: Made, sheet: Sheet, number: int, part: Part, panel: Panel) -> Sticker:
    head, part_id = made.read.job.job, panel_stem(panel, mirrored_copy=part.mirrored_copy)
    return Sticker(
        part_id=part_id,
        code=qr_modules(part_id),
        name=part.label,
        job=", ".join(text for text in (head.name, f"revision {head.revision}", head.date) if text),
        face=panel.face,
        edges=f"Edges: {'; '.join(panel.bench)}" if panel.bench else "Edges: square",
        where=f"Sheet {sheet.number}, part {number}",
    )
