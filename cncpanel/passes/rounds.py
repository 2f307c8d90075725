"""A region to clear as nested rounds: which lie inside which, each from the region's own walls."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from cncpanel.geometry.area import Area
from cncpanel.geometry.contour import Contour
from cncpanel.geometry.offset import Offsetter
from cncpanel.geometry.region import Region
from cncpanel.passes.ring import Ring, rings_of

INSIDE = 0.05  # mm; a round lies in the one whose area it leaves by less: chords decide no finer


@dataclass(frozen=True, slots=True)
class Round:
    """One connected piece at a level: its rings, its area of tool centres, and the rounds inside it.

    `room` is how far its rings lie from the outermost level: a circle of that radius fits round any of their points.
    """

    rings: tuple[Ring, ...]
    area: Area
    inner: tuple["Round", ...]
    room: float


def rounds(room: Offsetter, first: float, step: float, *, climb: bool) -> tuple[Round, ...]:
    """The outermost rounds, `first` mm from the walls of `room`, with all that lie inside, `step` mm apart."""
    inner: list[Round] = []
    steps = list(room.levels(first, step))
    for number in range(len(steps) - 1, -1, -1):
        inner = list(_outer(steps[number], inner, number * step, climb=climb))
    return tuple(inner)


def _outer(level: Iterable[Region], inner: list[Round], room: float, *, climb: bool) -> Iterator[Round]:
    left = list(inner)
    for region in level:
        area = Area.of((region,))
        held = [one for one in left if _lies_in(one, area)]
        left = [one for one in left if one not in held]
        yield Round(rings_of(_turned(region.contours, climb=climb)), area, tuple(held), room)


def _lies_in(one: Round, area: Area) -> bool:
    return area.distance(one.rings[0].point(0.0)) < INSIDE if one.rings else True


def _turned(contours: Iterable[Contour], *, climb: bool) -> Iterator[Contour]:
    """Counter-clockwise along the outer wall and clockwise round islands is climb: a region's own turning."""
    return (contour if climb else contour.reversed() for contour in contours)
