"""Dowels that bring a turned sheet back to its place: where they stand, and the holes for them in set-up one.

They stand in the waste, either on the line that the sheet is turned about or as a pair to both sides of it, so that the
turned sheet's holes fall on those of the spoilboard again. They are placed so that no other turn fits.
"""

from collections.abc import Callable, Iterator, Mapping, Sequence
from math import hypot, inf

from cncpanel.geometry.area import Area
from cncpanel.geometry.point import Point
from cncpanel.layout.layout import Sheet
from cncpanel.layout.side import Side
from cncpanel.layout.turned import flipped
from cncpanel.machine.rules import TABLE_GUARD
from cncpanel.machine.tool import Tool
from cncpanel.operation.operation import Bore, Drill
from cncpanel.operation.rack import deepest
from cncpanel.panel.panel import Panel
from cncpanel.passes.blocked import too_near
from cncpanel.passes.bore import LEAST_HELIX, bore
from cncpanel.passes.draft import Title
from cncpanel.passes.drill import drill, drill_depth
from cncpanel.passes.free_room import free_room
from cncpanel.passes.run import Run, SheetRuns
from cncpanel.passes.shop import Shop

DOWELS = "DOWELS"
WEB = 4.0  # mm of sheet round a dowel: common practice, no source
LEAST_GRIP = 3.0  # mm in the spoilboard; less does not hold a dowel upright: common practice, no source
STEP = 5.0  # mm between places that are tried
FITS = 0.1  # mm by which a drill may differ from its dowel
UNLIKE = 3.0  # diameters by which dowels' distances from the sheet's ends differ, so that only one turn fits
FAR = 0.4  # of the sheet's length, or width, that two dowels stand apart at least

At = Callable[[float, float], Point]
Fits = Callable[[Point], bool]
SetUp = tuple[Sheet, SheetRuns]  # as the sheet lies then, and what is cut


def dowel_places(after: SetUp, before: SetUp, panels: Mapping[int, Panel], side: Side, shop: Shop) -> list[Point]:
    """Two places in the frame of the sheet as it lies after the turn; none where there is no room.

    No hole is bored beside a tab, which would end on no more than the web between them, nor so near a clamp that the
    tool's nut meets it. `shop` is that of the sheet before the turn, when the holes are bored.
    """
    (sheet, runs), (under, others) = after, before
    here, there = free_room(sheet, runs.runs, panels), free_room(under, others.runs, {})
    clamped = _clamped(under, side, shop)
    board, reach = (sheet.length, sheet.width), side.dowel / 2 + WEB

    def at(along: float, across: float) -> Point:
        return Point(along, across) if side.axis == "x" else Point(across, along)

    def fits(point: Point) -> bool:
        other = flipped(point, board, side.axis)
        both = (point, other)
        beside = any(hypot(point.x - tab.centre.x, point.y - tab.centre.y) < tab.width / 2 + reach for tab in runs.tabs)
        if beside or clamped.holds_disc(other, 0.0):
            return False
        return all(room.holds_disc(one, reach) for room in (here, there) for one in both)

    size = board if side.axis == "x" else (board[1], board[0])
    return _on_line(size, at, fits, UNLIKE * side.dowel) or _pair(size, at, fits)


def _clamped(under: Sheet, side: Side, shop: Shop) -> Area:
    """What the holes keep off beside clamps and screws."""
    made = _made(side.dowel, shop)
    return too_near(under.stock.keep_out, made[0], -made[1], shop.machine) if made else Area.of(())


def _on_line(size: tuple[float, float], at: At, fits: Fits, unlike: float) -> list[Point]:
    good = [along for along in _steps(size[0]) if fits(at(along, size[1] / 2))]
    for last in reversed(good):
        if abs(size[0] - last - good[0]) >= unlike and last - good[0] >= FAR * size[0]:
            return [at(good[0], size[1] / 2), at(last, size[1] / 2)]
    return []


def _pair(size: tuple[float, float], at: At, fits: Fits) -> list[Point]:
    """As far apart as may be, off the sheet's middle, where a turn about the other line would fit too."""
    for across in _steps(size[1] * (1 - FAR) / 2):
        for along in _steps(size[0] * FAR):
            if fits(at(along, across)):
                return [at(along, across), at(along, size[1] - across)]
    return []


def _steps(length: float) -> Iterator[float]:
    return (STEP * number for number in range(1, int(length / STEP) + 1))


def dowel_runs(places: Sequence[Point], side: Side, shop: Shop) -> list[Run]:
    """Holes through the sheet into the spoilboard; [] where the rack has no tool that is long enough."""
    made = _made(side.dowel, shop)
    if made is None:
        return []
    tool, depth = made
    return [_hole(place, side.dowel, depth, tool, shop) for place in places]


def _made(diameter: float, shop: Shop) -> tuple[Tool, float] | None:
    """A drill of the dowel's diameter, else the sturdiest flat tool that bores it; and how deep it goes."""
    best: tuple[float, Tool, float] | None = None
    for tool in shop.machine.tool:
        drills = tool.kind == "drill" and abs(tool.cut_diameter - diameter) <= FITS
        bores = tool.is_flat and diameter - tool.cut_diameter > 2 * LEAST_HELIX
        depth = _depth(tool, shop)
        if (drills or bores) and depth >= shop.stock.thickest + LEAST_GRIP:
            worth = inf if drills else tool.cut_diameter
            best = max(best or (0.0, tool, depth), (worth, tool, depth), key=lambda found: found[0])
    return best[1:] if best else None


def _depth(tool: Tool, shop: Shop) -> float:
    """As deep as the tool and the spoilboard let it go, and no deeper than the machine file asks."""
    table, stock = shop.machine.table, shop.stock
    slack = table.z_error + stock.thickest - stock.thinnest if table.z_zero == "top" else 0.0
    room = table.spoilboard - table.flatness - TABLE_GUARD - slack
    return min(deepest(tool, shop.machine), stock.thickest + min(room, shop.machine.turning.into))


def _hole(place: Point, diameter: float, depth: float, tool: Tool, shop: Shop) -> Run:
    title = Title("hole", DOWELS, "dowel hole", tool)
    if tool.kind == "drill":
        plain = Drill(panel=DOWELS, feature="", centre=place, diameter=diameter, top=0.0, depth=depth, tool=tool)
        assert drill_depth(plain, shop) == depth, "a blind hole's depth is its point's"
        return drill(plain, title, shop).run
    made = Bore(panel=DOWELS, feature="", centre=place, diameter=diameter, top=0.0, depth=depth, tool=tool)
    return bore(made, title, shop).run
