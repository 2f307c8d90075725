"""Bars left across kerfs, and runs that lift over them.

A bar is a rectangle that begins inside the wall it holds and ends in the piece beyond the kerf. Whatever cuts
deeper than the bars' tops rises where its disc would touch one, stays up until it is past, and comes down a slope
to and fro.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from math import hypot, inf

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
LEAST_DIP = 1.0  # mm of path between two bars that is worth coming down for


@dataclass(frozen=True, slots=True, kw_only=True)
class Bar:
    """`centre` on the wall, `along` it, `across` away from it; from `inner` (behind the wall) to `outer` mm.

    `middle` of the rectangle and half its diagonal, `reach`, are kept because they are asked for so often.
    """

    centre: Point
    along: Point
    across: Point
    width: float
    inner: float
    outer: float
    middle: Point
    reach: float

    def distance(self, point: Point) -> float:
        """From the point to the bar, 0 inside."""
        x, y = point.x - self.centre.x, point.y - self.centre.y
        sideways = max(abs(x * self.along.x + y * self.along.y) - self.width / 2, 0.0)
        out = x * self.across.x + y * self.across.y
        return hypot(sideways, max(self.inner - out, out - self.outer, 0.0))

    @property
    def corners(self) -> tuple[Point, ...]:
        """Its four corners, in turn."""
        places = ((-1, self.inner), (1, self.inner), (1, self.outer), (-1, self.outer))
        half = self.width / 2
        return tuple(
            self.centre.plus(self.along.times(side * half)).plus(self.across.times(out)) for side, out in places
        )


def bar_at(centre: Point, along: Point, across: Point, *, width: float, inner: float, outer: float) -> Bar:
    """The bar of those sizes."""
    return Bar(
        centre=centre,
        along=along,
        across=across,
        width=width,
        inner=inner,
        outer=outer,
        middle=centre.plus(across.times((inner + outer) / 2)),
        reach=hypot(width, outer - inner) / 2,
    )


@dataclass(frozen=True, slots=True)
class _Leg:
    """A stretch of a run, from one height to another; `over`: a bar is under the disc."""

    segment: Segment | None
    begin: float
    end: float
    feed: float
    over: bool


def lifted(draft: Draft, bars: Sequence[Bar], top: float, ramp_deg: float) -> Draft:
    """The draft, risen to `top` wherever its tool's disc would touch a bar below that."""
    radius = draft.run.tool.radius
    if not draft.through or not bars:
        return draft
    draft = _begun_above(draft, bars, top)
    legs = _legs(draft, bars, radius, top)
    if not any(leg.over and min(leg.begin, leg.end) < top - SAME_HEIGHT for leg in legs):
        return draft
    trail = Trail(draft.run.start, draft.run.approach)
    for number, leg in enumerate(legs):
        if leg.over:
            _over(trail, leg, top, draft.pace.rise)
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


def _over(trail: Trail, leg: _Leg, top: float, rise: float) -> None:
    """The leg at no less than `top`."""
    if trail.z < top:
        trail.to_height(top, rise)
    if leg.segment is None:
        trail.to_height(max(leg.end, top), leg.feed)
        return
    if leg.begin > top > leg.end:
        share = (leg.begin - top) / (leg.begin - leg.end)
        trail.along([leg.segment.part(0.0, share)], leg.feed, top)
        trail.along([leg.segment.part(share, 1.0)], leg.feed)
    else:
        trail.along([leg.segment], leg.feed, max(leg.end, top))


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
        if leg.over or leg.segment is None or length <= 0:
            return
        yield leg.segment
        length -= leg.segment.length


def _legs(draft: Draft, bars: Sequence[Bar], radius: float, top: float) -> list[_Leg]:
    point, z, found = draft.run.start, draft.run.approach, list[_Leg]()
    for step in draft.run.steps:
        found.extend(
            _split(Segment(point, Point(step.x, step.y), step.bulge), z, step, bars, radius, top, draft.pace.slot)
        )
        point, z = Point(step.x, step.y), step.z
    return _without_short_dips(found)


def _without_short_dips(legs: Sequence[_Leg]) -> list[_Leg]:
    """The legs, up all the way where there is no room to come down between two bars."""
    found = list(legs)
    begin = None
    for number, leg in enumerate(legs):
        if leg.over:
            if begin is not None and sum(_length(one) for one in legs[begin:number]) < LEAST_DIP:
                found[begin:number] = [replace(one, over=True) for one in legs[begin:number]]
            begin = number + 1
        elif leg.segment is None:
            begin = None
    return found


def _length(leg: _Leg) -> float:
    return leg.segment.length if leg.segment else 0.0


def _split(
    segment: Segment, z: float, step: Step, bars: Sequence[Bar], radius: float, top: float, beside: float
) -> Iterator[_Leg]:
    """One step as legs, cut where bars begin and end; no faster than `beside` next to one, where more was left."""
    length = segment.length if segment.chord > SHORT else 0.0
    near = [bar for bar in bars if _may_touch(segment, bar, radius + BESIDE)] if min(z, step.z) < top else []
    if length == 0.0:
        over = any(bar.distance(segment.start) < radius for bar in near)
        yield _Leg(None, z, step.z, step.feed, over)
        return
    slow = min(step.feed, beside)
    edges = _edges(segment, near, radius) + (_edges(segment, near, radius + BESIDE) if slow < step.feed else [])
    cuts = [0.0, *sorted(edges), 1.0]
    for first, last in pairwise(cuts):
        if (last - first) * length > EDGE:
            apart = min((bar.distance(segment.point_at((first + last) / 2)) for bar in near), default=inf)
            part = segment if (first, last) == (0.0, 1.0) else segment.part(first, last)
            feed = slow if apart < radius + BESIDE else step.feed
            yield _Leg(part, z + (step.z - z) * first, z + (step.z - z) * last, feed, apart < radius)


def _may_touch(segment: Segment, bar: Bar, radius: float) -> bool:
    """Whether the disc about half the chord, which holds all of an arc up to half a turn, comes near the bar."""
    half = segment.chord / 2
    middle = Point((segment.start.x + segment.end.x) / 2, (segment.start.y + segment.end.y) / 2)
    return middle.distance(bar.middle) < half + radius + bar.reach


def _edges(segment: Segment, bars: Sequence[Bar], radius: float) -> list[float]:
    """Fractions of the segment where the disc comes to touch any bar or leaves it."""
    return sorted(edge for bar in bars for edge in _crossings(segment, bar, radius))


def _crossings(segment: Segment, bar: Bar, radius: float) -> Iterator[float]:
    """The same for one bar: stretches are halved where the bar may be near, left out where it is not."""
    whole, near, stretches = segment.length, radius + bar.reach, [(0.0, 1.0)]
    while stretches:
        first, last = stretches.pop()
        middle, length = (first + last) / 2, (last - first) * whole
        if segment.point_at(middle).distance(bar.middle) > near + length / 2:
            continue
        if length > SAMPLE:
            stretches += [(middle, last), (first, middle)]
            continue
        was = bar.distance(segment.point_at(first)) < radius
        if was != (bar.distance(segment.point_at(last)) < radius):
            yield _edge(segment, bar, radius, first, last, was=was)


def _edge(segment: Segment, bar: Bar, radius: float, first: float, last: float, *, was: bool) -> float:
    """Where between two fractions the disc crosses the bar's rim, on the far side of it."""
    while (last - first) * segment.length > EDGE:
        middle = (first + last) / 2
        if (bar.distance(segment.point_at(middle)) < radius) == was:
            first = middle
        else:
            last = middle
    return last if was else first
