"""What the tests of the passes share: sheets of hand-made panels, and what runs sweep, by shapely alone."""

from collections.abc import Iterable, Iterator, Sequence
from itertools import pairwise
from math import atan, ceil, cos, hypot, pi, radians, sin, tan

import shapely

from cncpanel.errors import Gathering, Place
from cncpanel.geometry.contour import Contour
from cncpanel.job.model import Settings, Stock
from cncpanel.layout.layout import Part, Sheet
from cncpanel.machine.model import Machine
from cncpanel.machine.read import read_machine
from cncpanel.machine.tool import Tool
from cncpanel.operation.operation import Operation, PanelPlan, Profile
from cncpanel.panel.panel import Panel
from cncpanel.passes.run import Run, SheetRuns
from cncpanel.passes.sheet import sheet_runs
from cncpanel.passes.shop import Shop

STOCK = Stock(name="MDF 18", material="mdf", thickness=18, sheet=(1000, 600), count=9, margin=3)
PLACE = Place("job.toml", 7, "panel[0]")
QUADS = 32


def shop_router(**cutting: object) -> Machine:
    """The shipped shop router, some of its habits changed."""
    machine = read_machine("shop-router")
    return machine.model_copy(update={"cutting": machine.cutting.model_copy(update=cutting)})


def shop(machine: Machine | None = None, stock: Stock = STOCK) -> Shop:
    return Shop(machine or shop_router(), stock, Settings())


def tool(number: int = 1) -> Tool:
    return next(t for t in shop_router().tool if t.number == number)


def panel(index: int, outline: Contour, stock: Stock = STOCK) -> Panel:
    return Panel(
        index=index, name=f"panel {index}", stock=stock, face="show", copies=1, mirrored=0, turn="right-angles",
        outline=outline, openings=(), recesses=(), holes=(), marks=(), grilles=(), bench=(), place=PLACE,
    )  # fmt: skip


def plan(index: int, outline: Contour, *inside: Operation, cutter: Tool | None = None) -> PanelPlan:
    """A plan of the inside work and the outline."""
    last = Profile(panel=f"panel {index}", feature="outline", side="outside", contour=outline, tool=cutter or tool())
    return PanelPlan(panel=panel(index, outline), operations=(*inside, last), spots=())


def sheet(places: Sequence[tuple[int, float, float]], stock: Stock = STOCK) -> Sheet:
    """Parts (panel, x, y), none turned."""
    copies: dict[int, int] = {}
    parts = []
    for index, x, y in places:
        copies[index] = copies.get(index, 0) + 1
        parts.append(
            Part(panel=index, name=f"panel {index}", copy=copies[index], mirrored_copy=False, x=x, y=y, angle_deg=0)
        )
    return Sheet(number=1, stock=stock, parts=tuple(parts))


def made(
    places: Sequence[tuple[int, float, float]],
    plans: Iterable[PanelPlan],
    machine: Machine | None = None,
    stock: Stock = STOCK,
    settings: Settings | None = None,
) -> SheetRuns:
    """The runs of a sheet that has no problem."""
    gathering = Gathering()
    known = {one.panel.index: one for one in plans}
    runs = sheet_runs(sheet(places, stock), known, machine or shop_router(), settings or Settings(), gathering)
    assert gathering.problems == (), gathering.problems
    return runs


Move = tuple[tuple[float, float, float], tuple[float, float, float], float, float]


def moves(run: Run) -> Iterator[Move]:
    """(from, to, bulge, feed) of every step."""
    here = (run.start.x, run.start.y, run.approach)
    for step in run.steps:
        yield here, (step.x, step.y, step.z), step.bulge, step.feed
        here = (step.x, step.y, step.z)


def points(move: Move, chord_error: float = 0.001) -> list[tuple[float, float, float]]:
    """Points along a move, ends included; arcs from their bulge by this file's own arithmetic."""
    (x0, y0, z0), (x1, y1, z1), bulge, _ = move
    if not bulge:
        return [(x0, y0, z0), (x1, y1, z1)]
    sweep = 4 * atan(bulge)
    chord = hypot(x1 - x0, y1 - y0)
    radius = chord / 2 / abs(sin(sweep / 2))
    count = max(ceil(abs(sweep) / (2 * (2 * chord_error / radius) ** 0.5)), 2)
    back = 1 / tan(sweep / 2) / 2 if abs(abs(sweep) - pi) > 1e-9 else 0.0
    cx, cy = (x0 + x1) / 2 - (y1 - y0) * back, (y0 + y1) / 2 + (x1 - x0) * back
    found = []
    for i in range(count + 1):
        a = sweep * i / count
        dx, dy = x0 - cx, y0 - cy
        found.append((cx + dx * cos(a) - dy * sin(a), cy + dx * sin(a) + dy * cos(a), z0 + (z1 - z0) * i / count))
    return found


def swept(runs: Iterable[Run], z: float, extra: float = 0.0) -> shapely.Geometry:
    """What the tools' discs cover at the height z, `extra` mm larger."""
    discs = []
    for run in runs:
        for move in moves(run):
            inside = [p[:2] for p in _below(move, z)]
            if len(inside) > 1 and any(p != inside[0] for p in inside):
                discs.append(shapely.LineString(inside).buffer(run.tool.radius + extra, quad_segs=QUADS))
            elif inside:
                discs.append(shapely.Point(inside[0]).buffer(run.tool.radius + extra, quad_segs=QUADS))
    return shapely.union_all(discs)


def _below(move: Move, z: float) -> list[tuple[float, float, float]]:
    """The stretch of the move at or below z."""
    way = points(move)
    found = []
    for a, b in pairwise(way):
        if (a[2] > z + 1e-9) != (b[2] > z + 1e-9):
            share = (z - a[2]) / (b[2] - a[2])
            crossing = (a[0] + (b[0] - a[0]) * share, a[1] + (b[1] - a[1]) * share, z)
            found += [crossing, b] if a[2] > z + 1e-9 else [a, crossing]
        elif a[2] <= z + 1e-9:
            found += [a, b]
    return found


def polygon_of(contour: Contour) -> shapely.Polygon:
    return shapely.Polygon(contour.flattened(0.0005))


def steepest_entry(run: Run) -> float:
    """The steepest slope into material that no earlier step of the run has cut, as a tangent."""
    steepest = 0.0
    cleared: list[tuple[float, shapely.Geometry]] = []
    for move in moves(run):
        (_, _, z0), (x1, y1, z1), _, _ = move
        way = [p[:2] for p in points(move, 0.0001)]
        length = sum(hypot(b[0] - a[0], b[1] - a[1]) for a, b in pairwise(way))
        drop = min(z0, 0.0) - z1
        if drop > 1e-6:
            disc = shapely.Point(x1, y1).buffer(run.tool.radius - 0.02)
            free = any(z <= z1 + 1e-6 and shapely.difference(disc, area).area < 0.05 for z, area in cleared)
            if not free:
                steepest = max(steepest, drop / length if length > 1e-6 else float("inf"))
        if abs(z0 - z1) < 1e-9 and length > 1e-6:
            grown = shapely.LineString(way).buffer(run.tool.radius)
            known = [area for z, area in cleared if z == z1]
            cleared = [(z, area) for z, area in cleared if z != z1]
            cleared.append((z1, shapely.union_all([grown, *known])))
    return steepest


def ramp(machine: Machine) -> float:
    return tan(radians(machine.cutting.ramp_deg)) * 1.001
