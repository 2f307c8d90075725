"""Everything out of a region down to a flat floor: from its middle at each depth, then once along the wall.

The tool is buried only where it gets in; from there on it is engaged no wider than allowed. A groove as wide as the
tool is one pass along its middle.
"""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import pairwise
from math import pi

from cncpanel.geometry.area import Area, strays
from cncpanel.geometry.cleared import Cleared
from cncpanel.geometry.contour import Contour
from cncpanel.geometry.offset import Offsetter
from cncpanel.geometry.point import Point
from cncpanel.geometry.region import Region
from cncpanel.geometry.ring import Ring, rings_of
from cncpanel.geometry.segment import Segment
from cncpanel.geometry.tolerance import FLATTEN, PATH, SNUG
from cncpanel.operation.operation import Clear
from cncpanel.passes.bore import LEAST_HELIX
from cncpanel.passes.draft import Draft, Title, draft
from cncpanel.passes.entry import OVER_TOP, circle_from, helix, ramp_round, rounds_down, zigzag
from cncpanel.passes.lead import Glide, glide, quiet_place
from cncpanel.passes.line import one_line
from cncpanel.passes.opening import AWAY, NEXT, Opening
from cncpanel.passes.pace import LEAST_FINISH, Pace, pace, stepped_over
from cncpanel.passes.profile import CORNER
from cncpanel.passes.raster import open_in_lines
from cncpanel.passes.shop import APPROACH, ENGAGEMENT, Shop
from cncpanel.passes.stroke import Seed, Stroke
from cncpanel.passes.trail import Trail

NECK = 0.5  # mm; where a hair's less radius reaches further than this, the region has a neck as wide as the tool
ONE_LINE = 3 * PATH  # mm; a loop whose two sides are nearer to each other than this is one line there and back
SLACK = 0.01  # mm by which a link may seem to leave the cleared area: chords decide no finer
LAP = 0.2  # tool diameters that a wall's stretch goes on over what the larger tool has finished
POINT_ROUND = 0.2  # tool diameters; the tool goes straight down in a round shorter than this, if it may


def clear(operation: Clear, title: Title, shop: Shop) -> tuple[Draft, ...]:
    """Runs in the order in which they must be cut; () where the tool does not fit."""
    room, radius = Offsetter((operation.open_region,)), operation.tool.radius
    wide, snug = _broad(room.at(-radius)), room.at(SNUG - radius)
    snug = _broad(snug) if len(snug) > 1 else snug
    if not operation.tool.plunges and _is_a_point(wide or snug, operation.tool.cut_diameter):
        return ()
    work = _Clearing(operation, title, shop)
    if wide and not strays(_loops(snug), _loops(wide), NECK):
        return tuple(work.wide(room, wide, radius))
    if wide:
        return tuple(work.wide(room, snug, radius - SNUG))
    return tuple(work.snug(snug)) if snug else ()


def straight(operation: Clear, line: Segment, title: Title, shop: Shop) -> Iterator[Draft]:
    """One way along the line at each depth, where the tool's disc covers all from there."""
    return _Clearing(operation, title, shop).lined(line)


