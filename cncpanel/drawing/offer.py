"""An offer on one page: what is made, what it takes, what it costs, what is still open."""

from collections.abc import Iterator

from cncpanel.cabinet.quote import Line, Quote
from cncpanel.cabinet.rates import Rates
from cncpanel.drawing.paper import Cautions, Document, Heading, Piece, Sentence, Table
from cncpanel.job.model import Job

OPEN = "open"


def offer(job: Job, found: Quote, rates: Rates, size: str) -> Document:
    """The document; `size` says how large the cabinet is, empty where that is not known."""
    head = job.job
    name = f"Offer: {head.name}, revision {head.revision}"
    foot = " | ".join(part for part in (rates.shop, head.name, f"revision {head.revision}", head.date) if part)
    return Document(title=name, foot=foot, pieces=tuple(_pieces(name, job, found, rates, size)))


def _pieces(name: str, job: Job, found: Quote, rates: Rates, size: str) -> Iterator[Piece]:
    yield Heading(name, level=1)
    parts = sum(panel.copies + panel.mirrored for panel in job.panel)
    said = ". ".join(part for part in (rates.shop, job.job.note.rstrip("."), size, f"{parts} parts") if part)
    yield Sentence(f"{said}.")
    yield Table(
        head=("item", "quantity", "unit", f"each, {rates.currency}", f"sum, {rates.currency}"),
        rows=tuple(_row(line) for line in found.lines),
        shares=(6, 1.4, 1.2, 1.7, 1.7),
        right=(3, 4),
    )
    yield Table(
        head=("in all", rates.currency),
        rows=tuple(_sums(found)),
        shares=(10.3, 1.7),
    )
    if found.open_lines:
        names = ", ".join(line.what for line in found.open_lines)
        yield Cautions((f"Not in the sum, for want of a price: {names}.",))
    yield Sentence(
        f"This offer holds for {rates.days} days. Mains parts are fitted by a qualified person and are not part of it. "
        "Times are computed from the programs and the shop's rates; bought-in parts as listed."
    )


def _row(line: Line) -> tuple[str, ...]:
    count = f"{line.quantity:.0f}" if line.unit in ("pieces", "sheets") else f"{line.quantity:.2f}"
    price = OPEN if line.price is None else _price(line.price)
    amount = OPEN if line.amount is None else f"{line.amount:.2f}"
    return line.what, count, line.unit, price, amount


def _price(each: float) -> str:
    """With as many decimals as it has, two at least: a staple costs less than a cent."""
    exact = f"{each:.4f}".rstrip("0")
    return exact if len(exact.partition(".")[2]) > 2 else f"{each:.2f}"


def _sums(found: Quote) -> Iterator[tuple[str, str]]:
    if found.margin:
        yield "cost", f"{found.cost:.2f}"
        yield f"margin {100 * found.margin:g} %", f"{found.net - found.cost:.2f}"
    if found.tax:
        yield "net", f"{found.net:.2f}"
        yield f"tax {100 * found.tax:g} %", f"{found.total - found.net:.2f}"
    yield "total", f"{found.total:.2f}"
