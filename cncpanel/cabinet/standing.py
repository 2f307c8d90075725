"""A panel that runs from side to side, in section: its outer line, where it starts and ends on both faces."""

from dataclasses import dataclass
from math import atan2, degrees

from cncpanel.cabinet.line import Line
from cncpanel.geometry.point import Point

SQUARE = 1e-6  # mm; ends whose two arrises differ by less are square


@dataclass(frozen=True, slots=True)
class EndAt:
    """How far along the outer line an end lies, at the outer and at the inner face."""

    outer: float
    inner: float

    def moved(self, by: float) -> "EndAt":
        """The same end `by` mm further along."""
        return EndAt(self.outer + by, self.inner + by)


def square(way: float) -> EndAt:
    """An end cut at a right angle."""
    return EndAt(way, way)


@dataclass(frozen=True, slots=True, kw_only=True)
class Standing:
    """Where panel `name` of the job lies in the section; `line` is its outer face's."""

    index: int
    name: str
    line: Line
    thickness: float
    start: EndAt
    end: EndAt

    @property
    def low(self) -> float:
        """Where the panel's own y is 0 on its line: the first arris, of whichever face."""
        return min(self.start.outer, self.start.inner)

    @property
    def length(self) -> float:
        """The panel's size along its line, bevels within."""
        return max(self.end.outer, self.end.inner) - self.low

    @property
    def inner_line(self) -> Line:
        """Its inner face's line."""
        return self.line.inside(self.thickness)

    @property
    def corners(self) -> tuple[Point, Point, Point, Point]:
        """Its section: outer face from start to end, then the inner face back."""
        inner = self.inner_line
        return (
            self.line.at(self.start.outer),
            self.line.at(self.end.outer),
            inner.at(self.end.inner),
            inner.at(self.start.inner),
        )

    def bevel_deg(self, at_start: bool) -> float:
        """Degrees off square at an end; positive where the back face is the shorter one, 0 where it is square."""
        end = self.start if at_start else self.end
        lag = end.inner - end.outer if at_start else end.outer - end.inner
        return 0.0 if abs(lag) < SQUARE else degrees(atan2(lag, self.thickness))