class _Clearing:
    """One region being cleared: runs so far and the trail being written."""

    def __init__(self, operation: Clear, title: Title, shop: Shop) -> None:
        self._title, self._shop, self._tool = title, shop, operation.tool
        self._through = operation.depth is None
        self._is_lined = operation.lines == "along"
        total = shop.depth(operation.depth)
        self._finish_depths = shop.step_depths(self._tool, "finish", total)
        self._depths = shop.clearing_depths(self._tool, operation.depth)
        step = max(b - a for a, b in pairwise((0.0, *self._depths)))
        self._pace: Pace = pace(shop, self._tool, step, self._finish_depths[0])
        shop.note(*self._pace.cuts("slot"))
        self._left = 1.0
        self._before = _cleared_before(operation)
        self._trail: Trail | None = None
        self._done: list[Draft] = []

    # -- the whole region

    def wide(self, room: Offsetter, walls: tuple[Region, ...], radius: float) -> Iterator[Draft]:
        """From the middle to the walls at each depth; `walls` is where the tool's centre may be."""
        allowance = self._shop.wall_allowance
        rough = room.at(-radius - allowance) if allowance >= LEAST_FINISH else ()
        tiny = _is_a_point(rough, self._tool.cut_diameter)
        if self._before or tiny or strays(_loops(walls), _loops(rough), CORNER * allowance):
            allowance = 0.0
        inner = rough if allowance else walls
        climb = (self._shop.direction if allowance else self._shop.finish_direction) == "climb"
        self._left = 1.0 if climb else -1.0
        opening = Opening(self._tool.cut_diameter, ENGAGEMENT, climb=climb, plunges=self._tool.plunges)
        if self._before:
            opening.after(self._before)
        lined = self._is_lined and not self._before
        if lined:
            open_in_lines(inner, opening, self._tool.cut_diameter)
        else:
            for region in inner:
                opening.open(region)
        self._locus = Area.of(inner)
        floor, strokes = 0.0, opening.strokes
        if not (self._tool.plunges or self._before) and any(_is_straight_down(one) for one in strokes):
            return iter(())
        if len(strokes) == 1 and opening.followed_walls:
            self._loop(strokes[0])
            floor, strokes = -self._depths[-1], []
        for depth in self._depths if strokes else ():
            for stroke in strokes:
                self._stroke(stroke, floor, -depth)
            floor = -depth
        if self._before:
            self._rest_walls(self._finished(walls), self._before, floor)
        elif allowance or lined or not opening.followed_walls:
            self._walls(self._finished(walls), rings_of(_loops(inner)), floor)
        self._close()
        return iter(self._done)

    def _loop(self, stroke: Seed | Stroke) -> None:
        """One narrow loop down through all depths."""
        self._begin(stroke.chain[0].start, 0.0)
        feeds = self._pace.ramp, self._pace.slot
        rounds_down(self._now, Ring.of(stroke.chain), 0.0, self._depths, self._shop.ramp_deg, feeds)

    def _stroke(self, stroke: Seed | Stroke, floor: float, z: float) -> None:
        if isinstance(stroke, Seed):
            self._enter(stroke, floor, z)
            return
        start = stroke.chain[0].start
        if stroke.link and abs(self._now.z - z) < 1e-9:
            self._shop.note(*self._pace.cuts("finish"))
            for place in stroke.link:
                self._now.straight(place, self._pace.finish)
        else:
            self._begin(start, z)
        if stroke.slot:
            self._slot(stroke.chain, stroke.circles)
        else:
            self._stepped_over(stroke.chain)

    def _stepped_over(self, chain: Sequence[Segment]) -> None:
        stepped_over(self._now, chain, self._pace, self._shop, self._left)

    # -- down into material

    def _enter(self, seed: Seed, floor: float, z: float) -> None:
        """Down to `z` round a small circle where there is room for one, else along the slot, and the slot itself."""
        pace = self._pace
        if seed.circles:
            place, radius = seed.circles[0]
            self._go_over(Point(place.x + radius, place.y), floor)
            helix(self._now, place, z, self._shop.ramp_deg, pace.ramp, clockwise=False)
            self._now.along(circle_from(self._now.point, place, clockwise=False), pace.slot)
            self._now.straight(place, pace.slot)
        elif not seed.chain:
            self._go_over(seed.start, floor)
            self._now.to_height(z, pace.plunge)
        elif seed.is_loop:
            self._round(Ring.of(seed.chain), floor, z)
            return
        else:
            self._go_over(seed.start, floor)
            zigzag(self._now, seed.chain, z, self._shop.ramp_deg, pace.ramp)
        self._slot(seed.chain, seed.circles[1:])

    def _round(self, ring: Ring, floor: float, z: float) -> None:
        s = ring.nearest(self._trail.point)[0] if self._trail else 0.0
        self._go_over(ring.point(s), floor)
        s = ramp_round(self._now, ring, s, z, self._shop.ramp_deg, self._pace.ramp)
        self._now.along(ring.stretch(s, s + ring.length), self._pace.slot)

    def _slot(self, chain: Sequence[Segment], circles: Sequence[tuple[Point, float]]) -> None:
        """Along the chain, each circle opened when it is reached."""
        wait = dict(circles)
        for segment in chain:
            self._now.along([segment], self._pace.slot)
            radius = wait.pop(segment.end, 0.0)
            if radius:
                self._now.straight(Point(segment.end.x + radius, segment.end.y), self._pace.slot)
                self._now.along(circle_from(self._now.point, segment.end, clockwise=False), self._pace.slot)
                self._now.straight(segment.end, self._pace.slot)

    @property
    def _now(self) -> Trail:
        assert self._trail is not None
        return self._trail

    def _go_over(self, point: Point, floor: float) -> None:
        """To the point at the floor's height: at depth over the cleared floor, or up and down again."""
        trail = self._trail
        if trail is not None and abs(trail.z - floor) < 1e-9 and self._locus.holds_line(trail.point, point, SLACK):
            self._shop.note(*self._pace.cuts("clear"))
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

    def _finished(self, walls: Sequence[Region]) -> tuple[Ring, ...]:
        """The walls, run the way that the finish goes."""
        loops = _loops(walls)
        return rings_of(loops if self._pace.left > 0 else (loop.reversed() for loop in loops))

    def _walls(self, walls: Sequence[Ring], rough: Sequence[Ring], floor: float) -> None:
        """Once along every wall at full depth."""
        for wall in _nearest_first(walls, self._trail):
            beside = min(rough, key=lambda ring: ring.nearest(wall.point(0.0))[1])
            way = glide(wall, beside, self._tool.radius)
            self._note_finish(wall.segments)
            is_free = self._is_free(self._now.point, way.meet)
            if len(self._finish_depths) > 1 or not is_free:
                way = self._off_walls(way)
            if not is_free:
                self._begin(way.meet, floor)
            for depth in self._finish_depths:
                way.cut(self._now, wall, -depth, self._pace, self._tool.radius)

    def _off_walls(self, way: Glide) -> Glide:
        """The way onto a wall; a tool that does not plunge begins it off the walls, where roughing left no hair."""
        room = self._locus.grown(-AWAY)
        if self._tool.plunges or room.is_empty:
            return way
        place = room.nearest(way.meet)
        if not self._is_free(place, way.meet):
            return way
        return replace(way, meet=place, onto=(Segment(place, way.meet), *way.onto))

    def _note_finish(self, wall: Sequence[Segment]) -> None:
        feeds = {feed for _, feed in self._pace.along_wall(wall, self._tool.radius)}
        self._shop.note(*self._pace.cuts("finish", feeds))

    def _is_free(self, start: Point, goal: Point) -> bool:
        return self._locus.holds_line(start, goal, SLACK)

    def _rest_walls(self, walls: Sequence[Ring], before: Area, floor: float) -> None:
        """Along the walls that the larger tool did not reach, and a little of those that it did."""
        lap = LAP * self._tool.cut_diameter
        stretches = [way for wall in walls for way in _unreached(wall, before, lap)]
        while stretches and self._depths:
            here = self._trail.point if self._trail else stretches[0][0].start
            way = min(stretches, key=lambda one: one[0].start.distance(here))
            stretches.remove(way)
            off = self._pace.left * lap / 2
            self._note_finish(way)
            meet = self._beside(way[0].start, way[0].start_direction, -lap, off)
            leave = self._beside(way[-1].end, way[-1].end_direction, lap, off)
            if not self._trail or here.distance(meet) > NEXT * self._tool.cut_diameter or not self._is_free(here, meet):
                self._begin(meet, floor)
            chain = [Segment(meet, way[0].start), *way] if meet != way[0].start else way
            for depth in self._finish_depths:
                self._now.straight(meet, self._pace.finish)
                self._now.to_height(-depth, self._pace.rise if -depth > self._now.z else self._pace.plunge)
                for segment, feed in self._pace.along_wall(chain, self._tool.radius):
                    self._now.along([segment], feed)
                self._now.straight(leave, self._pace.finish)

    def _beside(self, place: Point, direction: Point, along: float, left: float) -> Point:
        """A place on along the wall, and `left` of it; the wall's own where the other wall is in the way."""
        aside = place.plus(direction.times(along)).plus(direction.left.times(left))
        return aside if self._is_free(place, aside) else place

    # -- a groove as wide as the tool

    def snug(self, regions: tuple[Region, ...]) -> Iterator[Draft]:
        """Along the middle of each piece, to and fro at each depth."""
        for region in regions:
            for ring in rings_of(region.contours[:1]):
                self._line(one_line(ring, ONE_LINE) or list(ring.segments))
        self._close()
        return iter(self._done)

    def lined(self, line: Segment) -> Iterator[Draft]:
        """Along one line whatever the region; straight down where it has no length."""
        self._line([line])
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
            if _length(way) > SLACK:
                self._now.along(way, self._pace.slot)


