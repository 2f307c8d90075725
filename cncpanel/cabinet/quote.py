"""What a job costs: boards, bought-in parts, what is used up, machine and bench time, at a shop's rates."""

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from cncpanel.cabinet.piece import Assembly
from cncpanel.cabinet.rates import Rates
from cncpanel.cabinet.strips import staples_of
from cncpanel.job.model import Job
from cncpanel.panel.edge import DrawnRim
from cncpanel.panel.panel import Panel

GLUE = 0.2  # kg for each m2 of joint; 150-200 g/m2 is what makers of white glue state, from memory
SQUARE_METRE = 1e6  # mm2
METRE = 1000.0  # mm


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """One line of an offer; `price` None: the shop's file has none, and the line is not in the sum."""

    what: str
    quantity: float
    unit: str
    price: float | None

    @property
    def amount(self) -> float | None:
        """Quantity times price."""
        return None if self.price is None else self.quantity * self.price


@dataclass(frozen=True, slots=True, kw_only=True)
class Quote:
    """An offer's lines and sums."""

    lines: tuple[Line, ...]
    margin: float
    tax: float

    @property
    def cost(self) -> float:
        """Of all lines that have a price."""
        return sum(line.amount or 0.0 for line in self.lines)

    @property
    def net(self) -> float:
        """With the margin."""
        return self.cost * (1 + self.margin)

    @property
    def total(self) -> float:
        """With tax."""
        return self.net * (1 + self.tax)

    @property
    def open_lines(self) -> tuple[Line, ...]:
        """What has no price."""
        return tuple(line for line in self.lines if line.price is None)


@dataclass(frozen=True, slots=True, kw_only=True)
class Work:
    """What a job was found to take: sheets by stock, seconds on the machine; the assembly where there is one."""

    job: Job
    panels: Sequence[Panel]
    sheets: Mapping[str, int]
    machine_s: float
    assembly: Assembly | None


def quote(work: Work, rates: Rates) -> Quote:
    """The offer's figures."""
    lines = (*_boards(work, rates), *_bought(work, rates), *_used_up(work, rates), *_time(work, rates))
    return Quote(lines=lines, margin=rates.margin, tax=rates.tax)


def _boards(work: Work, rates: Rates) -> Iterator[Line]:
    prices = {stock.name: stock.price for stock in work.job.stock}
    for name, count in work.sheets.items():
        price = rates.board.get(name, prices.get(name))
        yield Line(what=f"board: {name}", quantity=count, unit="sheets", price=price)


def _bought(work: Work, rates: Rates) -> Iterator[Line]:
    counts: Counter[str] = Counter()
    for row in work.job.hardware:
        counts[row.name] += row.count
    for name, count in counts.items():
        yield Line(what=name, quantity=count, unit="pieces", price=rates.part.get(name))


def _used_up(work: Work, rates: Rates) -> Iterator[Line]:
    joints = sum(_copies(p) * p.outline.length * p.stock.thickness for p in work.panels) / SQUARE_METRE
    yield Line(what="glue", quantity=joints * GLUE, unit="kg", price=rates.glue_kg)
    staples = sum(staples_of(strip) for strip in work.assembly.strips) if work.assembly else 0
    if staples:
        price = None if rates.staples_100 is None else rates.staples_100 / 100
        yield Line(what="staples or screws in cleats", quantity=staples, unit="pieces", price=price)
    for row in work.job.consumable:
        if row.count is not None:
            yield Line(what=row.name, quantity=row.count, unit="pieces", price=rates.part.get(row.name))
    faces = sum(_copies(p) * abs(p.outline.area) for p in work.panels) / SQUARE_METRE
    yield Line(what="paint or film, show faces", quantity=faces, unit="m2", price=rates.finish_m2)


def _time(work: Work, rates: Rates) -> Iterator[Line]:
    yield Line(what="machine", quantity=work.machine_s / 3600, unit="hours", price=rates.machine_hour)
    minutes = {
        "bench: parts": rates.minutes_panel * sum(map(_copies, work.panels)),
        "bench: joints": rates.minutes_joint * _joints(work),
        "bench: fitting bought-in parts": rates.minutes_fitting * sum(row.count for row in work.job.hardware),
        "bench: rims by hand": rates.minutes_metre * _rims(work),
    }
    for what, taken in minutes.items():
        yield Line(what=what, quantity=taken / 60, unit="hours", price=rates.bench_hour)


def _copies(panel: Panel) -> int:
    return panel.copies + panel.mirrored


def _joints(work: Work) -> int:
    """Both sides and both ends of every panel that runs from side to side; without an assembly four a part."""
    if work.assembly is None:
        return 4 * sum(map(_copies, work.panels))
    return 4 * len(work.assembly.standings)


def _rims(work: Work) -> float:
    """Metres of rim that the bench rounds, bevels or slots, a face at a time."""
    return sum(_copies(panel) * _rim(rim) for panel in work.panels for rim in panel.rims if rim.bench) / METRE


def _rim(rim: DrawnRim) -> float:
    length = rim.contour.length if rim.stretch is None else rim.stretch.stop - rim.stretch.start
    return length * (2 if rim.faces == "both" else 1)
