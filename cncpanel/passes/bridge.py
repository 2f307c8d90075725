"""Bars left across kerfs, and runs that lift over them.

A bar is a rectangle that begins inside the wall it holds and ends in the piece beyond the kerf. Whatever cuts
deeper than the bars' tops rises where its disc would touch one, stays up until it is past, and comes down a slope
to and fro. A bar with flanks has slopes of its own along its kerf: the tool goes up one and down the other and never
stops.
"""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from math import hypot, inf, radians, sqrt, tan

from cncpanel.geometry.point import Point
from cncpanel.geometry.ring import SHORT
from cncpanel.geometry.segment import Segment
from cncpanel.passes.draft import Draft
from cncpanel.passes.entry import slope_length, zigzag
from cncpanel.passes.run import Step
from cncpanel.passes.shop import APPROACH
from cncpanel.passes.trail import Trail

SAMPLE = 0.5  # mm along a path between looks at the bars; what it misses grazes a bar by 0.01 mm
EDGE = 1e-5  # mm to which the place where a bar begins is found
BESIDE = 3.0  # mm along a path from a bar; there roughing left more than its allowance
SAME_HEIGHT = 1e-6  # mm
FOOT = 1e-4  # mm; a flank this low is none: where it begins is found to EDGE
LEAST_DIP = 1.0  # mm of path between two bars that is worth coming down for


@dataclass(frozen=True, slots=True, kw_only=True)
class Bar:
    """`centre` on the wall, `along` it, `across` away from it; from `inner` (behind the wall) to `outer` mm.

    On both sides it falls away over `flank` mm along the wall, down to where the tools go; 0: its ends are upright.
    `middle` of the rectangle and half the diagonal with its flanks, `reach`, are kept: they are asked for so often.
    """

    centre: Point
    along: Point
    across: Point
    width: float
    inner: float
    outer: float
    middle: Point
    reach: float
    flank: float = 0.0

    def distance(self, point: Point) -> float:
        """From the point to the bar at its full height, 0 inside."""
        return self._distance(point, self.width / 2)

    def distance_to_foot(self, point: Point) -> float:
        """From the point to the bar with its flanks, 0 inside."""
        return self._distance(point, self.width / 2 + self.flank)

    def past(self, point: Point) -> float:
        """How far along the wall the point lies beyond the bar's end, mm, below 0 beside the bar."""
        x, y = point.x - self.centre.x, point.y - self.centre.y
        return abs(x * self.along.x + y * self.along.y) - self.width / 2

    def off(self, point: Point) -> float:
        """How far across the wall the point lies beyond the bar's breadth, 0 over it."""
        x, y = point.x - self.centre.x, point.y - self.centre.y
        out = x * self.across.x + y * self.across.y
        return max(self.inner - out, out - self.outer, 0.0)

    def _distance(self, point: Point, half: float) -> float:
        x, y = point.x - self.centre.x, point.y - self.centre.y
        sideways = max(abs(x * self.along.x + y * self.along.y) - half, 0.0)
        return hypot(sideways, self.off(point))

    @property
    def corners(self) -> tuple[Point, ...]:
        """Its four corners, in turn."""
        places = ((-1, self.inner), (1, self.inner), (1, self.outer), (-1, self.outer))
        half = self.width / 2
        return tuple(
            self.centre.plus(self.along.times(side * half)).plus(self.across.times(out)) for side, out in places
        )


Distance = Callable[[Bar, Point], float]


def bar_at(
    centre: Point, along: Point, across: Point, *, width: float, inner: float, outer: float, flank: float = 0.0
) -> Bar:
    """The bar of those sizes."""
    return Bar(
        centre=centre,
        along=along,
        across=across,
        width=width,
        inner=inner,
        outer=outer,
        middle=centre.plus(across.times((inner + outer) / 2)),
        reach=hypot(width + 2 * flank, outer - inner) / 2,
        flank=flank,
    )


def without_flanks(bar: Bar) -> Bar:
    """The bar with upright ends."""
    size = {"width": bar.width, "inner": bar.inner, "outer": bar.outer}
    return bar_at(bar.centre, bar.along, bar.across, **size)


@dataclass(frozen=True, slots=True)
class _Leg:
    """A stretch of a run, from one height to another.

    `least`: the heights at both ends below which the disc would touch a bar or its flank; None where none is near.
    """

    segment: Segment | None
    begin: float
    end: float
    feed: float
    least: tuple[float, float] | None

    @property
    def is_struck(self) -> bool:
        """Whether it goes too deep as it is."""
        low = self.least
        return low is not None and (self.begin < low[0] - SAME_HEIGHT or self.end < low[1] - SAME_HEIGHT)


