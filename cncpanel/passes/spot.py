"""Places on a finished wall where a tab could be: what a bar there would join, how even and how far from corners.

A bar counts only if it meets one and the same other piece over its whole width.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from math import acos, ceil, sqrt

from cncpanel.geometry.contour import Contour
from cncpanel.geometry.pieces import Pieces
from cncpanel.geometry.point import Point
from cncpanel.geometry.ring import Ring, ring_of
from cncpanel.operation.operation import Profile
from cncpanel.passes.bridge import Bar, bar_at, without_flanks
from cncpanel.passes.run import Nub

SPOTS = 4.0  # mm between places that are looked at; more on long walls
MOST_SPOTS = 200  # places looked at along one wall
LEAST_SPOTS = 12  # the same, on a tiny one
REACH = 3.5  # tool diameters that a bar may be long: two kerfs and a cleared sliver between them
UNEVEN = 1.0  # tool diameters that the two sides of a bar may differ in length
BEHIND = 0.2  # mm that a bar begins behind its wall, besides the wall's own bow
BEYOND = 0.2  # mm that it goes into the piece beyond
SHARP = 0.94  # cosine; a turn of more than 20 degrees between two segments is a corner
TIGHT = 1.5  # tab widths; an arc of a smaller radius is a corner too
GRADES: dict[Nub, int] = {"form": 1, "seen": 1, "mates": 2, "nook": 3}  # what a nub spoils least comes first
BENT = 0.3  # radians over a tab's width; what turns more is hard to dress: common practice, no source
NO_CORNER = 1e9  # mm to the next corner where there is none


@dataclass(frozen=True, slots=True, kw_only=True)
class Wall:
    """A finished wall that passes go along, counter-clockwise: `outside` a part, or the rim of an opening.

    `force`: what the passes that free the piece push with, N. `contour`: the ring's.
    """

    part: str
    feature: str
    ring: Ring
    outside: bool
    diameter: float
    force: float = 0.0
    contour: Contour = field(compare=False, repr=False)


def wall_of(operation: Profile, part: str, force: float = 0.0) -> Wall:
    """The wall of a profile, and the force of its passes, N."""
    return Wall(
        part=part,
        feature=operation.feature,
        ring=ring_of(operation.contour.counter_clockwise),
        outside=operation.side == "outside",
        diameter=operation.tool.cut_diameter,
        force=force,
        contour=operation.contour,
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Spot:
    """A place on a wall where a tab could be: between which pieces; `straight` over the tab's whole width or not.

    `turn` is how far the wall turns over that width, radians; `corner` how far the next corner is, mm. `nub`: what
    the nub that it leaves is in the way of.
    """

    wall: Wall
    s: float
    bar: Bar
    own: int
    other: int
    straight: bool
    turn: float
    corner: float
    nub: Nub | None = None

    @property
    def grade(self) -> int:
        """How far such a place is put off, 0 not at all; a tight arc as far as a rim with a form."""
        bent = GRADES["form"] if self.turn > BENT else 0
        return bent if self.nub is None else max(bent, GRADES[self.nub])

    @property
    def upright(self) -> "Spot":
        """The same without flanks."""
        return replace(self, bar=without_flanks(self.bar)) if self.bar.flank else self


@dataclass(frozen=True, slots=True)
class _Stand:
    """A place on a wall: `s` along it, where, the way it runs, the way out of it, how far it turns there."""

    s: float
    point: Point
    along: Point
    out: Point
    turn: float


def spots(wall: Wall, width: float, pieces: Pieces, flank: float = 0.0) -> list[Spot]:
    """Every place along the wall where a bar would meet another piece over its whole width.

    It has flanks of that length where the wall is straight for it, the tool's middle still short of the corners.
    """
    stands = list(_stands(wall, width))
    ahead = pieces.hits([ray for stand in stands for ray in _rays(stand, wall.diameter, width)])
    back = pieces.hits([_inward(stand, wall.diameter) for stand in stands])
    corners = _corners(wall.ring, width)
    found: list[Spot] = []
    for i, (stand, own) in enumerate(zip(stands, back, strict=True)):
        three = [hit for hit in ahead[3 * i : 3 * i + 3] if hit]
        others = {hit.piece for hit in three}
        if own is None or len(three) < 3 or len(others) > 1 or own.piece in others:
            continue
        far = [hit.distance for hit in three]
        if max(far) - min(far) < UNEVEN * wall.diameter:
            found.append(_spot(wall, stand, width, max(far), own.piece, others.pop(), corners, flank))
    return found


def _stands(wall: Wall, width: float) -> Iterator[_Stand]:
    ring = wall.ring
    count = max(min(ceil(ring.length / SPOTS), MOST_SPOTS), LEAST_SPOTS)
    for i in range(count):
        s = ring.length * (i + 0.5) / count
        along = ring.direction(s)
        turn = max(_angle(along, ring.direction(s + side * width / 2)) for side in (-1, 1))
        yield _Stand(s, ring.point(s), along, along.left.times(-1.0 if wall.outside else 1.0), 2 * turn)


def _angle(a: Point, b: Point) -> float:
    return acos(max(-1.0, min(1.0, a.dot(b))))


def _rays(stand: _Stand, diameter: float, width: float) -> Iterator[tuple[Point, Point]]:
    """From the kerf's middle outwards, at both sides of a bar and in its middle."""
    middle, reach = stand.point.plus(stand.out.times(0.5 * diameter)), stand.out.times((REACH - 0.5) * diameter)
    for side in (-0.5, 0.0, 0.5):
        start = middle.plus(stand.along.times(side * width))
        yield start, start.plus(reach)


