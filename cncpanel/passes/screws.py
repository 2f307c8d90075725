"""Screws that hold the sheet through its waste: where they stand, the holes for them, what must keep clear of them.

Their holes come before all else, then the program stops for them to be driven; from there on their heads stand in the
way of every tool, its shank and its collet nut. They stand in the frame, the largest piece that is left: it never comes
free. Places that the job gives may lie in other waste where tabs or a second screw hold that.
"""

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from math import inf

import numpy as np

from cncpanel.errors import Gathering, Place
from cncpanel.geometry.area import Area
from cncpanel.geometry.pieces import Pieces
from cncpanel.geometry.point import Point
from cncpanel.job.holding import ScrewSettings
from cncpanel.job.model import KeepOut
from cncpanel.layout.layout import Sheet
from cncpanel.machine.tool import Tool
from cncpanel.operation.operation import Bore, Drill
from cncpanel.operation.rack import deepest
from cncpanel.panel.panel import Panel
from cncpanel.passes.blocked import AWAY, too_near, widest_under
from cncpanel.passes.bore import bore
from cncpanel.passes.draft import Title
from cncpanel.passes.drill import drill
from cncpanel.passes.free_room import free_room, meeting
from cncpanel.passes.hold import joined
from cncpanel.passes.limits import NEAR, within_limits
from cncpanel.passes.run import Run
from cncpanel.passes.shop import Shop
from cncpanel.passes.spot import Spot
from cncpanel.tooling.drilling import can_bore

SCREWS = "SCREWS"
RIM = 12.0  # mm from a screw's middle to the sheet's rim, where board splits: common practice, no source
PITCH = 5.0  # mm between places that are tried
FLUSH = 0.5  # mm that a flush head may stand over the sheet after all: common practice, no source
FITS = 0.1  # mm by which a drill may differ from its hole
LEAST, MOST = 4, 80  # screws of one sheet; four hold its corners: common practice, no source
LEAST_FOUND = 2  # one screw lets the sheet turn about it


@dataclass(frozen=True, slots=True)
class Waste:
    """What the sheet falls into, the tabs that keep it together, and the number of its largest piece of waste."""

    pieces: Pieces
    tabs: Sequence[Spot]
    frame: int

    def hangs(self, number: int) -> bool:
        """Whether the piece is the frame, or tabs join it to that."""
        return any({self.frame, number} <= group for group in joined(len(self.pieces.areas), self.tabs))


@dataclass(frozen=True, slots=True)
class Screwed:
    """All screws of a sheet that its programs stop for, as keep-outs in the sheet's frame, and their holes' runs."""

    places: tuple[KeepOut, ...] = ()
    runs: tuple[Run, ...] = ()


def screwed(
    sheet: Sheet,
    runs: Sequence[Run],
    panels: Mapping[int, Panel],
    waste: Waste | None,
    shop: Shop,
    gathering: Gathering,
) -> Screwed:
    """The sheet's screws; what they cannot hold is gathered as Problems. `waste`: None where nothing is parted."""
    screw = shop.settings.screws
    if screw is None or not sheet.parts:
        return Screwed()
    place = panels[sheet.parts[0].panel].place
    given = tuple(_standing(keep, screw) for keep in sheet.stock.keep_out if keep.hole is not None)
    for keep in given:
        _judge(keep, runs, waste, given, screw, place, gathering)
    found = given or tuple(_found(sheet, runs, panels, waste, screw, shop, gathering))
    return Screwed(found, tuple(_holes(found, sheet, runs, shop, place, gathering)))


def _standing(keep: KeepOut, screw: ScrewSettings) -> KeepOut:
    """As high as its head; a flush one counts as a little."""
    height = keep.height or max(screw.head_height, FLUSH)
    return keep.model_copy(update={"height": height})


def with_screws(sheet: Sheet, places: Sequence[KeepOut]) -> Sheet:
    """The sheet with its driven screws among the keep-outs, those that the job gave in their own place."""
    if not places:
        return sheet
    other = tuple(keep for keep in sheet.stock.keep_out if keep.hole is None)
    return replace(sheet, stock=sheet.stock.model_copy(update={"keep_out": (*other, *places)}))


def reach_beside(screw: ScrewSettings) -> Callable[[Run], float]:
    """How far from its way each run's tool takes room where a head stands: cutter, shank or nut, the widest so low."""

    def reach(run: Run) -> float:
        lowest = min((step.z for step in run.steps), default=0.0)
        return widest_under(run.tool, lowest, screw.head_height + AWAY)

    return reach


# -- places ------------------------------------------------------------------------------------------------


def _found(
    sheet: Sheet,
    runs: Sequence[Run],
    panels: Mapping[int, Panel],
    waste: Waste | None,
    screw: ScrewSettings,
    shop: Shop,
    gathering: Gathering,
) -> Iterator[KeepOut]:
    """Spread over the frame as far apart as may be, until none of its waste lies farther than the spacing from one."""
    room = free_room(sheet, runs, panels, reach_beside(screw))
    if waste is not None:
        room = room.within(waste.pieces.areas[waste.frame])
    radius = screw.head / 2
    inset = max(RIM - radius - AWAY, 0.0)
    inner = Area.box((inset, inset, sheet.length - inset, sheet.width - inset))
    free = (
        room.within(inner).grown(-(radius + AWAY)).minus(_too_near(sheet, _tool(screw.hole_diameter, runs, shop), shop))
    )
    chosen = _spread(free.lattice(PITCH), screw.spacing)
    if len(chosen) < LEAST_FOUND:
        text = f"sheet {sheet.number}: its waste has no room for two screws with heads of {screw.head:g} mm"
        place = panels[sheet.parts[0].panel].place
        gathering.problem(place, text, "a wider margin of the stock, a wider gap, or smaller heads")
        return
    for x, y in chosen:
        at = x - radius, y - radius
        size = screw.head, screw.head
        yield _standing(KeepOut(kind="screw", at=at, size=size, hole=screw.hole_diameter), screw)


