"""The waste of a sheet that no tool comes to: where something may stand or be drilled that holds the sheet."""

from collections import defaultdict
from collections.abc import Callable, Iterator, Mapping, Sequence

from cncpanel.geometry.area import Area
from cncpanel.geometry.point import Point
from cncpanel.geometry.region import region_of
from cncpanel.geometry.segment import Segment
from cncpanel.layout.layout import Sheet, placement
from cncpanel.panel.panel import Panel
from cncpanel.passes.blocked import blocked, used
from cncpanel.passes.run import Run

SHORT = 16  # segments
SPECK = 0.005  # mm; a way that a straight plunge is drawn with

Reach = Callable[[Run], float]


def cutter(run: Run) -> float:
    """The radius of what cuts."""
    return run.tool.radius


def free_room(sheet: Sheet, runs: Sequence[Run], panels: Mapping[int, Panel], reach: Reach = cutter) -> Area:
    """The waste that a set-up does not cut, outside the parts of the panels; `reach`: how far each run's tool goes."""
    parts = [part for part in sheet.parts if part.panel in panels]
    outlines = [placement(panels[part.panel], part).contour(panels[part.panel].outline) for part in parts]
    room = Area.box((0.0, 0.0, sheet.length, sheet.width))
    for area in (Area.of(map(region_of, outlines)), blocked(sheet), used(sheet), *_swept(runs, reach)):
        room = room.minus(area) if area else room
    return room


def _swept(runs: Sequence[Run], reach: Reach) -> Iterator[Area]:
    ways = defaultdict[float, list[list[Segment]]](list)
    for run in runs:
        if run.steps:
            ways[reach(run)] += _chains(run)
    for radius in sorted(ways):
        yield Area.swept(ways[radius], radius)


def _chains(run: Run) -> list[list[Segment]]:
    """Where the run goes, in short chains and each way once: a long one that goes round and round is slow to widen."""
    places = [run.start, *(Point(step.x, step.y) for step in run.steps)]
    pairs = zip(places, places[1:], run.steps, strict=False)
    ways = dict.fromkeys(Segment(a, b, step.bulge) for a, b, step in pairs if a != b)
    chains: list[list[Segment]] = [[]]
    for way in ways:
        if chains[-1] and (chains[-1][-1].end != way.start or len(chains[-1]) == SHORT):
            chains.append([])
        chains[-1].append(way)
    return chains if ways else [[Segment(run.start, Point(run.start.x + SPECK, run.start.y))]]


def meeting(runs: Sequence[Run], area: Area, reach: Reach) -> Run | None:
    """The first run whose tool comes into the area."""
    xmin, ymin, xmax, ymax = area.bounds
    for run in runs:
        far = reach(run) if run.steps else 0.0
        places = [run.start, *(Point(step.x, step.y) for step in run.steps)]
        bows = [a.distance(b) for a, b, step in zip(places, places[1:], run.steps, strict=False) if step.bulge]
        near = far + max(bows, default=0.0) / 2
        xs, ys = zip(*places, strict=True)
        if min(xs) - near > xmax or min(ys) - near > ymax or max(xs) + near < xmin or max(ys) + near < ymin:
            continue
        if run.steps and not Area.swept(_chains(run), far).within(area).is_empty:
            return run
    return None
