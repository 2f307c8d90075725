"""Points of an outline between which a tape is laid: its sides and its diagonals."""

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import combinations

from cncpanel.drawing.paper import Label
from cncpanel.geometry.contour import Contour
from cncpanel.geometry.point import Point
from cncpanel.units import DimensionUnit, as_fraction, shown

TEXT = 2.5  # mm capitals
INSIDE = 2.0  # mm from the corner to its name
NAMES = "LL, LR, UR, UL: the corners nearest to lower left, lower right, upper right, upper left"
APART = 20.0  # mm; points nearer to each other are one for a tape


@dataclass(frozen=True, slots=True)
class CheckPoint:
    """A corner by name; `inward` points from it into the outline's box. A round corner is taken at its arc's middle."""

    name: str
    at: Point
    inward: Point
    on_arc: bool = False

    @property
    def places(self) -> tuple[Label, ...]:
        """Where its name may stand, inside the corner; further in where the first place is taken."""
        anchor = "left" if self.inward.x > 0 else "right"
        return tuple(
            Label(
                x=self.at.x + self.inward.x * reach,
                y=self.at.y + (reach if self.inward.y > 0 else -reach - TEXT),
                text=self.name,
                size=TEXT,
                anchor=anchor,  # type: ignore[arg-type]  # one of two literals
                bold=True,
            )
            for reach in (INSIDE, 2 * INSIDE, 3 * INSIDE, 4 * INSIDE, 6 * INSIDE, 9 * INSIDE)
        )


def check_points(outline: Contour) -> tuple[CheckPoint, ...]:
    """The outline's corners next to its box's corners, lower left first, counter-clockwise; none of a round."""
    left, low, right, high = outline.bounds
    corners = (
        ("LL", Point(left, low), Point(1, 1)),
        ("LR", Point(right, low), Point(-1, 1)),
        ("UR", Point(right, high), Point(-1, -1)),
        ("UL", Point(left, high), Point(1, -1)),
    )
    ends = [(vertex.point, False) for vertex in outline.vertices]
    ends += [(segment.point_at(0.5), True) for segment in outline.segments if segment.bulge]
    found: list[CheckPoint] = []
    for name, corner, inward in corners:
        nearest, on_arc = min(ends, key=lambda end: corner.distance(end[0]))
        if all(nearest.distance(point.at) >= APART for point in found):
            found.append(CheckPoint(name, nearest, inward, on_arc))
    return tuple(found) if len(found) > 2 else ()


def tape_checks(outline: Contour, unit: DimensionUnit) -> Iterator[str]:
    """Sentences with the lengths to find by tape: over all, then from point to point, diagonals among them."""
    left, low, right, high = outline.bounds
    yield f"Over all: {taped(right - left, unit)} wide, {taped(high - low, unit)} high."
    points = check_points(outline)
    told = [f"{a.name} to {b.name} {taped(a.at.distance(b.at), unit)}" for a, b in combinations(points, 2)]
    if told:
        where = "; a round corner at the tick on its middle" if any(point.on_arc for point in points) else ""
        yield f"Points ({NAMES}{where}): {'; '.join(told)}."


def taped(length: float, unit: DimensionUnit) -> str:
    """A length as a tape tells it: to 0.1 mm, or to 1/64 in."""
    return as_fraction(length) if unit != "mm" else shown(round(length, 1), unit)
