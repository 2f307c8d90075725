"""Floors that the machine may cut through: zeros, table and thickness as far out as they may be, as the witness has it.

What stays by the readings alone is judged where panels are read (`panel.depths`, `panel.web`).
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from math import ceil, sqrt

from cncpanel.errors import Gathering, Place
from cncpanel.geometry.area import Area
from cncpanel.geometry.contour import circle
from cncpanel.geometry.region import Region
from cncpanel.geometry.ring import ring_of
from cncpanel.geometry.segment import Segment
from cncpanel.job.model import Stock
from cncpanel.job.read import ReadJob
from cncpanel.machine.model import Machine
from cncpanel.panel.edge import Edge, EdgeForm, RimSlot, Round
from cncpanel.panel.panel import Panel
from cncpanel.units import shown

CELL = 0.5  # mm; so finely the witness looks at what stays between both faces
WALL = 2.0  # cells beside a wall at which it does not look
LINE = 0.05  # mm; how thick a stroke or a rim is taken at least
UNTURNED = 1.0  # mm; a thinner floor holds no piece while the sheet is turned: common practice, no source
ENOUGH = 1e-4  # mm


@dataclass(frozen=True, slots=True)
class _Sunk:
    """What goes part way into a face: where, how deep; a form along a rim is `depth` deep at the rim alone."""

    name: str
    place: Place
    area: Area
    depth: float
    form: EdgeForm | None = None
    read: bool = False
    """Whether what stays between two of them by the readings was judged where the panel was read."""

    def deep(self, off: float) -> float:
        """How deep it is `off` mm from its rim, mm."""
        if self.form is None:
            return self.depth
        left = self.form.width - off
        if left <= 0:
            return 0.0
        if isinstance(self.form, Round):
            return self.depth - sqrt(max(self.depth**2 - left**2, 0.0))
        return self.depth * left / self.form.width


def tell_floors(read: ReadJob, panels: Iterable[Panel], machine: Machine, gathering: Gathering) -> None:
    """A Problem for each floor, and for each two features of both faces, that may leave too little."""
    for panel in panels:
        _tell_thin(panel, read, machine, gathering)
        if panel.reverse is not None:
            _tell_thin(panel.reverse, read, machine, gathering, UNTURNED)
            _tell_webs(panel, panel.reverse, read, machine, gathering)


def _tell_thin(side: Panel, read: ReadJob, machine: Machine, gathering: Gathering, least: float = 0.0) -> None:
    lowered, unit = machine.table.lowered, read.job.job.units
    for sunk in _floors(side):
        left = side.stock.thinnest - sunk.depth
        if 0 < left < lowered - ENOUGH:
            gathering.problem(
                sunk.place,
                f"panel {side.name}: {sunk.name}: a floor of {shown(left, unit)} may be cut through: zero, table and "
                f"thickness are out by up to {shown(lowered, unit)}",
                f"at least {shown(max(lowered, least), unit)}",
            )
        elif 0 < left < least - ENOUGH:
            gathering.problem(
                sunk.place,
                f"panel {side.name}: {sunk.name}: a floor of {shown(left, unit)} counts as cut through before the "
                "sheet is turned over, and nothing may come free then",
                f"at least {shown(least, unit)}",
            )


def _tell_webs(panel: Panel, reverse: Panel, read: ReadJob, machine: Machine, gathering: Gathering) -> None:
    least, unit = read.job.settings.least_floor, read.job.job.units
    told: set[tuple[str, str]] = set()
    below = list(_sunk(reverse))
    for over in _sunk(panel):
        for under in below:
            left = _worst(over, under, panel.stock, machine)
            by_readings = panel.stock.thinnest - over.depth - under.depth
            known = over.read and under.read and by_readings < least - ENOUGH and over.area.overlap(under.area) > 0
            if left is not None and left < least - ENOUGH and not known and (over.name, under.name) not in told:
                told.add((over.name, under.name))
                what = f"leave no more than {shown(round(left, 3), unit)} between them" if left > 0 else "meet"
                gathering.problem(
                    under.place,
                    f"panel {panel.name}: {over.name} and {under.name}, from the other face, may {what}: zeros, table "
                    f"and thickness may be out, and the sheet {shown(machine.turning.error, unit)} off its place once "
                    "it is turned over",
                    f"at least {shown(least, unit)}, settings.least_floor" if least > 0 else "less deep",
                )


def _worst(over: _Sunk, under: _Sunk, stock: Stock, machine: Machine) -> float | None:
    """What may stay between them, mm; None where they lie apart, or are both forms along rims, judged by themselves."""
    if over.form is not None and under.form is not None:
        return None
    table, error = machine.table, machine.turning.error
    apart = over.area.gap(under.area) - CELL * (sqrt(2) * ceil(error / CELL) + 0.5)
    is_form = over.form is not None or under.form is not None
    if apart > 0 and not is_form:
        return None
    off = max(apart, error + WALL * CELL) if is_form else 0.0
    from_table = table.z_zero == "table"
    whole = stock.thickest if from_table else stock.thinnest
    out = table.thickness_spread + 2 * (table.z_error + (table.flatness if from_table else 0.0))
    deep, other = over.deep(off), under.deep(off)
    return whole - deep - other - out if min(deep, other) > 0 else None


def _sunk(side: Panel) -> Iterator[_Sunk]:
    yield from _floors(side)
    for mark in side.marks:
        paths = (*(mark.strokes if side.copies else ()), *(mark.mirrored_strokes if side.mirrored else ()))
        if paths:  # a blank leaves nothing
            area = Area.swept([path.segments for path in paths], LINE)
            yield _Sunk(mark.name, mark.place, area, mark.depth)
    for edge in side.edges:
        yield _Sunk(edge.told, edge.place, Area.swept([_along(edge)], LINE), edge.form.depth, edge.form)
    for slot in side.slots:
        yield _Sunk(slot.told, slot.place, Area.swept([_along(slot)], slot.form.depth), slot.bottom)


def _floors(side: Panel) -> Iterator[_Sunk]:
    for recess in side.recesses:
        yield _Sunk(recess.name, recess.place, Area.of([recess.region]), recess.depth, read=True)
    for hole in side.holes:
        if hole.depth is not None:
            area = Area.of([Region(circle(hole.centre, hole.diameter / 2))])
            yield _Sunk(hole.name, hole.place, area, hole.depth, read=True)


def _along(edge: Edge | RimSlot) -> Sequence[Segment]:
    if edge.stretch is None:
        return edge.contour.segments
    return ring_of(edge.contour).stretch(edge.stretch.start, edge.stretch.stop)
