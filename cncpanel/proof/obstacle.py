"""Clamps and screws on the sheet: upright boxes that no tool, shank or collet nut may touch."""

from dataclasses import dataclass, replace


@dataclass(frozen=True, slots=True, kw_only=True)
class Obstacle:
    """A box over the rectangle (xmin, ymin) to (xmax, ymax), `height` over the sheet's top. mm."""

    kind: str
    xmin: float
    ymin: float
    xmax: float
    ymax: float
    height: float

    def moved(self, dx: float, dy: float) -> "Obstacle":
        """The same box elsewhere."""
        return replace(self, xmin=self.xmin + dx, xmax=self.xmax + dx, ymin=self.ymin + dy, ymax=self.ymax + dy)

    def turned(self, width: float) -> "Obstacle":
        """On a sheet of that width which lies turned: (x, y) becomes (width - y, x)."""
        return replace(self, xmin=width - self.ymax, xmax=width - self.ymin, ymin=self.xmin, ymax=self.xmax)