def lifted(draft: Draft, bars: Sequence[Bar], top: float, ramp_deg: float) -> Draft:
    """The draft, risen to `top` wherever its tool's disc would touch a bar below that."""
    radius = draft.run.tool.radius
    if not draft.through or not bars:
        return draft
    draft = _begun_above(draft, bars, top)
    legs = _legs(draft, bars, radius, top, tan(radians(ramp_deg)))
    if not any(leg.is_struck for leg in legs):
        return draft
    trail = Trail(draft.run.start, draft.run.approach)
    for number, leg in enumerate(legs):
        if leg.least is not None:
            _over(trail, leg, leg.least, draft, ramp_deg)
        else:
            _beside(trail, leg, legs[number:], draft, ramp_deg)
    return replace(draft, run=replace(draft.run, steps=tuple(trail.steps)))


def lifted_near(draft: Draft, bars: Sequence[Bar], top: float, ramp_deg: float) -> Draft:
    """The same; of many bars only those near the draft are looked at."""
    if not draft.through or not bars:
        return draft
    xmin, ymin, xmax, ymax = draft.bounds
    near = [
        bar
        for bar in bars
        if xmin - bar.reach <= bar.middle.x <= xmax + bar.reach and ymin - bar.reach <= bar.middle.y <= ymax + bar.reach
    ]
    return lifted(draft, near, top, ramp_deg)


def _begun_above(draft: Draft, bars: Sequence[Bar], top: float) -> Draft:
    """The draft with its approach over the bars, where it begins over one."""
    run = draft.run
    over = any(bar.distance(run.start) < run.tool.radius for bar in bars)
    if not over or run.approach >= top + APPROACH:
        return draft
    return replace(draft, run=replace(run, approach=top + APPROACH))


def _over(trail: Trail, leg: _Leg, least: tuple[float, float], draft: Draft, ramp_deg: float) -> None:
    """The leg at no less than its least heights; what it comes down it comes down a slope."""
    begin, end = _higher(leg.begin, least[0]), _higher(leg.end, least[1])
    if trail.z < begin - SAME_HEIGHT:
        trail.to_height(begin, draft.pace.rise)
    if leg.segment is None:
        trail.to_height(end, leg.feed)
        return
    ramp = leg.feed if least[0] == least[1] else min(leg.feed, draft.pace.ramp)
    above = leg.begin - least[0], leg.end - least[1]
    if trail.z > begin + SAME_HEIGHT and least[0] != least[1]:
        lowest = trail.z - leg.segment.length * tan(radians(ramp_deg))
        trail.along([leg.segment], ramp, max(end, lowest))
    elif above[0] * above[1] < 0 and min(map(abs, above)) > FOOT:
        share = above[0] / (above[0] - above[1])
        feeds = (leg.feed, ramp) if above[0] > 0 else (ramp, leg.feed)
        trail.along([leg.segment.part(0.0, share)], feeds[0], leg.begin + (leg.end - leg.begin) * share)
        trail.along([leg.segment.part(share, 1.0)], feeds[1], end)
    else:
        trail.along([leg.segment], ramp if leg.is_struck else leg.feed, end)


def _higher(z: float, least: float) -> float:
    """The least height, or the leg's own where it is higher or as good as there."""
    return least if least > z + FOOT else z


def _beside(trail: Trail, leg: _Leg, following: Sequence[_Leg], draft: Draft, ramp_deg: float) -> None:
    """The leg as it is, after coming down to where it begins if a bar has lifted the tool."""
    if leg.segment is None:
        trail.to_height(leg.end, leg.feed)
        return
    if trail.z > leg.begin + SAME_HEIGHT:
        length = slope_length(trail.z - leg.begin, ramp_deg) / 2
        zigzag(trail, list(_ahead(following, length)), leg.begin, ramp_deg, draft.pace.ramp)
    trail.along([leg.segment], leg.feed, leg.end)


def _ahead(legs: Sequence[_Leg], length: float) -> Iterator[Segment]:
    """The way ahead before the next bar, no more than `length` mm of it."""
    for leg in legs:
        if leg.least is not None or leg.segment is None or length <= 0:
            return
        yield leg.segment
        length -= leg.segment.length


def _legs(draft: Draft, bars: Sequence[Bar], radius: float, top: float, slope: float) -> list[_Leg]:
    point, z, found = draft.run.start, draft.run.approach, list[_Leg]()
    high = Heights(radius, top, slope)
    for step in draft.run.steps:
        found.extend(_split(Segment(point, Point(step.x, step.y), step.bulge), z, step, bars, high, draft.pace.slot))
        point, z = Point(step.x, step.y), step.z
    return _without_short_dips(found)


