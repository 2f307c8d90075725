"""A region of tool centres cleared in straight lines along X, where a sheet's grain lies, to and fro.

The longest line is a slot; each further one lies beside one that is cut, and the tool comes onto it from there over
some length, so that it is engaged by no more than the step. What a line has beyond its neighbours is a slot again.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import ceil

from cncpanel.geometry.area import Area
from cncpanel.geometry.cleared import CHORD, Cleared
from cncpanel.geometry.point import Point
from cncpanel.geometry.region import Region
from cncpanel.geometry.ring import rings_of
from cncpanel.geometry.segment import Segment
from cncpanel.passes.along import CORNER
from cncpanel.passes.opening import LEAST as SMALL
from cncpanel.passes.opening import NARROW, SLACK, STATIONS, TRANSIT, Opening
from cncpanel.passes.stroke import Seed, Stroke

STEP = 0.4  # tool diameters between lines; where a line ends its neighbour has left a corner that adds to it
FIRST = 2.0  # tool diameters; where no line is longer, lines are not worth it
LEAST = 0.5  # tool diameters; a shorter line, or a shorter way beside one, is left to the loops
INSIDE = 0.02  # mm that the outermost lines keep off the walls: chords
NOTHING = 0.05  # mm; a shorter end of a line is part of what lies before it

Span = tuple[float, float]


@dataclass(frozen=True, slots=True)
class _Line:
    row: int
    y: float
    x0: float
    x1: float

    def shared(self, other: "_Line") -> Span:
        return max(self.x0, other.x0), min(self.x1, other.x1)

    @property
    def length(self) -> float:
        return self.x1 - self.x0

    def at(self, x: float) -> Point:
        return Point(x, self.y)


class Raster:
    """The strokes of one depth in one region, and what they clear of it."""

    def __init__(self, region: Region, diameter: float) -> None:
        """Strokes and `cleared` are there at once."""
        self._diameter = diameter
        self._walls = Area.of([region])
        self._cleared = Cleared()
        self._here: Point | None = None
        self._done: list[_Line] = []
        self._left = _lines(self._walls, STEP * diameter, LEAST * diameter)
        self._rims = rings_of(region.contours)
        self.strokes: list[Seed | Stroke] = []
        while self._left and self._next():
            pass

    @property
    def end(self) -> Point | None:
        """Where the tool is at last; None where nothing was cut."""
        return self._here

    @property
    def cleared(self) -> Area:
        """The centres from which a disc finds nothing more."""
        radius = self._diameter / 2
        lines = [stroke.chain for stroke in self.strokes if stroke.chain]
        return Area.swept(lines, radius).grown(-radius + SLACK).within(self._walls)

    def steps(self, cleared: Area) -> Area:
        """What lines leave along walls that once round takes without running into a corner."""
        known, radius, steps = Cleared(), self._diameter / 2, Area.of(())
        known.add(cleared)
        for ring in self._rims:
            for stretch in known.stretches(ring.segments):
                is_small = stretch.far <= SMALL * self._diameter
                is_easy = stretch.far <= STEP * self._diameter and not _bends(ring.segments, stretch.rim, radius)
                if is_small or is_easy:
                    steps = steps.plus(stretch.rim.grown(stretch.far + SLACK).within(self._walls))
        return steps.minus(cleared)

    # -- line after line

    def _next(self) -> bool:
        """One more line; False where the rest is not worth one."""
        beside = {line: near for line in self._left if (near := self._beside(line))}
        if not beside:
            return self._first()
        line = min(beside, key=lambda one: self._order(one, beside[one]))
        self._left.remove(line)
        way = self._onto(line, beside[line])
        if way is not None:
            self._cut(line, *way, _merged([line.shared(other) for other in beside[line]]))
        return True

    def _first(self) -> bool:
        line = max(self._left, key=lambda one: one.length)
        if line.length < FIRST * self._diameter:
            return False
        self._left.remove(line)
        chain = (Segment(line.at(line.x0), line.at(line.x1)),)
        self.strokes.append(Seed(start=chain[0].start, chain=chain, is_loop=False, circles=()))
        self._finish(line, chain[0].end)
        return True

    def _beside(self, line: _Line) -> list[_Line]:
        """The neighbours that are cut."""
        least = LEAST * self._diameter
        near = [other for other in self._done if abs(other.row - line.row) == 1]
        return [other for other in near if line.shared(other)[1] - line.shared(other)[0] > least]

    def _order(self, line: _Line, beside: Sequence[_Line]) -> tuple[bool, bool, float]:
        """Lines that are all beside others first, then those beside the last one, then the nearest."""
        bare = line.length - sum(b - a for a, b in _merged([line.shared(other) for other in beside]))
        assert self._here is not None
        away = min(self._here.distance(line.at(x)) for x in (line.x0, line.x1))
        return bare > self._diameter, self._done[-1] not in beside, away

    def _onto(self, line: _Line, beside: Sequence[_Line]) -> tuple[Point, Point] | None:
        """From which cut place to which place of the line, slanting outwards; None where walls are between."""
        found = []
        for other in beside:
            a, b = line.shared(other)
            back = min(TRANSIT * self._diameter, b - a)
            found += [(other.at(a + back), line.at(a)), (other.at(b - back), line.at(b))]
        assert self._here is not None
        found.sort(key=self._here_to)
        return next((way for way in found if self._walls.holds_line(*way, SLACK)), None)

    def _here_to(self, way: tuple[Point, Point]) -> float:
        assert self._here is not None
        return self._here.distance(way[1])

    def _cut(self, line: _Line, begin: Point, start: Point, beside: Sequence[Span]) -> None:
        is_steep = begin.distance(start) < TRANSIT * self._diameter - NOTHING
        self.strokes.append(Stroke(chain=(Segment(begin, start),), link=self._link(begin), slot=is_steep))
        far, near = (line.x1, line.x0) if begin.x > start.x else (line.x0, line.x1)
        for goal in (near, far):
            for x0, x1, is_bare in _pieces(start.x, goal, beside):
                chain = (Segment(line.at(x0), line.at(x1)),)
                self.strokes.append(Stroke(chain=chain, link=(chain[0].start,), slot=is_bare))
        self._finish(line, line.at(far))

    def _finish(self, line: _Line, end: Point) -> None:
        areas = [Area.swept([[Segment(line.at(line.x0), line.at(line.x1))]], SLACK)]
        for other in self._beside(line):
            a, b = line.shared(other)
            areas.append(Area.box((a, min(line.y, other.y), b, max(line.y, other.y))).within(self._walls))
        for area in areas:
            self._cleared.add(area)
        self._done.append(line)
        self._here = end

    def _link(self, goal: Point) -> tuple[Point, ...] | None:
        """At depth through what is cleared, straight or round one end of a line; None: there is no such way."""
        here = self._here
        assert here is not None
        if self._is_free(here, goal):
            return (goal,)
        ends = [line.at(x) for line in self._done for x in (line.x0, line.x1)]
        ends.sort(key=lambda place: here.distance(place) + place.distance(goal))
        ways = (place for place in ends[:STATIONS] if self._is_free(here, place) and self._is_free(place, goal))
        return next(((place, goal) for place in ways), None)

    def _is_free(self, start: Point, goal: Point) -> bool:
        return self._cleared.holds_line(start, goal) and self._walls.holds_line(start, goal, SLACK)


def open_in_lines(regions: Sequence[Region], opening: Opening, diameter: float) -> None:
    """Straight lines wherever they are long enough, loops for what they leave, once along those regions' walls."""
    lined = []
    for region in regions:
        if Area.of([region]).grown(-NARROW * diameter).is_empty:
            continue  # a line would leave a strip that the tool runs into from the line's end; once round is enough
        raster = Raster(region, diameter)
        if raster.end is not None:
            cleared = raster.cleared
            opening.strokes += raster.strokes
            opening.go_on(cleared, raster.steps(cleared), raster.end)
            lined.append(region)
    for region in regions:
        opening.open(region)
    for region in lined:
        opening.once_round(region)


