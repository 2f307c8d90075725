"""Labels for the pieces that a job's sheets leave for the rack."""

from collections.abc import Iterator

from cncpanel.drawing.label_stock import LABEL_SHEETS
from cncpanel.drawing.offcut_sticker import OffcutSticker, offcut_label_pages
from cncpanel.make.flow import Made
from cncpanel.make.labels import label_stock
from cncpanel.output.pdf_drawing import drawing_pdf
from cncpanel.output.pdf_qr import qr_modules


def offcut_labels_pdf(made: Made) -> bytes | None:
    """The sheets of labels; None where no store is kept, or nothing is left."""
    stickers = list(_stickers(made)) if made.rack else []
    if not stickers:
        return None
    head = made.read.job.job
    pages = offcut_label_pages(stickers, LABEL_SHEETS[label_stock(made.read.job)])
    return drawing_pdf(pages, f"Offcut labels {head.name}, revision {head.revision}")


def _stickers(made: Made) -> Iterator[OffcutSticker]:
    head = made.read.job.job
    for sheet in made.layout.sheets:
        stock = sheet.stock
        grain = ", grain along the first" if stock.grain == "long" else ""
        for left in made.left.get(sheet.number, ()):
            length, width = left.size if stock.grain == "long" else (max(left.size), min(left.size))
            yield OffcutSticker(
                name=left.name,
                code=qr_modules(left.name),
                lines=(
                    f"{length:g} x {width:g} mm{grain}",
                    f"{stock.name}, {stock.thickness:g} mm {stock.material}",
                    f"{head.name}, revision {head.revision}",
                    f"sheet {sheet.number}",
                ),
            )
