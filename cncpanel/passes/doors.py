"""Where else a closed pass may be entered, so that the ways between cuts can be short.

Away from corners and tabs; on a lead into the waste only where none of another pass is near, and where the waste round
it stays in one piece, so that what hangs on it still does.
"""

from collections.abc import Iterator
from dataclasses import dataclass, field
from math import floor

from cncpanel.geometry.pieces import Pieces
from cncpanel.geometry.point import Point
from cncpanel.geometry.ring import Ring
from cncpanel.geometry.segment import Bounds
from cncpanel.passes.bridge import Bar, lifted_near
from cncpanel.passes.lead import CIRCLE_RADII, Circle, Glide, circle_at, glide_at, overlap
from cncpanel.passes.profile import Closed
from cncpanel.passes.run import Door, Run
from cncpanel.passes.shop import Shop
from cncpanel.passes.trail import Trail

SPACING = 120.0  # mm between doors on a long stretch
MOST = 12  # doors of a ring
FROM_CORNER = 2.0  # tool diameters, as far as tabs keep from where a pass is entered
FROM_TAB = 2.0  # tool diameters, the same
TIGHT = 3.0  # tool diameters; an arc of a smaller radius counts as a corner
WASTE = 10.0  # mm of waste that stay in one piece round a lead

Way = Circle | Glide | float


@dataclass(frozen=True, slots=True)
class ClosedEntries:
    """The doors of one closed pass; the run of each is made when it is asked for."""

    closed: Closed
    ways: tuple[Way, ...]
    doors: tuple[Door, ...]
    bars: tuple[Bar, ...]
    shop: Shop

    def run(self, number: int) -> Run:
        """The run that is entered by that door, over the tabs."""
        draft = self.closed.entered(self.ways[number])
        return lifted_near(draft, self.bars, self.shop.tab_top, self.shop.ramp_deg).run


@dataclass(slots=True)
class Doors:
    """Gives the closed passes of a sheet their doors; `leads`: discs in the waste, and whose each is."""

    pieces: Pieces
    bars: tuple[Bar, ...]
    shop: Shop
    leads: list[tuple[Closed, Point, float]] = field(default_factory=list)

    def enter_first(self, closed: Closed, way: Way) -> None:
        """Mark where the pass is entered as a rule: others' leads keep away from there."""
        if isinstance(way, Circle):
            self.leads.append((closed, way.centre, _reach(closed, way)))

    def entries(self, closed: Closed, first: Way) -> ClosedEntries | None:
        """The doors of a pass; None where it has none but its first."""
        ways = tuple(way for way in self._ways(closed, first) if self._is_free(closed, way))
        if not ways:
            return None
        doors = tuple(door(closed, way) for way in ways)
        return ClosedEntries(closed, ways, doors, self.bars, self.shop)

    def _ways(self, closed: Closed, first: Way) -> Iterator[Way]:
        radius = closed.radius
        for s in places(closed.finish, 2 * radius):
            if closed.rough is not None:
                yield glide_at(closed.finish, closed.rough, s, radius)
            elif isinstance(first, Circle):
                found = (circle_at(closed.finish, s, share, radius, closed.scrap) for share in CIRCLE_RADII)
                circle = next(filter(None, found), None)
                if circle is not None:
                    yield circle
            else:
                yield s

    def _is_free(self, closed: Closed, way: Way) -> bool:
        still = FROM_TAB * 2 * closed.radius
        ends = closed.met(way), closed.left(way)
        if any(bar.distance_to_foot(place) < still for bar in self.bars for place in ends):
            return False
        return not isinstance(way, Circle) or self._has_waste(closed, way)

    def _has_waste(self, closed: Closed, circle: Circle) -> bool:
        """Whether the lead's disc lies where only this pass is led in; if so it is marked."""
        reach = _reach(closed, circle)
        if any(bar.distance_to_foot(circle.centre) < reach + WASTE for bar in self.bars):
            return False
        for other, centre, radius in self.leads:
            if other is not closed and centre.distance(circle.centre) < reach + radius + WASTE:
                return False
        if not self.pieces.stay_whole(circle.centre, reach, reach + WASTE):
            return False
        self.leads.append((closed, circle.centre, reach))
        return True


def places(ring: Ring, diameter: float) -> list[float]:
    """Places on the ring that keep off its corners, mm from its start, evenly thinned out."""
    found: list[float] = []
    for index, segment in enumerate(ring.segments):
        room = segment.length - 2 * FROM_CORNER * diameter
        if room < 0 or (segment.is_arc and segment.radius < TIGHT * diameter):
            continue
        count = 1 + floor(room / SPACING)
        begin = ring.start_of(index) + FROM_CORNER * diameter
        found += [begin + room * (i + 0.5) / count for i in range(count)]
    step = max(len(found) / MOST, 1.0)
    return [found[floor(i * step)] for i in range(min(len(found), MOST))]


def door(closed: Closed, way: Way) -> Door:
    """Where the run that is entered that way begins and ends."""
    maker, ring = closed.maker, closed.finish
    if isinstance(way, Glide):
        assert closed.rough is not None, "only roughing is left by a glide"
        return Door(closed.rough.point(maker.rough_start(closed.rough, way)), closed.left(way))
    over = overlap(ring, closed.radius)
    if isinstance(way, Circle):
        trail = Trail(ring.point(way.s + over), 0.0)
        way.leave(trail, ring, way.s + over, 1.0)
        return Door(way.touch, trail.point, _lead(way, over))
    return Door(ring.point(way), ring.point(way + maker.way_round(ring) + over))


def _reach(closed: Closed, circle: Circle) -> float:
    """Of all that is swept by the circle and by the way off it, from the circle's middle, mm."""
    return circle.touch.distance(circle.centre) + closed.radius + overlap(closed.finish, closed.radius)


def _lead(circle: Circle, over: float) -> Bounds:
    reach = circle.touch.distance(circle.centre) + over
    x, y = circle.centre.x, circle.centre.y
    return x - reach, y - reach, x + reach, y + reach
