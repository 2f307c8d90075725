"""Along a finished wall: round a part's outline, or inside an opening.

Where there is room, rough passes leave the machine's allowance and one pass at full depth takes it, met and left on
flat arcs inside the kerf that is already there. Without room (a neighbour as near as the tool is wide, an allowance
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
from cncpanel.passes.lead import Circle, Glide, circle_beside, glide, overlap, quiet_place
from cncpanel.passes.pace import LEAST_FINISH, Pace, pace
from cncpanel.passes.shop import APPROACH, Shop
from cncpanel.passes.trail import Trail

CORNER = 3.0  # allowances; roughing that keeps further than this from the finish path left a neck for it


@dataclass(frozen=True, slots=True, kw_only=True)
class Track:
    """Where a profile's tool centre goes: finish rings, and the rough rings that leave `allowance`."""

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
    finish, rough = _run(finish, shop.finish_direction), _run(rough, shop.direction)
    return Track(finish=rings_of(finish), rough=rings_of(rough), allowance=allowance)


def _run(climb: tuple[Contour, ...], direction: str) -> tuple[Contour, ...]:
    return climb if direction == "climb" else tuple(loop.reversed() for loop in climb)


def _loops(operation: Profile, distance: float) -> tuple[Contour, ...]:
    """The tool centre's loops in climb direction: clockwise round material, counter-clockwise in a hole."""
    outside = operation.side == "outside"
    regions = offset((region_of(operation.contour),), distance if outside else -distance)
    loops = [loop for region in regions for loop in region.contours]
    return tuple(loop.reversed() for loop in loops) if outside else tuple(loops)


def profile(operation: Profile, way: Track, scrap: Area, title: Title, shop: Shop) -> Iterator["Closed"]:
    """The closed passes of a profile, one for each ring."""
    depth = shop.outline_depth if operation.side == "outside" else -shop.bottom
    depths = shop.step_depths(operation.tool, "slot", depth)
    step = max(b - a for a, b in pairwise((0.0, *depths)))
    finishes = shop.step_depths(operation.tool, "finish", depth)
    speed = pace(shop, operation.tool, step, finishes[0])
    last = len(way.finish) - 1
    shop.note(*speed.cuts("slot"))
    for number, (finish, rough) in enumerate(_pairs(way)):
        frees = number == last and title.kind == "outline" and depth == -shop.bottom
        maker = _Maker(title, shop, speed, depths, finishes, frees)
        if way.allowance or shop.direction != shop.finish_direction:
            feeds = {feed for _, feed in speed.along_wall(finish.segments, operation.tool.radius)}
            shop.note(*speed.cuts("finish", feeds))
            yield Closed(maker=maker, finish=finish, rough=rough, scrap=scrap)
        else:
            yield Closed(maker=maker, finish=finish, rough=None, scrap=scrap)


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

    def in_one(self, ring: Ring, s: float, circle: Circle | None) -> Draft:
        """Passes along the wall itself, entered at `s`."""
        over = overlap(ring, self.title.tool.radius)
        trail = self._over(ring.point(s))
        end = self._passes(trail, ring, s, circle)
        trail.along(ring.stretch(end, end + over), self.pace.slot)
        if circle:
            circle.leave(trail, ring, end + over, self.pace.slot)
        return self._draft(trail)

    def in_two(self, finish: Ring, rough: Ring, way: Glide) -> Draft:
        """Rough passes beside the wall, then the finish at full depth."""
        s = self.rough_start(rough, way)
        trail = self._over(rough.point(s))
        self._passes(trail, rough, s, None)
        for depth in self.finishes:
            way.cut(trail, finish, -depth, self.pace, self.title.tool.radius)
        return self._draft(trail)

    def rough_start(self, rough: Ring, way: Glide) -> float:
        """Where on the rough ring to begin, so that its rounds end where the finish goes on."""
        return (way.rough_s - self.way_round(rough)) % rough.length

    def way_round(self, ring: Ring) -> float:
        """All rounds of a ring without a circle, slopes among them, mm."""
        return sum(a + b for a, b in descent(ring.length, self.depths, self.shop.ramp_deg))

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


@dataclass(frozen=True, slots=True, kw_only=True)
class Closed:
    """A closed pass along `finish`; with `rough` passes first where there is room for them, else along the wall."""

    maker: _Maker
    finish: Ring
    rough: Ring | None
    scrap: Area

    @property
    def radius(self) -> float:
        """Of its tool, mm."""
        return self.maker.title.tool.radius

    def first(self) -> Circle | Glide | float:
        """Where it is entered as a rule: a circle beside the wall, a glide onto it, or a place on it."""
        if self.rough is not None:
            return glide(self.finish, self.rough, self.radius)
        return circle_beside(self.finish, self.radius, self.scrap) or quiet_place(self.finish)

    def entered(self, way: Circle | Glide | float) -> Draft:
        """The run that is entered there."""
        if isinstance(way, Glide):
            assert self.rough is not None, "only roughing is left by a glide"
            return self.maker.in_two(self.finish, self.rough, way)
        if isinstance(way, Circle):
            return self.maker.in_one(self.finish, way.s, way)
        return self.maker.in_one(self.finish, way, None)

    def met(self, way: Circle | Glide | float) -> Point:
        """The place on the wall's path where the pass comes onto it; tabs keep away from it."""
        if isinstance(way, Glide):
            return self.finish.point(way.finish_s)
        return self.finish.point(way.s if isinstance(way, Circle) else way)

    def left(self, way: Circle | Glide | float) -> Point:
        """Where the pass leaves the kerf: beyond its start by the overlap, and by the slopes of plain rounds."""
        if isinstance(way, Glide):
            return way.off[-1].end if way.off else self.finish.point(way.finish_end)
        over = overlap(self.finish, self.radius)
        if isinstance(way, Circle):
            return self.finish.point(way.s + over)
        return self.finish.point(way + self.maker.way_round(self.finish) + over)
