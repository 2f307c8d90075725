"""Rectangles of the sheet that something occupies: clamps and screws, which stand up; used places and flaws."""

from dataclasses import dataclass, replace

import shapely


@dataclass(frozen=True, slots=True, kw_only=True)
class Obstacle:
    """A box over the rectangle (xmin, ymin) to (xmax, ymax), `height` over the sheet's top (0: nothing stands). mm.

    A `driven` screw comes at a stop after its hole was made; `since` is the number of the first move it stands for.
    """

    kind: str
    xmin: float
    ymin: float
    xmax: float
    ymax: float
    height: float
    driven: bool = False
    since: int = 0

    @property
    def shape(self) -> shapely.Polygon:
        """Seen from above."""
        return shapely.box(self.xmin, self.ymin, self.xmax, self.ymax)

    def moved(self, dx: float, dy: float) -> "Obstacle":
        """The same box elsewhere."""
        return replace(self, xmin=self.xmin + dx, xmax=self.xmax + dx, ymin=self.ymin + dy, ymax=self.ymax + dy)

    def turned(self, width: float) -> "Obstacle":
        """On a sheet of that width which lies turned: (x, y) becomes (width - y, x)."""
        return replace(self, xmin=width - self.ymax, xmax=width - self.ymin, ymin=self.xmin, ymax=self.xmax)
