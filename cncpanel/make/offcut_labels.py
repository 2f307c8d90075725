"""Labels for the pieces that a job's sheets leave for the rack."""

from collections.abc import Iterator, Sequence

from cncpanel.drawing.label_stock import LABEL_SHEETS
from cncpanel.drawing.offcut_sticker import OffcutSticker, offcut_label_pages
from cncpanel.job.model import Stock
from cncpanel.job.read import ReadJob
from cncpanel.layout.saw.plan import SawPlan
from cncpanel.make.flow import Made
from cncpanel.make.labels import label_stock
from cncpanel.make.saw_rack import kept_of
from cncpanel.output.pdf_drawing import drawing_pdf
from cncpanel.output.pdf_qr import qr_modules
from cncpanel.store.offcut import Store


def offcut_labels_pdf(made: Made) -> bytes | None:
    """The sheets of labels; None where no store is kept, or nothing is left."""
    return _pdf(made.read, list(_stickers(made)) if made.rack else [])


def saw_offcut_labels_pdf(read: ReadJob, plan: SawPlan, store: Store | None) -> bytes | None:
    """Of a job for the saw; None where no store is kept, or nothing is left."""
    stickers = [
        _sticker(read, sheet.stock, name, left.size, f"sheet {sheet.number}, {left.piece}")
        for sheet in (plan.sheets if store else ())
        for name, left in kept_of(read, sheet, store).items()
    ]
    return _pdf(read, stickers)


def _pdf(read: ReadJob, stickers: Sequence[OffcutSticker]) -> bytes | None:
    if not stickers:
        return None
    head = read.job.job
    pages = offcut_label_pages(stickers, LABEL_SHEETS[label_stock(read.job)])
    return drawing_pdf(pages, f"Offcut labels {head.name}, revision {head.revision}")


def _stickers(made: Made) -> Iterator[OffcutSticker]:
    for sheet in made.layout.sheets:
        for left in made.left.get(sheet.number, ()):
            yield _sticker(made.read, sheet.stock, left.name, left.size, f"sheet {sheet.number}")


def _sticker(read: ReadJob, stock: Stock, name: str, size: tuple[float, float], where: str) -> OffcutSticker:
    head = read.job.job
    grain = " (grain)" if stock.grain == "long" else ""
    length, width = size if stock.grain == "long" else (max(size), min(size))
    return OffcutSticker(
        name=name,
        code=qr_modules(name),
        lines=(
            f"{length:g}{grain} x {width:g} mm",
            f"{stock.name}, {stock.thickness:g} mm {stock.material}",
            f"{head.name}, revision {head.revision}",
            where,
        ),
    )
