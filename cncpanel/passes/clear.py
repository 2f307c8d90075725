"""Everything out of a region down to a flat floor: inside out at each depth, then once along the wall.

Inside out the tool is buried only in the innermost round; each further round takes the step-over. A groove as wide
as the tool is one pass along its middle.
"""

from collections.abc import Iterator, Sequence
from itertools import pairwise

from cncpanel.geometry.area import Area, strays
from cncpanel.geometry.contour import Contour, contour_of
from cncpanel.geometry.offset import Offsetter
from cncpanel.geometry.point import Point
from cncpanel.geometry.region import Region
from cncpanel.geometry.segment import Segment
from cncpanel.geometry.tolerance import PATH
from cncpanel.operation.operation import Clear
from cncpanel.passes.draft import Draft, Title, draft
from cncpanel.passes.entry import OVER_TOP, circle_from, helix, ramp_round, zigzag
from cncpanel.passes.lead import glide
from cncpanel.passes.pace import LEAST_FINISH, Pace, pace
from cncpanel.passes.profile import CORNER
from cncpanel.passes.ring import Ring, rings_of
from cncpanel.passes.rounds import Round, rounds
from cncpanel.passes.shop import APPROACH, STEP_OVER, Shop
from cncpanel.passes.trail import Trail

SNUG = 0.8 * PATH  # mm by which a tool as wide as its groove may be too wide: rounding, not wood
NECK = 0.5  # mm; where a hair's less radius reaches further than this, the region has a neck as wide as the tool
ONE_LINE = 3 * PATH  # mm; a loop whose two sides are nearer to each other than this is one line there and back
CLOSE = 1.5  # step-overs that a link may cut through uncleared material
SLACK = 0.01  # mm by which a link may seem to leave the cleared area: chords decide no finer
SMALL_ROUND = 4.0  # tool diameters; an innermost round shorter than this is entered by a helix beside it
POINT_ROUND = 0.2  # tool diameters; the tool goes straight down in a round shorter than this, if it may


def clear(operation: Clear, title: Title, shop: Shop) -> tuple[Draft, ...]:
    """Runs in the order in which they must be cut; () where the tool does not fit."""
    room, radius = Offsetter((operation.open_region,)), operation.tool.radius
    wide, snug = room.at(-radius), room.at(SNUG - radius)
    if not operation.tool.plunges and _is_a_point(wide or snug, operation.tool.cut_diameter):
        return ()
    work = _Clearing(operation, title, shop)
    if wide and not strays(_loops(snug), _loops(wide), NECK):
        return tuple(work.wide(room, wide, radius))
    if wide:
        return tuple(work.wide(room, snug, radius - SNUG))
    return tuple(work.snug(snug)) if snug else ()