def _inward(stand: _Stand, diameter: float) -> tuple[Point, Point]:
    """From the kerf's middle into the wall."""
    return stand.point.plus(stand.out.times(0.5 * diameter)), stand.point.minus(stand.out)


def _corners(ring: Ring, width: float) -> list[float]:
    """Where the ring turns sharply, mm from its start; both ends of an arc too tight for a tab."""
    found = []
    for index, segment in enumerate(ring.segments):
        before = ring.segments[index - 1]
        tight = segment.is_arc and segment.radius < TIGHT * width
        if tight or before.end_direction.dot(segment.start_direction) < SHARP:
            found.append(ring.start_of(index))
        if tight:
            found.append(ring.ends[index])
    return [] if len(found) >= 2 * len(ring.segments) else found


def _spot(
    wall: Wall,
    stand: _Stand,
    width: float,
    far: float,
    own: int,
    other: int,
    corners: Sequence[float],
    flank: float,
) -> Spot:
    outer, length = far + 0.5 * wall.diameter + BEYOND, wall.ring.length
    inner = -BEHIND - _bow(width, stand.turn)
    has_room = flank > 0 and _straight_for(wall.ring, stand.s) > width / 2 + flank + wall.diameter / 2
    return Spot(
        wall=wall,
        s=stand.s,
        bar=bar_at(
            stand.point,
            stand.along,
            stand.out,
            width=width,
            inner=inner,
            outer=outer,
            flank=flank if has_room else 0.0,
        ),
        own=own,
        other=other,
        straight=stand.turn < 1e-6,
        turn=stand.turn,
        corner=min((apart(stand.s, corner, length) for corner in corners), default=NO_CORNER),
    )


def _straight_for(ring: Ring, s: float) -> float:
    """How far the ring runs straight to both sides of a place, mm."""
    index = ring.index_at(s)
    if ring.segments[index].is_arc:
        return 0.0
    return min(s - ring.start_of(index), ring.ends[index] - s)


def _bow(width: float, turn: float) -> float:
    """How far an arc of that turn lies behind its tangent at half the width."""
    if turn < 1e-6:
        return 0.0
    radius = max(width / turn, width / 2)
    return radius - sqrt(radius * radius - width * width / 4)


def apart(s: float, other: float, length: float) -> float:
    """How far two places on a ring of that length are apart along it, the shorter way."""
    along = abs(s - other) % length
    return min(along, length - along)