def _without_short_dips(legs: Sequence[_Leg]) -> list[_Leg]:
    """The legs, up all the way where there is no room to come down between two bars."""
    found = list(legs)
    begin = None
    for number, leg in enumerate(legs):
        if leg.least is not None:
            if begin is not None and sum(_length(one) for one in legs[begin:number]) < LEAST_DIP:
                before = found[begin - 1].least if begin else None
                high = max(leg.least[0], leg.least[0] if before is None else before[1])
                found[begin:number] = [replace(one, least=(high, high)) for one in legs[begin:number]]
            begin = number + 1
        elif leg.segment is None:
            begin = None
    return found


def _length(leg: _Leg) -> float:
    return leg.segment.length if leg.segment else 0.0


@dataclass(frozen=True, slots=True)
class Heights:
    """How deep a disc of that radius may go beside bars whose tops and flanks are those."""

    radius: float
    top: float
    slope: float

    def _reach(self, bar: Bar, point: Point) -> float:
        """How far along the wall the disc reaches over the bar's breadth."""
        return sqrt(max(self.radius**2 - bar.off(point) ** 2, 0.0))

    def least(self, point: Point, bars: Sequence[Bar]) -> float:
        """The height that the disc must keep there, over the highest of the bars whose feet it touches."""
        down = min(bar.past(point) - self._reach(bar, point) if bar.flank else 0.0 for bar in bars)
        return self.top - (down * self.slope if down > 2 * EDGE else 0.0)


def _split(segment: Segment, z: float, step: Step, bars: Sequence[Bar], high: Heights, beside: float) -> Iterator[_Leg]:
    """One step as legs, cut where bars begin and end; no faster than `beside` next to one, where more was left."""
    length, radius = segment.length if segment.chord > SHORT else 0.0, high.radius
    near = [bar for bar in bars if _may_touch(segment, bar, radius + BESIDE)] if min(z, step.z) < high.top else []
    if length == 0.0:
        under = [bar for bar in near if bar.distance_to_foot(segment.start) < radius]
        low = high.least(segment.start, under) if under else None
        yield _Leg(None, z, step.z, step.feed, None if low is None else (low, low))
        return
    slow = min(step.feed, beside)
    edges = _edges(segment, near, radius) + (_edges(segment, near, radius + BESIDE) if slow < step.feed else [])
    cuts = [0.0, *sorted(edges), 1.0]
    for first, last in pairwise(cuts):
        if (last - first) * length > EDGE:
            middle = segment.point_at((first + last) / 2)
            apart = min((bar.distance_to_foot(middle) for bar in near), default=inf)
            part = segment if (first, last) == (0.0, 1.0) else segment.part(first, last)
            feed = slow if apart < radius + BESIDE else step.feed
            under = [bar for bar in near if bar.distance_to_foot(middle) < radius]
            least = (high.least(part.start, under), high.least(part.end, under)) if under else None
            yield _Leg(part, z + (step.z - z) * first, z + (step.z - z) * last, feed, least)


def _may_touch(segment: Segment, bar: Bar, radius: float) -> bool:
    """Whether the disc about half the chord, which holds all of an arc up to half a turn, comes near the bar."""
    half = segment.chord / 2
    middle = Point((segment.start.x + segment.end.x) / 2, (segment.start.y + segment.end.y) / 2)
    return middle.distance(bar.middle) < half + radius + bar.reach


def _edges(segment: Segment, bars: Sequence[Bar], radius: float) -> list[float]:
    """Fractions of the segment where the disc comes to touch any bar or leaves it."""
    return sorted(edge for bar in bars for edge in _crossings(segment, bar, radius))


def _crossings(segment: Segment, bar: Bar, radius: float) -> Iterator[float]:
    """The same for one bar and, where it has flanks, for its foot."""
    yield from _met(segment, bar, radius, Bar.distance)
    if bar.flank:
        yield from _met(segment, bar, radius, Bar.distance_to_foot)


def _met(segment: Segment, bar: Bar, radius: float, distance: Distance) -> Iterator[float]:
    """Stretches are halved where the bar may be near, left out where it is not."""
    whole, near, stretches = segment.length, radius + bar.reach, [(0.0, 1.0)]
    while stretches:
        first, last = stretches.pop()
        middle, length = (first + last) / 2, (last - first) * whole
        if segment.point_at(middle).distance(bar.middle) > near + length / 2:
            continue
        if length > SAMPLE:
            stretches += [(middle, last), (first, middle)]
            continue
        was = distance(bar, segment.point_at(first)) < radius
        if was != (distance(bar, segment.point_at(last)) < radius):
            yield _edge(segment, lambda point: distance(bar, point) < radius, first, last, was=was)


def _edge(segment: Segment, is_near: Callable[[Point], bool], first: float, last: float, *, was: bool) -> float:
    """Where between two fractions the disc crosses the bar's rim, on the far side of it."""
    while (last - first) * segment.length > EDGE:
        middle = (first + last) / 2
        if is_near(segment.point_at(middle)) == was:
            first = middle
        else:
            last = middle
    return last if was else first
