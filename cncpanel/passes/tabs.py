"""Where tabs go: bars from a finished wall across the kerf to the piece beyond, spread along each wall.

Straight runs first, arcs where there are none; away from corners, from places where a pass is entered or left, and from
each other. A bar counts only if it meets one and the same other piece over its whole width.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from math import ceil, sqrt

from cncpanel.geometry.pieces import Pieces
from cncpanel.geometry.point import Point
from cncpanel.operation.operation import Profile
from cncpanel.passes.bridge import Bar
from cncpanel.passes.ring import Ring, ring_of

SPOTS = 3.0  # mm between places that are looked at; fewer on long walls
MOST_SPOTS = 300  # places looked at along one wall
REACH = 3.5  # tool diameters that a bar may be long: two kerfs and a cleared sliver between them
UNEVEN = 1.0  # tool diameters that the two sides of a bar may differ in length
BEHIND = 0.2  # mm that a bar begins behind its wall, besides the wall's own bow
BEYOND = 0.2  # mm that it goes into the piece beyond
APART = 2.5  # tool diameters between bars, so that the tool comes down between them
QUIET = 2.0  # tool diameters between a bar and a place where a pass is entered or left
SMOOTH = 0.9999  # cosine between segments; a corner of less than a degree is none
LEAST_RADIUS = 1.5  # tab widths; a tighter arc bends too far over a tab


@dataclass(frozen=True, slots=True, kw_only=True)
class Wall:
    """A finished wall that passes go along, counter-clockwise: `outside` a part, or the rim of an opening."""

    part: str
    feature: str
    ring: Ring
    outside: bool
    diameter: float


def wall_of(operation: Profile, part: str) -> Wall:
    """The wall of a profile."""
    return Wall(
        part=part,
        feature=operation.feature,
        ring=ring_of(operation.contour.counter_clockwise),
        outside=operation.side == "outside",
        diameter=operation.tool.cut_diameter,
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Spot:
    """A place on a wall where a tab could be: between which pieces, on a straight run or not, room to a corner."""

    wall: Wall
    s: float
    bar: Bar
    own: int
    other: int
    straight: bool
    corner: float


def spots(wall: Wall, width: float, pieces: Pieces) -> list[Spot]:
    """Every place along the wall where a bar would meet another piece over its whole width."""
    ring = wall.ring
    count = max(min(ceil(ring.length / SPOTS), MOST_SPOTS), 12)
    places = [ring.length * (i + 0.5) / count for i in range(count)]
    rays = [ray for s in places for ray in _rays(ring, s, wall, width)]
    hits = pieces.hits(rays)
    own = pieces.hits([_inward(ring, s, wall) for s in places])
    found: list[Spot] = []
    for i, s in enumerate(places):
        three, back = hits[3 * i : 3 * i + 3], own[i]
        if back is None or any(hit is None for hit in three):
            continue
        far = [hit.distance for hit in three if hit]
        others = {hit.piece for hit in three if hit}
        if len(others) == 1 and back.piece not in others and max(far) - min(far) < UNEVEN * wall.diameter:
            found.append(_spot(wall, ring, s, width, max(far), back.piece, others.pop()))
    return found


def _out(ring: Ring, s: float, wall: Wall) -> Point:
    left = ring.direction(s).left
    return left.times(-1.0) if wall.outside else left


def _rays(ring: Ring, s: float, wall: Wall, width: float) -> Iterator[tuple[Point, Point]]:
    middle, along, out = ring.point(s), ring.direction(s), _out(ring, s, wall)
    for side in (-0.5, 0.0, 0.5):
        start = middle.plus(along.times(side * width)).plus(out.times(0.5 * wall.diameter))
        yield start, start.plus(out.times((REACH - 0.5) * wall.diameter))


def _inward(ring: Ring, s: float, wall: Wall) -> tuple[Point, Point]:
    start = ring.point(s).plus(_out(ring, s, wall).times(0.5 * wall.diameter))
    return start, ring.point(s).plus(_out(ring, s, wall).times(-1.0))


def _spot(wall: Wall, ring: Ring, s: float, width: float, far: float, own: int, other: int) -> Spot:
    segment = ring.segments[ring.index_at(s)]
    begin = ring.start_of(ring.index_at(s))
    bow = _bow(segment.radius, width) if segment.is_arc else 0.0
    bar = Bar(
        centre=ring.point(s),
        along=ring.direction(s),
        across=_out(ring, s, wall),
        width=width,
        inner=-BEHIND - bow,
        outer=far + 0.5 * wall.diameter + BEYOND,
    )
    return Spot(
        wall=wall,
        s=s,
        bar=bar,
        own=own,
        other=other,
        straight=not segment.is_arc,
        corner=min(s - begin, begin + segment.length - s) if not _is_round(ring) else ring.length,
    )


def _is_round(ring: Ring) -> bool:
    """Whether it has no corner at all: each segment goes on the way the one before it ended."""
    before = ring.segments[-1:] + ring.segments[:-1]
    smooth = all(
        a.end_direction.dot(b.start_direction) > SMOOTH for a, b in zip(before, ring.segments, strict=True)
    )
    return smooth and all(segment.is_arc for segment in ring.segments)


def _bow(radius: float, width: float) -> float:
    half = min(width / 2, radius)
    return radius - sqrt(radius * radius - half * half)


class Tabs:
    """The bars of a sheet so far."""

    def __init__(self, quiet: Sequence[Point], width: float, spacing: float) -> None:
        """`quiet`: places that bars keep away from; `spacing`: the largest distance along a wall."""
        self._quiet, self._width, self._spacing = tuple(quiet), width, spacing
        self.chosen: list[Spot] = []

    def spread(self, found: Sequence[Spot], least: int) -> int:
        """Choose from one wall's spots, at least `least` if they are there; bars of others that end here count."""
        if not found:
            return 0
        wall, ring = found[0].wall, found[0].wall.ring
        taken = self._ending_on(found[0].own, ring)
        count = max(least, ceil(ring.length / self._spacing))
        for low, goal, high in self._shares(found, count):
            if not any(low <= s <= high for s in taken):
                self._take(found, goal, max(high - goal, goal - low), taken, wall)
        self._close_gaps(found, ring, taken, wall)
        for relaxed in (False, True):
            while len(taken) < least and self._take(
                found, _widest(taken, ring.length), ring.length, taken, wall, relaxed
            ):
                pass
        return len(taken)

    def _shares(self, found: Sequence[Spot], count: int) -> list[tuple[float, float, float]]:
        """First, middle and last place of each equal share of the free spots; straight ones where there are any."""
        free = [spot for spot in found if self._is_free(spot, False)]
        straight = [spot.s for spot in free if spot.straight] or [spot.s for spot in free]
        cuts = [len(straight) * i // count for i in range(count + 1)]
        shares = [straight[a:b] for a, b in zip(cuts, cuts[1:], strict=False) if b > a]
        return [(share[0], share[len(share) // 2], share[-1]) for share in shares]

    def _close_gaps(self, found: Sequence[Spot], ring: Ring, taken: list[float], wall: Wall) -> None:
        """More tabs in the middle of what is wider than the spacing."""
        tried: set[float] = set()
        while True:
            gaps = [(size, s) for s, size in _gaps(taken, ring.length) if size > self._spacing and s not in tried]
            if not gaps:
                return
            size, s = max(gaps)
            tried.add(s)
            self._take(found, (s + size / 2) % ring.length, size / 3, taken, wall)

    def _take(
        self, found: Sequence[Spot], goal: float, slack: float, taken: list[float], wall: Wall, relaxed: bool = False
    ) -> bool:
        """The best spot near `goal`, if any is free."""
        length = wall.ring.length
        free = [spot for spot in found if _away(spot.s, goal, length) <= slack and self._is_free(spot, relaxed)]
        if not free:
            return False
        best = min(free, key=lambda spot: (not spot.straight, round(_away(spot.s, goal, length), 6), spot.s))
        self.chosen.append(best)
        taken.append(best.s)
        return True

    def _is_free(self, spot: Spot, relaxed: bool) -> bool:
        diameter = spot.wall.diameter
        corner = self._width / 2 + (0.0 if relaxed else diameter)
        if spot.corner < corner or not (spot.straight or _is_gentle(spot)):
            return False
        if any(spot.bar.distance(place) < QUIET * diameter for place in self._quiet):
            return False
        return all(_are_apart(spot.bar, other.bar, APART * diameter) for other in self.chosen)

    def _ending_on(self, piece: int, ring: Ring) -> list[float]:
        """Where on the ring bars of other walls end that hold this piece."""
        found = []
        for spot in self.chosen:
            if spot.other == piece:
                end = spot.bar.centre.plus(spot.bar.across.times(spot.bar.outer))
                s, distance = ring.nearest(end)
                if distance < 2.0:
                    found.append(s)
        return found

    def join(self, found: Iterable[Spot], group: set[int]) -> bool:
        """One more bar between the group of pieces and the rest, where it is free; whether there was one."""
        crossing = [spot for spot in found if (spot.own in group) != (spot.other in group)]
        for relaxed in (False, True):
            free = [spot for spot in crossing if self._is_free(spot, relaxed)]
            if free:
                self.chosen.append(max(free, key=self._apart))
                return True
        return False

    def _apart(self, spot: Spot) -> tuple[float, bool, float]:
        nearest = min((_between(spot.bar, other.bar) for other in self.chosen), default=0.0)
        return (round(nearest, 3), spot.straight, -spot.s)


def _is_gentle(spot: Spot) -> bool:
    ring = spot.wall.ring
    return ring.segments[ring.index_at(spot.s)].radius >= LEAST_RADIUS * spot.bar.width


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


def _away(s: float, goal: float, length: float) -> float:
    apart = abs(s - goal) % length
    return min(apart, length - apart)


def _gaps(taken: Sequence[float], length: float) -> list[tuple[float, float]]:
    """(start, size) of each stretch without a tab, round the loop."""
    if not taken:
        return [(0.0, length)]
    order = sorted(taken)
    return [(a, (b - a) % length or length) for a, b in zip(order, order[1:] + order[:1], strict=True)]


def _widest(taken: Sequence[float], length: float) -> float:
    start, size = max(_gaps(taken, length), key=lambda gap: (gap[1], -gap[0]))
    return (start + size / 2) % length
