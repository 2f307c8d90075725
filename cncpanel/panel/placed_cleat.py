"""Cleats where the job says that they lie: strips on a panel's face, in the panel's own frame."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import cos, radians, sin

from cncpanel.geometry.contour import Contour, polygon
from cncpanel.geometry.point import Point
from cncpanel.job.assembly import Cleat
from cncpanel.job.model import Face
from cncpanel.panel.panel import Panel

LYING = {"on edge": 0, "flat": 1}  # which side of a cleat's section lies on the panel: its thickness, its width


@dataclass(frozen=True, slots=True, kw_only=True)
class PlacedCleat:
    """One cleat: `number` as in the cut list, the panel that it lies on by index, its outline from the show face.

    `keys` lead to its place in the job.
    """

    number: str
    keys: tuple[str | int, ...]
    cleat: Cleat
    panel: int
    face: Face
    corner: Point
    direction_deg: float
    contour: Contour


def placed_cleats(cleats: Sequence[Cleat], panels: Sequence[Panel]) -> tuple[PlacedCleat, ...]:
    """Every place of every cleat that has places, in the job's order."""
    by_name = {panel.name: panel for panel in panels}
    return tuple(placed for index, cleat in enumerate(cleats) for placed in _of(index, cleat, by_name))


def _of(index: int, cleat: Cleat, by_name: dict[str, Panel]) -> Iterator[PlacedCleat]:
    for number, place in enumerate(cleat.place):
        panel = by_name.get(place.on or cleat.panel)
        if panel is not None:
            yield PlacedCleat(
                number=f"C{index + 1}",
                keys=("cleat", index, "place", number),
                cleat=cleat,
                panel=panel.index,
                face=place.face,
                corner=Point(*place.at),
                direction_deg=place.direction_deg,
                contour=strip(place.at, place.direction_deg, cleat.length, cleat.size[LYING[place.lies]]),
            )


def strip(at: tuple[float, float], direction_deg: float, length: float, width: float) -> Contour:
    """The rectangle that runs `length` from `at` and lies `width` to the left of its way."""
    along = Point(cos(radians(direction_deg)), sin(radians(direction_deg)))
    start = Point(*at)
    end, across = start.plus(along.times(length)), along.left.times(width)
    return polygon([start, end, end.plus(across), start.plus(across)])
