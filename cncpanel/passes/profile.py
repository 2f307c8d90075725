"""Along a finished wall: round a part's outline, or inside an opening.

Where there is room, rough passes leave the machine's allowance and one climb pass at full depth takes it, met and left
on flat arcs inside the kerf that is already there. Without room (a neighbour as near as the tool is wide, an allowance
of 0) the passes go along the wall itself, entered and left by a small circle beside it where that fits into the scrap.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

from cncpanel.geometry.area import Area, strays
from cncpanel.geometry.contour import Contour
from cncpanel.geometry.offset import offset
from cncpanel.geometry.point import Point
from cncpanel.geometry.region import region_of
from cncpanel.geometry.ring import Ring, rings_of
from cncpanel.operation.operation import Profile
from cncpanel.passes.draft import Draft, Title, draft
from cncpanel.passes.entry import OVER_TOP, descent, rounds_down
from cncpanel.passes.lead import Circle, circle_beside, glide, overlap, quiet_place
from cncpanel.passes.pace import LEAST_FINISH, Pace, pace
from cncpanel.passes.shop import APPROACH, Shop
from cncpanel.passes.trail import Trail

CORNER = 3.0  # allowances; roughing that keeps further than this from the finish path left a neck for it


@dataclass(frozen=True, slots=True, kw_only=True)
class Track:
    """Where a profile's tool centre goes: finish rings climb, and the rough rings that leave `allowance`."""

    finish: tuple[Ring, ...]
    rough: tuple[Ring, ...]
    allowance: float


def track(operation: Profile, room: float, shop: Shop) -> Track | None:
    """The rings of a profile; `room` is what is free beyond the tool's own width. None: the tool does not fit."""
    finish = _loops(operation, operation.tool.radius)
    allowance = min(shop.wall_allowance, room)
    if not finish:
        return None
    rough = _loops(operation, operation.tool.radius + allowance) if allowance >= LEAST_FINISH else ()
    if len(rough) != len(finish) or strays(finish, rough, CORNER * allowance):
        rough, allowance = finish, 0.0
    climb = rings_of(finish)
    if shop.direction == "conventional":
        rough = tuple(loop.reversed() for loop in rough)
    return Track(finish=climb, rough=rings_of(rough), allowance=allowance)


def _loops(operation: Profile, distance: float) -> tuple[Contour, ...]:
    """The tool centre's loops in climb direction: clockwise round material, counter-clockwise in a hole."""
    outside = operation.side == "outside"
    regions = offset((region_of(operation.contour),), distance if outside else -distance)
    loops = [loop for region in regions for loop in region.contours]
    return tuple(loop.reversed() for loop in loops) if outside else tuple(loops)


def profile(operation: Profile, way: Track, scrap: Area, title: Title, shop: Shop) -> Iterator[tuple[Draft, Point]]:
    """A run for each ring, and the place on it that tabs keep away from: where it is entered and left."""
    depth = shop.outline_depth if operation.side == "outside" else -shop.bottom
    depths = shop.step_depths(operation.tool, "slot", depth)
    step = max(b - a for a, b in pairwise((0.0, *depths)))
    finishes = shop.step_depths(operation.tool, "finish", depth)
    speed = pace(shop, operation.tool, step, finishes[0])
    last = len(way.finish) - 1
    for number, (finish, rough) in enumerate(_pairs(way)):
        frees = number == last and title.kind == "outline" and depth == -shop.bottom
        maker = _Maker(title, shop, speed, depths, finishes, frees)
        if way.allowance or shop.direction == "conventional":
            yield maker.in_two(finish, rough)
        else:
            yield maker.in_one(finish, scrap)


def _pairs(way: Track) -> Iterator[tuple[Ring, Ring]]:
    """Each finish ring with the rough ring beside it."""
    left = list(way.rough)
    for finish in way.finish:
        beside = min(left, key=lambda ring: ring.nearest(finish.point(0.0))[1])
        left.remove(beside)
        yield finish, beside


@dataclass(frozen=True, slots=True)
class _Maker:
    """What the runs of one profile share."""

    title: Title
    shop: Shop
    pace: Pace
    depths: tuple[float, ...]
    finishes: tuple[float, ...]
    frees: bool

    def in_one(self, ring: Ring, scrap: Area) -> tuple[Draft, Point]:
        """Passes along the wall itself."""
        radius = self.title.tool.radius
        circle = circle_beside(ring, radius, scrap)
        s = circle.s if circle else quiet_place(ring)
        trail = self._over(ring.point(s))
        end = self._passes(trail, ring, s, circle)
        over = overlap(ring, radius)
        trail.along(ring.stretch(end, end + over), self.pace.slot)
        if circle:
            circle.leave(trail, ring, end + over, self.pace.slot)
        return self._draft(trail), ring.point(s)

    def in_two(self, finish: Ring, rough: Ring) -> tuple[Draft, Point]:
        """Rough passes beside the wall, then the finish at full depth, climb."""
        way = glide(finish, rough, self.title.tool.radius)
        whole = sum(a + b for a, b in descent(rough.length, self.depths, self.shop.ramp_deg))
        s = (way.rough_s - whole) % rough.length
        trail = self._over(rough.point(s))
        self._passes(trail, rough, s, None)
        for depth in self.finishes:
            way.cut(trail, finish, -depth, self.pace, self.title.tool.radius)
        return self._draft(trail), finish.point(way.finish_s)

    def _over(self, start: Point) -> Trail:
        trail = Trail(start, APPROACH)
        trail.to_height(OVER_TOP, self.pace.plunge)
        return trail

    def _passes(self, trail: Trail, ring: Ring, s: float, circle: Circle | None) -> float:
        """Round at every depth. Returns where the last round ended."""
        if circle is None:
            feeds = self.pace.ramp, self.pace.slot
            return rounds_down(trail, ring, s, self.depths, self.shop.ramp_deg, feeds)
        for depth in self.depths:
            circle.down(trail, -depth, self.shop.ramp_deg, self.pace.ramp)
            if depth == self.depths[-1]:
                circle.flat(trail, self.pace.slot)
            trail.along(ring.stretch(s, s + ring.length), self.pace.slot)
        return s

    def _draft(self, trail: Trail) -> Draft:
        return draft(self.title, trail, self.pace, through=True, frees=self.frees)
