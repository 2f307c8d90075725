"""Which places get tabs: spread along each wall, straight runs first, arcs where there are none.

Places where a nub is in the way (`spot.GRADES`) are put off: they are taken where the others are too few for the force,
or would leave too much of a rim bare.
Tabs keep away from corners, from places where a pass is entered or left, and from each other. Where a small piece
leaves no such place the demands are lowered twice before it goes without.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import groupby, pairwise
from math import ceil, floor
from types import MappingProxyType

import numpy as np
import numpy.typing as npt

from cncpanel.geometry.point import Point
from cncpanel.geometry.ring import Ring
from cncpanel.passes.bridge import LEAST_DIP, Bar
from cncpanel.passes.spot import UNEVEN, Spot, Wall, apart

Floats = npt.NDArray[np.float64]

DIP, DIP_STEP = 1.3 * LEAST_DIP, 0.25  # mm; a shorter way between bars is none, and how finely it is looked for
BARE, BARE_SPACINGS = 0.5, 3.0  # of a rim, and in spacings: more of it never goes without a tab that could be there
ENDS_ON = 2.0  # mm from a wall where a bar ends that ends on it
FARTHER_OUT = 0.4  # mm; so near the wall the witness looks at what a tool beside it could have reached
FAR_WIDTHS, FAR_DIAMETERS = 2.0, 8.0  # two bars' diagonals and the distance between them, at most


@dataclass(frozen=True, slots=True)
class Demand:
    """What a tab's place must keep: to corners, quiet places and other bars, in tool diameters; turn in radians.

    The distance to a corner is measured from the tab's end, the others from the bar.
    """

    corner: float
    quiet: float
    bars: float
    turn: float


DEMANDS = (
    Demand(1.0, 2.0, 2.5, 0.7),  # the tool comes down between bars and goes round a corner at full depth
    Demand(0.5, 1.0, 1.5, 1.0),  # the disc leaves the bar before the corner
    Demand(0.0, 0.6, 0.5, 1.7),  # small pieces: anything that holds
)
SIDE_BY_SIDE = Demand(0.0, 0.6, 0.0, 0.1)  # one wide bar of several: what is else too weak
LONGEST_ROW = 90.0  # mm of bars side by side; more of them would be a floor
IN_A_ROW = 0.999  # cosine; bars that run so much alike stand in one row


class Tabs:
    """The bars of a sheet so far."""

    def __init__(
        self,
        quiet: Sequence[Point],
        width: float,
        spacing: float,
        widest: float,
        flank: float = 0.0,
        walls: Mapping[int, Sequence[Wall]] = MappingProxyType({}),
    ) -> None:
        """`quiet`: places to keep away from; `spacing`: the most along a wall; `widest`: the widest tool used.

        `flank`: how far bars slope off along the wall, mm; `walls`: those that each piece has of its own.
        """
        self._quiet, self._width, self._spacing, self._walls = tuple(quiet), width, spacing, walls
        self._far = FAR_WIDTHS * (width + 2 * flank) + (FAR_DIAMETERS * widest)
        self._bars: dict[tuple[int, int], list[Bar]] = {}
        self._beside: dict[int, _Beside] = {}  # by the wall's own identity: each keeps its wall
        self.chosen: list[Spot] = []

    def spread(self, found: Sequence[Spot], least: int) -> int:
        """Choose from one wall's spots, at least `least` if they are there; bars of others that end here count."""
        if not found:
            return 0
        ring = found[0].wall.ring
        taken = self._ending_on(found[0].own, ring)
        count = max(least, ceil(ring.length / self._spacing))
        grades = sorted({spot.grade for spot in found})
        sloped = [spot for spot in found if spot.bar.flank] or found
        best = [spot for spot in sloped if spot.grade == grades[0]] or [s for s in found if s.grade == grades[0]]
        for low, goal, high in self._shares(best, count):
            if not any(low <= s <= high for s in taken):
                self._take(best, goal, max(high - goal, goal - low), taken)
        most, upright = self._spacing, [spot.upright for spot in found]
        for grade in grades:
            for bars in (sloped, upright):
                allowed = [spot for spot in bars if spot.grade <= grade]
                if not allowed:
                    continue
                self._close_gaps(allowed, ring, taken, most)
                for demand in DEMANDS[:2]:
                    self._until(least, allowed, taken, demand)
            most = max(min(BARE * ring.length, BARE_SPACINGS * self._spacing), most)
        self._until(1, upright, taken, DEMANDS[2])
        return len(taken)

    def _until(self, enough: int, found: Sequence[Spot], taken: list[float], demand: Demand) -> None:
        """Tabs in the widest gaps until there are enough, or no room."""
        length = found[0].wall.ring.length if found else 0.0
        while found and len(taken) < enough and self._take(found, _widest(taken, length), length, taken, demand):
            pass

    def _shares(self, found: Sequence[Spot], count: int) -> list[tuple[float, float, float]]:
        """First, middle and last place of each equal share of the free spots; straight ones where there are any."""
        free = [spot for spot in found if self._is_free(spot, DEMANDS[0])]
        straight = [spot.s for spot in free if spot.straight] or [spot.s for spot in free]
        cuts = [len(straight) * i // count for i in range(count + 1)]
        shares = [straight[a:b] for a, b in pairwise(cuts) if b > a]
        return [(share[0], share[len(share) // 2], share[-1]) for share in shares]

    def _close_gaps(self, found: Sequence[Spot], ring: Ring, taken: list[float], most: float) -> None:
        """More tabs in the middle of what is wider than `most` mm."""
        tried: set[float] = set()
        while True:
            gaps = [(size, s) for s, size in _gaps(taken, ring.length) if size > most and s not in tried]
            if not gaps:
                return
            size, s = max(gaps)
            tried.add(s)
            self._take(found, (s + size / 2) % ring.length, size / 3, taken)

    def _take(
        self, found: Sequence[Spot], goal: float, slack: float, taken: list[float], demand: Demand = DEMANDS[0]
    ) -> bool:
        """The best spot near `goal`, if any is free."""
        length = found[0].wall.ring.length
        near = [spot for spot in found if apart(spot.s, goal, length) <= slack]
        near.sort(key=lambda spot: (spot.grade, not spot.straight, round(apart(spot.s, goal, length), 6), spot.s))
        if not self._choose_first(near, demand):
            return False
        taken.append(self.chosen[-1].s)
        return True

    def _choose(self, spot: Spot) -> None:
        self.chosen.append(spot)
        self._bars.setdefault(self._cell(spot.bar.middle), []).append(spot.bar)

    def _cell(self, point: Point) -> tuple[int, int]:
        return floor(point.x / self._far), floor(point.y / self._far)

    def _near(self, point: Point) -> Iterator[Bar]:
        """Chosen bars in the cells round the point: none further away can be too near."""
        x, y = self._cell(point)
        for cell in ((x + i, y + j) for i in (-1, 0, 1) for j in (-1, 0, 1)):
            yield from self._bars.get(cell, ())

    def _is_free(self, spot: Spot, demand: Demand) -> bool:
        diameter = spot.wall.diameter
        if spot.corner < self._width / 2 + demand.corner * diameter or spot.turn > demand.turn:
            return False
        still = demand.quiet * diameter
        middle, reach = spot.bar.middle, spot.bar.reach + still
        if any(abs(place.x - middle.x) < reach and spot.bar.distance_to_foot(place) < still for place in self._quiet):
            return False
        near = list(self._near(middle))
        if demand is SIDE_BY_SIDE:
            return _fits_beside(spot.bar, near, diameter) and not self._leaves_a_dip(spot, near)
        if not all(_are_apart(spot.bar, bar, _room(spot, bar, demand)) for bar in near):
            return False
        return demand.bars > DEMANDS[1].bars - 1e-9 or not self._leaves_a_dip(spot, near)

    def _leaves_a_dip(self, spot: Spot, near: Sequence[Bar]) -> bool:
        """Whether a tool could come down between a bar here and the next, but on a way too short for its slope.

        The tool of its own wall, or that of a part beyond on whose wall the bar ends.
        """
        bars = (spot.bar, *near)
        if self._has_a_dip(spot.wall, spot.s, bars):
            return True
        ends = ((wall, _end_on(spot, wall.ring)) for wall in self._walls.get(spot.other, ()))
        return any(s is not None and self._has_a_dip(wall, s, bars) for wall, s in ends)

    def _has_a_dip(self, wall: Wall, at: float, bars: Sequence[Bar]) -> bool:
        """On the finish pass's way or on one a little farther out, where a bend may open what is shut at the wall."""
        radius = wall.diameter / 2
        reach = min(self._width + FAR_DIAMETERS / 2 * wall.diameter, wall.ring.length / 2)
        beside = self._beside.setdefault(id(wall), _Beside(wall)).places(at - reach, at + reach)
        for off in (radius, radius + FARTHER_OUT):
            room = _distances(bars, beside[:, :2] + off * beside[:, 2:]) - radius
            runs = [(key, list(run)) for key, run in groupby(room.tolist(), lambda free: free >= -DIP_STEP)]
            if any(key and DIP_STEP * sum(free >= 0 for free in run) < DIP for key, run in runs[1:-1]):
                return True
        return False

    def _ending_on(self, piece: int, ring: Ring) -> list[float]:
        """Where on the ring bars of other walls end that hold this piece."""
        ends = [_end_on(spot, ring) for spot in self.chosen if spot.other == piece]
        return [s for s in ends if s is not None]

    def widen(self, found: Iterable[Spot], group: set[int]) -> bool:
        """One more bar beside those that the group of pieces has, close enough to be one with them; whether one was."""
        crossing = [spot.upright for spot in found if (spot.own in group) != (spot.other in group)]
        order = sorted(crossing, key=lambda spot: (spot.grade, self._apart(spot)[0], spot.s))
        return self._choose_first(order, SIDE_BY_SIDE)

    def join(self, found: Iterable[Spot], group: set[int]) -> bool:
        """One more bar between the group of pieces and the rest, where it is free; whether there was one."""
        crossing = [spot for spot in found if (spot.own in group) != (spot.other in group)]
        upright = [spot.upright for spot in crossing]
        sloped = [spot for spot in crossing if spot.bar.flank]
        grades = sorted({spot.grade for spot in crossing})
        steps = [(grade, demand, bars) for grade in grades for bars in (sloped, upright) for demand in DEMANDS[:2]]
        for grade, demand, bars in (*steps, *((grade, DEMANDS[2], upright) for grade in grades)):
            here = [spot for spot in bars if spot.grade == grade]
            if self._choose_first(sorted(here, key=self._apart, reverse=True), demand):
                return True
        return False

    def _choose_first(self, order: Iterable[Spot], demand: Demand) -> bool:
        """Takes the first that is free, if one is; that is asked of no more places than it takes, for it costs time."""
        first = next((spot for spot in order if self._is_free(spot, demand)), None)
        if first is not None:
            self._choose(first)
        return first is not None

    def _apart(self, spot: Spot) -> tuple[float, bool, float]:
        nearest = min((spot.bar.middle.distance(other.bar.middle) for other in self.chosen), default=0.0)
        return (round(nearest, 3), spot.straight, -spot.s)


def wood(spot: Spot, chosen: Sequence[Spot]) -> float:
    """mm along the wall that a bar keeps: its width, and the gap to the next in its row where no tool comes down."""
    own, length = spot.bar.width, spot.wall.ring.length
    ahead = (
        (other.s - spot.s) % length - own
        for other in chosen
        if other is not spot and other.wall is spot.wall and other.bar.along.dot(spot.bar.along) > IN_A_ROW
    )
    return own + min((gap for gap in ahead if 0 < gap < spot.wall.diameter - DIP_STEP), default=0.0)


def _room(spot: Spot, bar: Bar, demand: Demand) -> float:
    """mm between two bars; beside a flank the tool must get down to its foot."""
    flanks, diameter = spot.bar.flank + bar.flank, spot.wall.diameter
    asked = demand.bars * diameter
    return max(asked, diameter + DIP) + flanks if flanks else asked


def _fits_beside(bar: Bar, near: Sequence[Bar], diameter: float) -> bool:
    """Whether it overlaps no bar, and makes no row of bars longer than a tab may be."""
    row, first, last = [], 0.0, 0.0
    for other in near:
        if abs(bar.along.dot(other.along)) > IN_A_ROW and abs(other.centre.minus(bar.centre).dot(bar.across)) < 1.0:
            row.append(other.centre.minus(bar.centre).dot(bar.along))
            if other.flank and abs(row[-1]) - bar.width < diameter + DIP + other.flank:
                return False
        elif not _are_apart(bar, other, DEMANDS[2].bars * diameter):
            return False
    if any(abs(place) < bar.width for place in row):
        return False
    for place in sorted(place for place in row if place > 0):
        last = place if place - last < bar.width + diameter else last
    for place in sorted((place for place in row if place < 0), reverse=True):
        first = place if first - place < bar.width + diameter else first
    return last - first + bar.width <= LONGEST_ROW


def _are_apart(bar: Bar, other: Bar, distance: float) -> bool:
    if bar.middle.distance(other.middle) >= distance + bar.reach + other.reach:
        return True
    return _between(bar, other) >= distance


def _between(bar: Bar, other: Bar) -> float:
    """The distance between two bars (as if they did not cross)."""
    return min(
        *(bar.distance(corner) for corner in (*other.corners, other.middle)),
        *(other.distance(corner) for corner in (*bar.corners, bar.middle)),
    )


def _gaps(taken: Sequence[float], length: float) -> list[tuple[float, float]]:
    """(start, size) of each stretch without a tab, round the loop."""
    if not taken:
        return [(0.0, length)]
    order = sorted(taken)
    return [(a, (b - a) % length or length) for a, b in zip(order, order[1:] + order[:1], strict=True)]


def _widest(taken: Sequence[float], length: float) -> float:
    start, size = max(_gaps(taken, length), key=lambda gap: (gap[1], -gap[0]))
    return (start + size / 2) % length


def _end_on(spot: Spot, ring: Ring) -> float | None:
    """Where on the ring the bar ends; None where it ends elsewhere. On a bend it goes as far as its longer side."""
    bar = spot.bar
    for back in range(ceil(UNEVEN * spot.wall.diameter / ENDS_ON) + 1):
        s, distance = ring.nearest(bar.centre.plus(bar.across.times(bar.outer - back * ENDS_ON)))
        if distance < ENDS_ON:
            return s
    return None


class _Beside:
    """Places along a wall, DIP_STEP mm apart, and the way out of it there: looked up once each."""

    def __init__(self, wall: Wall) -> None:
        self._wall, self._known = wall, dict[int, tuple[float, float, float, float]]()
        self._count = max(round(wall.ring.length / DIP_STEP), 1)

    def places(self, first: float, last: float) -> Floats:
        """(n, 4): x, y and the direction out of the wall, from one place along it to the other, mm."""
        step = self._wall.ring.length / self._count
        return np.array([self._place(number, step) for number in range(floor(first / step), ceil(last / step) + 1)])

    def _place(self, number: int, step: float) -> tuple[float, float, float, float]:
        number %= self._count
        if number not in self._known:
            ring, s = self._wall.ring, number * step
            out = ring.direction(s).left.times(-1.0 if self._wall.outside else 1.0)
            self._known[number] = (*ring.point(s), *out)
        return self._known[number]


def _distances(bars: Sequence[Bar], places: Floats) -> Floats:
    """(n,): from each of the places (n, 2) to the nearest bar with its flanks, as `Bar.distance_to_foot`."""
    centre, along, across = (np.array([getattr(bar, key) for bar in bars]) for key in ("centre", "along", "across"))
    half, inner, outer = np.array([(bar.width / 2 + bar.flank, bar.inner, bar.outer) for bar in bars]).T
    from_centre = places[:, None, :] - centre
    sideways = np.maximum(np.abs((from_centre * along).sum(axis=2)) - half, 0.0)
    out = (from_centre * across).sum(axis=2)
    off = np.maximum(np.maximum(inner - out, out - outer), 0.0)
    nearest: Floats = np.hypot(sideways, off).min(axis=1)
    return nearest