def _lines(walls: Area, step: float, least: float) -> list[_Line]:
    """Evenly from the lowest place to the highest, no more than a step apart."""
    _, low, _, high = walls.bounds
    low, high = low + INSIDE, high - INSIDE
    count = max(ceil((high - low) / step), 1)
    rows = [(row, low + (high - low) * row / count) for row in range(count + 1)]
    return [_Line(row, y, x0, x1) for row, y in rows for x0, x1 in walls.spans(y) if x1 - x0 > least]


def _merged(spans: Sequence[Span]) -> list[Span]:
    found: list[Span] = []
    for a, b in sorted(spans):
        if found and a <= found[-1][1] + NOTHING:
            found[-1] = found[-1][0], max(found[-1][1], b)
        else:
            found.append((a, b))
    return found


def _pieces(start: float, goal: float, beside: Sequence[Span]) -> Iterator[tuple[float, float, bool]]:
    """The way from start to goal in pieces, each with whether nothing beside it is cut."""
    low, high = min(start, goal), max(start, goal)
    inner = {x for span in beside for x in span if low + NOTHING < x < high - NOTHING}
    places = sorted({low, high, *inner}, reverse=goal < start)
    for a, b in pairwise(places):
        middle = (a + b) / 2
        if abs(b - a) > NOTHING:
            yield a, b, not any(x0 <= middle <= x1 for x0, x1 in beside)


def _bends(ring: Sequence[Segment], rim: Area, radius: float) -> bool:
    """Whether a ring turns inwards near the stretch, so that a loop along it would run into a corner."""
    near = rim.grown(radius)
    for before, after in zip(ring, [*ring[1:], ring[0]], strict=True):
        turn = before.end_direction.cross(after.start_direction)
        if turn > CORNER and near.distance(after.start) < CHORD:
            return True
        tight = after.bulge > 0 and after.radius < 2 * radius
        if tight and near.distance(after.point_at(0.5)) < CHORD:
            return True
    return False
