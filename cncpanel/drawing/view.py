"""A sheet on paper as the operator sees it on the machine: program X to the right, program Y away."""

from dataclasses import dataclass

from cncpanel.geometry.contour import Contour, Vertex
from cncpanel.geometry.point import Point
from cncpanel.geometry.segment import Bounds
from cncpanel.layout.layout import Sheet

BORDER = 8.0  # mm round the sheet for its figures
Spot = tuple[float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class View:
    """Sheet millimetres to paper millimetres; `turned` where the sheet's long side lies along machine Y."""

    sheet: Sheet
    turned: bool
    factor: float

    @staticmethod
    def within(sheet: Sheet, *, turned: bool, width: float, height: float) -> "View":
        """The largest view with its border inside `width` x `height` mm of paper."""
        across, away = (sheet.width, sheet.length) if turned else (sheet.length, sheet.width)
        factor = min((width - 2 * BORDER) / across, (height - 2 * BORDER) / away)
        return View(sheet=sheet, turned=turned, factor=factor)

    @property
    def across(self) -> float:
        """How far the sheet reaches along program X, mm."""
        return self.sheet.width if self.turned else self.sheet.length

    @property
    def away(self) -> float:
        """How far the sheet reaches along program Y, mm."""
        return self.sheet.length if self.turned else self.sheet.width

    @property
    def size(self) -> tuple[float, float]:
        """Of the picture on paper, border and all."""
        return self.across * self.factor + 2 * BORDER, self.away * self.factor + 2 * BORDER

    def program(self, point: Spot) -> Point:
        """A place in the sheet's frame as the program names it."""
        x, y = point
        return Point(self.sheet.width - y, x) if self.turned else Point(x, y)

    def at(self, point: Spot) -> Spot:
        """A place in the sheet's frame on paper."""
        x, y = self.program(point)
        return BORDER + x * self.factor, BORDER + y * self.factor

    def contour(self, contour: Contour) -> Contour:
        """A contour in the sheet's frame on paper; neither view mirrors, so arcs keep their sense."""
        return Contour(tuple(Vertex(*self.at(v.point), v.bulge) for v in contour.vertices))

    def box(self, bounds: Bounds) -> tuple[Spot, ...]:
        """A box in the sheet's frame as four corners on paper."""
        left, low, right, high = bounds
        return tuple(map(self.at, ((left, low), (right, low), (right, high), (left, high))))
