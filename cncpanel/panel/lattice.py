"""Where the cells of a grille can stand: lattices about a middle, in four phases, and the fullest of them."""

from collections.abc import Iterator
from math import ceil, cos, radians, sin, sqrt
from typing import NamedTuple

from cncpanel.geometry.point import Point

PHASES = (
    (0.0, 0.0),
    (0.5, 0.0),
    (0.0, 0.5),
    (0.5, 0.5),
)  # of a pitch: a cell in the middle, or the middle between cells


class Lattice(NamedTuple):
    """Cells `along` apart in a row, rows `across` apart, odd rows moved by `stagger` of a pitch, all turned."""

    along: float
    across: float
    stagger: float = 0.0
    turn_deg: float = 0.0

    def points(self, middle: Point, reach: float, phase: tuple[float, float]) -> Iterator[Point]:
        """The lattice's points within `reach` of the middle in both its own directions, row by row upwards."""
        c, s = cos(radians(self.turn_deg)), sin(radians(self.turn_deg))
        rows, columns = ceil(reach / self.across) + 1, ceil(reach / self.along) + 1
        for row in range(-rows, rows + 1):
            y = (row + phase[1]) * self.across
            shift = phase[0] + (self.stagger if row % 2 else 0.0)
            for column in range(-columns, columns + 1):
                x = (column + shift) * self.along
                yield Point(middle.x + x * c - y * s, middle.y + x * s + y * c)


def staggered(pitch: float) -> Lattice:
    """Rows half a pitch out of step: every hole is `pitch` from its six neighbours."""
    return Lattice(pitch, pitch * sqrt(3) / 2, 0.5)


def square(pitch: float) -> Lattice:
    """Rows in step."""
    return Lattice(pitch, pitch)