def _cleared_before(operation: Clear) -> Area | None:
    """The centres from which this tool would find nothing, for a larger one has been there."""
    first = operation.after
    if first is None:
        return None
    centres = Offsetter((first.open_region,)).at(-first.tool.radius)
    return Area.of(Offsetter(centres).at(first.tool.radius - operation.tool.radius))


def _unreached(wall: Ring, before: Area, lap: float) -> Iterator[list[Segment]]:
    """The stretches of a wall away from what is cleared, each `lap` mm longer at both ends."""
    cleared = Cleared()
    cleared.add(before)
    for stretch in cleared.finest_stretches(wall.segments):
        first = quiet_place(wall) if stretch.whole else wall.nearest(stretch.start)[0]
        last = first + wall.length if stretch.whole else wall.nearest(stretch.end)[0]
        last = last if last > first else last + wall.length
        yield wall.stretch(first - lap, min(last + lap, first + wall.length))


def _loops(regions: Sequence[Region]) -> tuple[Contour, ...]:
    return tuple(contour for region in regions for contour in region.contours)


def _broad(regions: Sequence[Region]) -> tuple[Region, ...]:
    """The regions without crumbs that chords leave between two walls as far apart as the tool is wide."""
    return tuple(one for one in regions if 2 * one.area > FLATTEN * sum(loop.length for loop in one.contours))


def _is_a_point(regions: Sequence[Region], diameter: float) -> bool:
    """Whether the tool's centre has so little room that no slope goes down there, only straight down."""
    return all(loop.length < POINT_ROUND * diameter for loop in _loops(regions))


def _is_straight_down(stroke: Seed | Stroke) -> bool:
    """Whether a tool gets in with no room for a slope or a circle."""
    if not isinstance(stroke, Seed) or stroke.circles:
        return False
    return not stroke.chain or (stroke.is_loop and _length(stroke.chain) < 2 * pi * LEAST_HELIX)


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