class _Clearing:
    """One region being cleared: runs so far and the trail being written."""

    def __init__(self, operation: Clear, title: Title, shop: Shop) -> None:
        self._title, self._shop, self._tool = title, shop, operation.tool
        self._through = operation.depth is None
        total = shop.depth(operation.depth)
        self._finish_depths = shop.step_depths(self._tool, "finish", total)
        self._depths = shop.step_depths(self._tool, "slot", total)
        step = max(b - a for a, b in pairwise((0.0, *self._depths)))
        self._pace: Pace = pace(shop, self._tool, step, self._finish_depths[0])
        self._trail: Trail | None = None
        self._done: list[Draft] = []

    # -- the whole region

    def wide(self, room: Offsetter, walls: tuple[Region, ...], radius: float) -> Iterator[Draft]:
        """Rounds from the walls inwards, cut from the inside out; `walls` is where the tool's centre may be."""
        allowance = self._shop.machine.cutting.finish_allowance
        rough = room.at(-radius - allowance) if allowance >= LEAST_FINISH else ()
        tiny = _is_a_point(rough, self._tool.cut_diameter)
        if tiny or strays(_loops(walls), _loops(rough), CORNER * allowance):
            allowance = 0.0
        climb = self._shop.direction == "climb" or not allowance
        step = STEP_OVER * self._tool.cut_diameter
        outermost = rounds(room, radius + allowance, step, climb=climb)
        self._locus = Area.of(rough if allowance else walls)
        floor = 0.0
        for depth in self._depths:
            cleared: list[Round] = []
            for one in outermost:
                self._round(one, floor, -depth, cleared)
            floor = -depth
        if allowance:
            self._walls(rings_of(_loops(walls)), [r for one in outermost for r in one.rings], floor)
        self._close()
        return iter(self._done)

    def _round(self, one: Round, floor: float, z: float, cleared: list[Round]) -> None:
        """The round and all inside it, innermost first; `cleared`: the outermost rounds that are finished."""
        for inner in one.inner:
            self._round(inner, floor, z, cleared)
        for number, ring in enumerate(_nearest_first(one.rings, self._trail)):
            fresh = not one.inner and number == 0
            if fresh or not self._link_across(ring, z, cleared):
                self._enter(ring, one, floor, z)
        del cleared[len(cleared) - len(one.inner) :]
        cleared.append(one)

    def _link_across(self, ring: Ring, z: float, cleared: Sequence[Round]) -> bool:
        """Over to the ring at depth and once round it, if the way there is short of uncut material."""
        trail = self._trail
        if trail is None or trail.z > z + 1e-9:
            return False
        s, _ = ring.nearest(trail.point)
        goal = ring.point(s)
        if not self._is_free(trail.point, goal, cleared, CLOSE * STEP_OVER * self._tool.cut_diameter):
            return False
        trail.straight(goal, self._pace.clear)
        trail.along(ring.stretch(s, s + ring.length), self._pace.clear)
        return True

    def _is_free(self, start: Point, goal: Point, cleared: Sequence[Round], uncut: float) -> bool:
        if start.distance(goal) <= SLACK:
            return True
        if not self._locus.holds_line(start, goal, SLACK):
            return False
        inside = sum(one.area.length_inside(start, goal) for one in cleared)
        return start.distance(goal) - inside <= uncut

    # -- down into material

    def _enter(self, ring: Ring, one: Round, floor: float, z: float) -> None:
        """Down to `z` by the ring's own length, or by a helix where it is small, and once round it."""
        diameter, pace = self._tool.cut_diameter, self._pace
        aside = min(one.room, 0.9 * self._tool.radius)
        s = ring.nearest(self._trail.point)[0] if self._trail else 0.0
        if ring.length < POINT_ROUND * diameter and one.room <= 0 and self._tool.plunges:
            self._go_over(ring.point(s), floor)
            self._now.to_height(z, pace.plunge)
        elif ring.length < SMALL_ROUND * diameter and aside > 0:
            middle = ring.point(s)
            self._go_over(Point(middle.x + aside, middle.y), floor)
            helix(self._now, middle, z, self._shop.ramp_deg, pace.ramp, clockwise=False)
            self._now.along(circle_from(self._now.point, middle, clockwise=False), pace.slot)
            self._now.straight(middle, pace.slot)
        else:
            self._go_over(ring.point(s), floor)
            s = ramp_round(self._now, ring, s, z, self._shop.ramp_deg, pace.ramp)
        self._now.along(ring.stretch(s, s + ring.length), pace.slot)

    @property
    def _now(self) -> Trail:
        assert self._trail is not None
        return self._trail

    def _go_over(self, point: Point, floor: float) -> None:
        """To the point at the floor's height: at depth over the cleared floor, or up and down again."""
        trail = self._trail
        if trail is not None and abs(trail.z - floor) < 1e-9 and self._locus.holds_line(trail.point, point, SLACK):
            trail.straight(point, self._pace.clear)
            return
        self._begin(point, floor)

    def _begin(self, point: Point, floor: float) -> None:
        self._close()
        self._trail = Trail(point, floor + APPROACH)
        self._trail.to_height(floor if floor < 0 else OVER_TOP, self._pace.plunge)

    def _close(self) -> None:
        if self._trail is not None and self._trail.steps:
            self._done.append(draft(self._title, self._trail, self._pace, through=self._through))
        self._trail = None

    # -- along the wall

    def _walls(self, walls: Sequence[Ring], rough: Sequence[Ring], floor: float) -> None:
        """Once along every wall, climb, at full depth."""
        for wall in _nearest_first(walls, self._trail):
            beside = min(rough, key=lambda ring: ring.nearest(wall.point(0.0))[1])
            way = glide(wall, beside, self._tool.radius)
            if not self._locus.holds_line(self._now.point, way.meet, SLACK):
                self._begin(way.meet, floor)
            for depth in self._finish_depths:
                way.cut(self._now, wall, -depth, self._pace)

    # -- a groove as wide as the tool

    def snug(self, regions: tuple[Region, ...]) -> Iterator[Draft]:
        """Along the middle of each piece, to and fro at each depth."""
        for region in regions:
            for ring in rings_of(region.contours[:1]):
                self._line(_one_line(ring) or list(ring.segments))
        self._close()
        return iter(self._done)

    def _line(self, chain: Sequence[Segment]) -> None:
        """Along the chain and back, depth by depth; straight down where it is hardly more than a point."""
        is_loop = chain[0].start.distance(chain[-1].end) < SLACK
        self._begin(chain[0].start, 0.0)
        for number, depth in enumerate(self._depths):
            back = number % 2 == 1 and not is_loop
            way = [s.reversed() for s in reversed(chain)] if back else list(chain)
            if _length(way) < POINT_ROUND * self._tool.cut_diameter and self._tool.plunges:
                self._now.to_height(-depth, self._pace.plunge)
            else:
                zigzag(self._now, way, -depth, self._shop.ramp_deg, self._pace.ramp)
            self._now.along(way, self._pace.slot)


def _loops(regions: Sequence[Region]) -> tuple[Contour, ...]:
    return tuple(contour for region in regions for contour in region.contours)


def _is_a_point(regions: Sequence[Region], diameter: float) -> bool:
    """Whether the tool's centre has so little room that no slope goes down there, only straight down."""
    return all(loop.length < POINT_ROUND * diameter for loop in _loops(regions))


def _length(chain: Sequence[Segment]) -> float:
    return sum(segment.length for segment in chain)


def _nearest_first(rings: Sequence[Ring], trail: Trail | None) -> Iterator[Ring]:
    """The rings, each the nearest to where the tool is when it is asked for."""
    left = list(rings)
    while left:
        here = trail.point if trail else left[0].point(0.0)
        ring = min(left, key=lambda one: one.nearest(here)[1])
        left.remove(ring)
        yield ring


def _one_line(ring: Ring) -> list[Segment]:
    """One side of a loop that is a line there and back; the whole loop where it is more than that."""
    corners = [segment.start for segment in ring.segments]
    pairs = [(round(-a.distance(b), 6), i, j) for i, a in enumerate(corners) for j, b in enumerate(corners) if i < j]
    _, first, last = min(pairs)
    there = ring.stretch(ring.start_of(first), ring.start_of(last))
    back = ring.stretch(ring.start_of(last), ring.start_of(first) + ring.length)
    if strays([_thin(back)], [_thin(there)], ONE_LINE):
        return list(ring.segments)
    return [segment for segment in there if segment.length > ONE_LINE]


def _thin(chain: Sequence[Segment]) -> Contour:
    """A chain there and back, so that it may be compared as a loop."""
    return contour_of([*chain, *(segment.reversed() for segment in reversed(chain))])