def _too_near(sheet: Sheet, tool: Tool | None, shop: Shop) -> Area:
    """Where the hole's tool would meet a clamp, or a screw that stands before any is driven."""
    standing = [keep for keep in sheet.stock.keep_out if keep.hole is None]
    return too_near(standing, tool, shop.bottom, shop.machine) if tool else Area.of(())


def _spread(places: Sequence[Point], spacing: float) -> list[Point]:
    if not places:
        return []
    every = np.array(places)
    nearest = np.full(len(places), inf)
    following = int(np.argmin(every.sum(axis=1)))
    chosen: list[Point] = []
    while len(chosen) < MOST:
        chosen.append(places[following])
        nearest = np.minimum(nearest, np.hypot(*(every - every[following]).T))
        following = int(np.argmax(nearest))
        if nearest[following] <= 0 or (len(chosen) >= LEAST and nearest[following] <= spacing):
            break
    return chosen


def _judge(
    keep: KeepOut,
    runs: Sequence[Run],
    waste: Waste | None,
    given: Sequence[KeepOut],
    screw: ScrewSettings,
    place: Place,
    gathering: Gathering,
) -> None:
    """A place that the job gives: no tool comes there, and the waste that it holds never comes free."""
    said = f"the screw at {keep.at[0]:g}, {keep.at[1]:g}"
    met = meeting(runs, _box(keep), reach_beside(screw))
    if met is not None:
        what = f"{met.part}, {met.feature or met.kind}"
        gathering.problem(place, f"T{met.tool.number} meets {said} ({what})", "another place, or a smaller head")
    if waste is None:
        return
    number = waste.pieces.holding(_box(keep))
    if number is None:
        gathering.problem(place, f"{said} stands where the sheet is cut away", "another place")
    elif not waste.hangs(number):
        both = [other for other in given if waste.pieces.holding(_box(other)) == number]
        if len(both) < LEAST_FOUND:
            gathering.problem(place, f"{said} alone holds a piece of waste that comes free", "two screws in it")


def _box(keep: KeepOut) -> Area:
    (x, y), (width, height) = keep.at, keep.size
    return Area.box((x, y, x + width, y + height))


# -- holes -------------------------------------------------------------------------------------------------


def _holes(
    places: Sequence[KeepOut], sheet: Sheet, runs: Sequence[Run], shop: Shop, place: Place, gathering: Gathering
) -> Iterator[Run]:
    tools: dict[float, Tool | None] = {}
    for keep in places:
        diameter = keep.hole or 0.0
        if diameter not in tools:
            tools[diameter] = _tool(diameter, runs, shop)
            if tools[diameter] is None:
                text = f"no tool makes holes of {diameter:g} mm for screws through {shop.stock.thickest:g} mm"
                gathering.problem(place, text, "settings.screws.hole of a drill in the rack, or wide enough to bore")
        tool = tools[diameter]
        if tool is not None and _too_near(sheet, tool, shop).holds_disc(Point(*keep.centre), 0.0):
            said = f"for the screw at {keep.at[0]:g}, {keep.at[1]:g}"
            text = f"T{tool.number} {tool.name} has no room {said} beside what holds the sheet"
            gathering.problem(place, text, "another place, or lower clamps")
        elif tool is not None:
            yield from _hole(Point(*keep.centre), diameter, tool, shop, place, gathering)


def _tool(diameter: float, runs: Sequence[Run], shop: Shop) -> Tool | None:
    """A drill of the hole's diameter, else a flat tool that bores it: one that the sheet needs anyway first."""
    needed = {run.tool.number for run in runs}
    fitting: list[tuple[bool, bool, float, int, Tool]] = []
    for tool in shop.machine.tool:
        drills = tool.kind == "drill" and abs(tool.cut_diameter - diameter) <= FITS
        if (drills or can_bore(tool, diameter)) and deepest(tool, shop.machine) >= -shop.bottom - NEAR:
            fitting.append((drills, tool.number in needed, tool.cut_diameter, -tool.number, tool))
    return max(fitting)[-1] if fitting else None


def _hole(at: Point, diameter: float, tool: Tool, shop: Shop, place: Place, gathering: Gathering) -> Iterator[Run]:
    title = Title("screw", SCREWS, "screw hole", tool)
    if tool.kind == "drill":
        plain = Drill(panel=SCREWS, feature="", centre=at, diameter=diameter, top=0.0, depth=None, tool=tool)
        if within_limits(plain, place, shop, gathering):
            yield drill(plain, title, shop).run
        return
    round_hole = Bore(panel=SCREWS, feature="", centre=at, diameter=diameter, top=0.0, depth=None, tool=tool)
    if within_limits(round_hole, place, shop, gathering):
        yield bore(round_hole, title, shop).run
