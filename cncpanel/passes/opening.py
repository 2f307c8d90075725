"""A region of tool centres opened from its middle to its walls, in the plane: strokes in the order of cutting.

The tool is never deeper in material than its engagement allows but where it gets in (`Seed`): a small circle, or the
one slot along the middle of what is hardly wider than the tool.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import hypot, sqrt

from cncpanel.geometry.area import Area
from cncpanel.geometry.cleared import NEAR, Cleared, Level, Stretch
from cncpanel.geometry.contour import Contour, circle
from cncpanel.geometry.point import Point
from cncpanel.geometry.region import Region, region_of
from cncpanel.geometry.ring import SHORT, Ring, rings_of
from cncpanel.geometry.segment import Segment
from cncpanel.passes.bends import ends_and_bends
from cncpanel.passes.fronts import CORE, STEP, Front, Fronts
from cncpanel.passes.line import one_line
from cncpanel.passes.onto import onto, spiral
from cncpanel.passes.stroke import Seed, Stroke

CIRCLE = 0.45  # tool diameters; the radius of the circle that a tool goes down in: no core stays
POINT = 0.15  # tool diameters; a core no longer than this is a point
ASIDE = (0.2, 0.4, 0.6, 0.8, 1.0, 1.2)  # tool diameters from a slot's end to what is cleared already
NARROW = 0.28  # tool diameters from wall to middle; once round such a region is enough
TIP = 0.06  # tool diameters; where a last corner is farther, it is sharp: the tool goes in between both walls
BURIED = 1.05  # of the engagement; an arc that is engaged wider is cut as a slot
LEAST = 0.12  # tool diameters; less than this in a corner waits for the next arc
CLOSEST = 0.005  # tool diameters; arcs that are hardly too far are cut in two down to radii this near to each other
FINEST = 0.04  # tool diameters; between arcs of radii nearer than this lies no corner but a channel
TRANSIT = 3.0  # tool diameters of way on which the tool moves out from one loop to the next
EASY = 0.85  # cosine of the turn on that way; where it turns more, another place is better
NESTED = 6  # channels off channels before the rest is slotted
OVER = 0.95  # of the engagement; arcs keep a little below it: what lies before them is not quite an arc
MARGIN = 0.05  # tool diameters by which a loop may be farther out: corners that were not worth going into
RIM = 0.03  # tool diameters; a corner of an inner layer that is less far is not gone into
SLACK = 0.005  # mm by which a way may seem to leave the walls: chords decide no finer
AWAY = 0.5  # mm from walls that a larger tool finished, or that are hardly cut, where a tool comes down
NEXT = 4.0  # tool diameters; what a larger tool left farther off is gone to over the sheet
STATIONS = 16  # places tried that a link may go round by
PLACES = 3  # segments of a loop tried for its beginning


@dataclass(frozen=True, slots=True)
class _Arc:
    """An arc into a corner, and what is cleared when it is cut."""

    chain: tuple[Segment, ...]
    rim: Area
    cleared: Cleared
    slot: bool

    def gap(self, other: "_Arc") -> float:
        return self.rim.gap(other.rim)


class Opening:
    """Collects the strokes of one depth."""

    def __init__(self, diameter: float, engagement: float, *, climb: bool, plunges: bool = True) -> None:
        """`engagement`: the widest cut, a share of the diameter. `plunges`: whether the tool may go straight down."""
        self._diameter, self._climb, self._plunges = diameter, climb, plunges
        self._most = engagement * diameter
        self._cleared = Cleared()
        self._at: Point | None = None
        self._walls = Area.of(())
        self._corners: list[list[_Arc]] = []
        self._stations: list[Point] = []
        self._back: Point | None = None  # the way out of the corner in which the tool is
        self._before_corners = self._cleared
        self._is_begun = False
        self._steps = Area.of(())  # along walls, what is left for once round
        self._sure = Cleared()  # what is cleared without them
        self._roomy: Cleared | None = None  # of what a larger tool cleared, the places away from its walls
        self.strokes: list[Seed | Stroke] = []

    def after(self, cleared: Area) -> None:
        """All is taken from these centres already: only what is left beside them is opened."""
        self._cleared.add(cleared)
        self._is_begun = True
        self._roomy = Cleared()
        self._roomy.add(cleared.grown(-AWAY))

    def go_on(self, cleared: Area, steps: Area, at: Point) -> None:
        """All is taken from `cleared`, the tool is `at` one of its places; `steps` are for `once_round`."""
        self._cleared.add(cleared.plus(steps))
        self._steps, self._at, self._is_begun = self._steps.plus(steps), at, True
        self._sure.add(cleared.grown(-SLACK))

    def once_round(self, region: Region) -> None:
        """Along all walls of a region that is cleared up to its steps."""
        self._walls = Area.of([region])
        for ring in rings_of(self._turned(region)):
            s = ring.nearest(self._at)[0] if self._at else 0.0
            self._stroke(ring.stretch(s, s + ring.length), self._cleared, slot=False)

    def open(self, region: Region) -> None:
        """All of the region, walls and corners."""
        self._walls = Area.of([region])
        if self._is_begun and not any(self._cleared.misses(Level([region]))):
            fronts = Fronts(region, self._diameter)
            for front in fronts.outwards(0.0):
                self._front(fronts, front, 0)
        else:
            self._open(region, None, 0)
        self._flush()

    def _open(self, region: Region, within: Area | None, nested: int) -> None:
        """`within`: where the tool may be; beyond the region it holds what is cleared already.

        What is nested in another region gets its walls' corners with those of the other.
        """
        fronts = Fronts(region, self._diameter)
        if within is None and fronts.depth < NARROW * self._diameter:
            self._narrow(region)
            return
        opened = min(self._seed(core, fronts.depth, within) for core in fronts.core)
        for front in fronts.outwards(opened):
            if not nested or front.inset or front.before is None:
                self._front(fronts, front, nested)

    def _narrow(self, region: Region) -> None:
        """Once round a region hardly wider than the tool: there it is buried, back it takes what is left."""
        self._flush()
        for ring in rings_of(self._turned(region)):
            self.strokes.append(Seed(start=ring.point(0.0), chain=ring.segments, is_loop=True, circles=()))
            self._is_now_at(None)
        self._cleared.add(Area.of([region]))

    # -- getting in

    def _seed(self, core: Region, room: float, within: Area | None) -> float:
        """Down at the core; how far round it the material is gone."""
        self._flush()
        ring, radius = rings_of(core.contours)[0], min(CIRCLE * self._diameter, room - CORE * self._diameter)
        if _extent(core) < POINT * self._diameter:
            return self._point(core, radius)
        chain = one_line(ring, 3 * CORE * self._diameter) or list(ring.segments)
        is_begun = within is not None and self._slot_from_aside(chain, radius, within)
        self._cleared.add(Area.of([core]))
        if is_begun:
            return 0.0
        circles = self._circles(chain, radius)
        self.strokes.append(Seed(start=chain[0].start, chain=tuple(chain), is_loop=False, circles=circles))
        self._opened(circles)
        self._is_now_at(chain[-1].end)
        return 0.0

    def _point(self, core: Region, radius: float) -> float:
        place = _middle(core)
        if not Area.of([core]).holds_line(place, place, 0.0):
            place = rings_of(core.contours)[0].point(0.0)
        circles = ((place, radius),) if radius > NEAR else ()
        if circles or self._plunges or not self._aside(place):
            self.strokes.append(Seed(start=place, chain=(), is_loop=False, circles=circles))
        self._cleared.add(Area.of([core]))
        self._opened(circles)
        self._is_now_at(place)
        return max(radius - POINT * self._diameter / 2, 0.0)

    def _aside(self, place: Point) -> bool:
        """To a place at depth from what is cleared beside it; whether that could be."""
        begin = None if self._cleared.is_empty else self._cleared.nearest(place)
        if begin is None or not self._walls.holds_line(begin, place, SLACK):
            return False
        self._stroke([Segment(begin, place)], self._cleared, slot=True)
        return True

    def _circles(self, slot: Sequence[Segment], radius: float) -> tuple[tuple[Point, float], ...]:
        """The circles that open a slot's ends and bends."""
        places = ends_and_bends(slot, self._diameter) if radius > NEAR else []
        return tuple((place, radius) for place in places)

    def _opened(self, circles: Sequence[tuple[Point, float]]) -> None:
        for place, size in circles:
            self._cleared.add(Area.of([region_of(circle(place, size))]))

    def _slot_from_aside(self, line: Sequence[Segment], radius: float, within: Area) -> bool:
        """A slot begun at depth in what is cleared beside it; whether that could be."""
        for way in (list(line), [one.reversed() for one in reversed(line)]):
            before, after = way[0].start_direction.times(-1.0), way[-1].end_direction
            start = self._beyond(way[0].start, before, within)
            if start is None:
                continue
            end = self._beyond(way[-1].end, after, within)
            chain = [Segment(start, way[0].start), *way, *([Segment(way[-1].end, end)] if end else [])]
            link = self._link(start, self._cleared)
            circles = tuple(one for one in self._circles(way, radius) if not self._cleared.holds_disc(*one))
            self.strokes.append(Stroke(chain=tuple(chain), link=link, slot=True, circles=circles))
            self._opened(circles)
            self._is_now_at(chain[-1].end)
            return True
        return False

    def _beyond(self, end: Point, direction: Point, within: Area) -> Point | None:
        """The nearest cleared place straight on from a slot's end."""
        for share in ASIDE:
            place = end.plus(direction.times(share * self._diameter))
            if self._cleared.holds(place):
                return place if within.holds_line(end, place, SLACK) else None
        return None

    @property
    def followed_walls(self) -> bool:
        """Whether all that was done is to go along the walls."""
        return all(isinstance(stroke, Seed) and stroke.is_loop for stroke in self.strokes)

    # -- one set

    def _front(self, fronts: Fronts, front: Front, nested: int) -> None:
        """The set's rim, where it is uncut; arcs in two where the corners are far, channels by themselves."""
        regions = fronts.set_of(front)
        level = Level(regions)
        for region in self._cleared.misses(level):
            self._open(region, None, nested + 1)
        found = self._uncut(regions)
        most = (STEP + MARGIN) * self._diameter
        if _far(found) > most and nested < NESTED and not self._is_halved(front, found, FINEST):
            for region in self._cleared.islands(level, most):
                self._open(region, Area.of(regions), nested + 1)
            found = self._uncut(regions)
        if self._is_halved(front, found, FINEST if _far(found) > most else CLOSEST):
            for half in front.halves:
                self._front(fronts, half, nested)
            return
        self._cut(level, [one for one in found if one[1].far > self._least(front)], front)

    def _is_halved(self, front: Front, found: Sequence[tuple[Ring, Stretch]], finest: float) -> bool:
        """Whether arcs lie too far from those before, whose radii are no nearer to theirs than `finest` diameters."""
        is_wide = front.before is not None and front.before - front.radius > finest * self._diameter
        return is_wide and _far(found) > self._reach(front.radius)

    def _reach(self, radius: float) -> float:
        """How far an arc of that radius may be from the one before for its cut to be no wider than allowed."""
        return max(self._step(radius, OVER), LEAST * self._diameter)

    def _step(self, radius: float, share: float) -> float:
        """Between two arcs about one middle, the outer one of that radius, for a cut as wide as a share of the most."""
        total = radius + self._diameter / 2
        return total - sqrt(total * total - 2 * share * self._most * radius)

    def _least(self, front: Front) -> float:
        """What is less far waits for the next arc."""
        if front.before is None or front.is_last:
            return 0.0
        return (LEAST if not front.inset else RIM) * self._diameter

    def _uncut(self, regions: Sequence[Region]) -> list[tuple[Ring, Stretch]]:
        rings = [ring for region in regions for ring in rings_of(self._turned(region))]
        return [(ring, stretch) for ring in rings for stretch in self._cleared.stretches(ring.segments)]

    def _turned(self, region: Region) -> Iterator[Contour]:
        """Counter-clockwise along the outer wall and clockwise round islands is climb: a region's own turning."""
        return (contour if self._climb else contour.reversed() for contour in region.contours)

    # -- strokes

    def _cut(self, level: Level, found: list[tuple[Ring, Stretch]], front: Front) -> None:
        if front.before is not None:
            self._wait(found, front)
        else:
            self._flush()
            self._loops(level.regions, found, front)
        self._cleared.add_with(level, [stretch for _, stretch in found])

    def _loops(self, regions: Sequence[Region], found: Sequence[tuple[Ring, Stretch]], front: Front) -> None:
        area, left = Area.of(regions), list(found)
        while left:
            ring, stretch = min(left, key=lambda one: self._way_to(*one))
            left.remove((ring, stretch))
            chain = self._round(ring, area) if stretch.whole else _part_of(ring, stretch)
            self._stroke(chain, self._cleared, slot=stretch.far > self._bound(front))
            self._stations += [segment.end for segment in chain if segment.length > self._diameter]

    def _stroke(self, chain: Sequence[Segment], cleared: Cleared, *, slot: bool) -> None:
        link = self._link(chain[0].start, cleared)
        if link is None and not cleared.is_empty:
            chain = [*self._into(chain[0].start, cleared), *chain]
        self.strokes.append(Stroke(chain=tuple(chain), link=link, slot=slot))
        self._is_now_at(chain[-1].end)

    def _is_now_at(self, point: Point | None) -> None:
        """The tool is there, in no corner."""
        self._at, self._back = point, None

    def _into(self, start: Point, cleared: Cleared) -> list[Segment]:
        """To where a stroke begins, from a cleared place; off the walls after a larger tool and for a blunt one."""
        if self._steps.distance(cleared.nearest(start)) < NEAR and not self._steps.is_empty:
            begin = self._sure.nearest(start)
            return [Segment(begin, start)] if begin.distance(start) > SHORT else []
        rooms = [*([self._roomy] if self._roomy else []), *([] if self._plunges else [cleared.off(AWAY)])]
        places = [room.nearest(start) for room in rooms if not room.is_empty]
        begin = next((place for place in places if self._is_free(place, start, cleared)), cleared.nearest(start))
        return [Segment(begin, start)] if begin.distance(start) > SHORT else []

    def _wait(self, found: Sequence[tuple[Ring, Stretch]], front: Front) -> None:
        """Arcs into corners: all of one corner are cut together, once no more follow."""
        if not self._corners:
            self._before_corners = self._cleared.so_far()
        for ring, stretch in found:
            chain = ring.stretch(0.0, ring.length) if stretch.whole else _part_of(ring, stretch)
            arc = _Arc(tuple(chain), stretch.rim, self._cleared.so_far(), stretch.far > self._bound(front))
            near = [corner for corner in self._corners if any(arc.gap(one) < self._diameter for one in corner)]
            self._corners = [corner for corner in self._corners if corner not in near]
            self._corners.append([*(one for corner in near for one in corner), arc])

    def _flush(self) -> None:
        """The corners that wait, each the nearest to where the tool is."""
        while self._corners:
            corner = min(self._corners, key=lambda one: self._distance(one[0].chain[0].start))
            self._corners.remove(corner)
            for number, arc in enumerate(corner):
                self._stroke(arc.chain, arc.cleared if number else self._before_corners, slot=arc.slot)
            self._back = self._way_back(corner[-1].chain[-1].end)

    def _way_back(self, end: Point) -> Point | None:
        """Straight from a corner's end to what was cleared before it, where no wall stands between."""
        back = self._before_corners.nearest(end)
        return back if self._walls.holds_line(end, back, SLACK) else None

    def _distance(self, point: Point) -> float:
        return point.distance(self._at) if self._at else 0.0

    def _bound(self, front: Front) -> float:
        """How far a stretch may be for its cut not to be a slot, buried between two walls."""
        if front.before is None:
            return (STEP + MARGIN) * self._diameter
        return max(self._step(front.radius, BURIED), TIP * self._diameter)

    def _link(self, goal: Point, cleared: Cleared) -> tuple[Point, ...] | None:
        """The way to the goal through what is cleared, and nowhere beyond the walls: straight or round one place."""
        at = self._at
        if at is None or (self._roomy and at.distance(goal) > NEXT * self._diameter):
            return None
        if self._is_free(at, goal, cleared):
            return (goal,)
        if self._back and self._is_free(self._back, goal, cleared):
            return self._back, goal
        near = sorted(self._stations, key=lambda place: at.distance(place) + place.distance(goal))[:STATIONS]
        for place in near:
            if self._is_free(at, place, cleared) and self._is_free(place, goal, cleared):
                return place, goal
        return None

    def _is_free(self, start: Point, goal: Point, cleared: Cleared) -> bool:
        clear = cleared.holds_line(start, goal) and self._steps.length_inside(start, goal) <= NEAR
        return clear and self._walls.holds_line(start, goal, SLACK)

    def _way_to(self, ring: Ring, stretch: Stretch) -> float:
        if self._at and stretch.whole:
            return ring.nearest(self._at)[1]
        return self._distance(stretch.start)

    def _round(self, ring: Ring, area: Area) -> list[Segment]:
        """All round, moved onto from what is cleared over some length, so that the tool never goes straight out."""
        way = min(TRANSIT * self._diameter, ring.length / 2)
        places = list(self._places(ring))
        easy = [s for s in places if ring.direction(s).dot(ring.direction(s + way)) > EASY]
        for s in (*easy, *places):
            begin, goal = self._cleared.nearest(ring.point(s)), s + way
            if area.holds_line(begin, ring.point(goal), SLACK):
                return [*onto(ring, s, goal, self._cleared), *ring.stretch(goal, goal + ring.length)]
        inside = self._cleared.within(area)  # beyond the loop something nearer may be cleared
        for s in places if not inside.is_empty else ():  # round an island too small to be passed straight
            turns = spiral(ring, s, s + way, inside)
            if all(area.holds_line(a, b, SLACK) for one in turns for a, b in _halved(one)):
                return [*turns, *ring.stretch(s + way, s + way + ring.length)]
        return ring.stretch(0.0, ring.length)

    def _places(self, ring: Ring) -> Iterator[float]:
        """Where on a loop it may be begun: near the tool, then at the middles of its longest segments."""
        if self._at is not None:
            yield ring.nearest(self._at)[0]
        order = sorted(range(len(ring.segments)), key=lambda i: (-round(ring.segments[i].length, 6), i))
        for index in order[:PLACES]:
            yield (ring.start_of(index) + ring.ends[index]) / 2


def _halved(segment: Segment) -> Iterator[tuple[Point, Point]]:
    """Both ends with the place between them."""
    yield from pairwise((segment.start, segment.point_at(0.5), segment.end))


def _far(found: Sequence[tuple[Ring, Stretch]]) -> float:
    return max((stretch.far for _, stretch in found), default=0.0)


def _extent(region: Region) -> float:
    xmin, ymin, xmax, ymax = region.bounds
    return hypot(xmax - xmin, ymax - ymin)


def _middle(region: Region) -> Point:
    xmin, ymin, xmax, ymax = region.bounds
    return Point((xmin + xmax) / 2, (ymin + ymax) / 2)


def _part_of(ring: Ring, stretch: Stretch) -> list[Segment]:
    first, last = ring.nearest(stretch.start)[0], ring.nearest(stretch.end)[0]
    return ring.stretch(first, last if last > first else last + ring.length)
