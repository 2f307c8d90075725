"""Where parts may lie on a bare sheet: inside its margin, clear of its keep-outs."""

from dataclasses import dataclass
from functools import cached_property

import shapely

from cncpanel.job.model import KeepOut, Stock


def kept_clear(keep_out: KeepOut, stock: Stock, gap: float) -> float:
    """How far a part stays from a keep-out: a tool's reach and a spare from what it must not meet.

    A margin from where an earlier job cut, as from the sheet's own edges; up to a defect a part may go.
    """
    beside = max(gap, keep_out.clear or 0.0)
    return {"clamp": beside, "screw": beside, "used": stock.margin, "defect": 0.0}[keep_out.kind]


def rectangle_of(keep_out: KeepOut) -> shapely.Polygon:
    """The keep-out itself, sheet frame."""
    (x, y), (width, height) = keep_out.at, keep_out.size
    return shapely.box(x, y, x + width, y + height)


@dataclass(frozen=True)
class Ground:
    """A sheet of a stock before anything lies on it. `stock.sheet` is this very sheet's size.

    `piece` names it where it is an offcut from the shop's store.
    """

    stock: Stock
    gap: float
    piece: str = ""

    @cached_property
    def blocks(self) -> tuple[shapely.Polygon, ...]:
        """What parts' outlines stay out of, clearances and all."""
        return tuple(
            shapely.buffer(rectangle_of(keep), kept_clear(keep, self.stock, self.gap), join_style="mitre")
            for keep in self.stock.keep_out
        )

    @cached_property
    def usable(self) -> shapely.Polygon:
        """Inside the margin."""
        margin, (length, width) = self.stock.margin, self.stock.sheet
        return shapely.box(margin, margin, length - margin, width - margin)

    @property
    def inner(self) -> tuple[float, float]:
        """Length and width inside the margin."""
        return self.stock.sheet[0] - 2 * self.stock.margin, self.stock.sheet[1] - 2 * self.stock.margin

    @cached_property
    def area(self) -> float:
        """mm2 that parts, each grown by half the gap, can cover at most: outlines keep the gap from one another."""
        half = self.gap / 2
        shrunk = [shapely.buffer(block, -min(half, self._clear(i))) for i, block in enumerate(self.blocks)]
        return float(shapely.difference(self.usable.buffer(half, quad_segs=64), shapely.union_all(shrunk)).area)

    def _clear(self, index: int) -> float:
        return kept_clear(self.stock.keep_out[index], self.stock, self.gap)

    def room(self, width: float, height: float) -> shapely.Geometry | None:
        """Where the lower left of such a box may go; a line or point where it fits exactly."""
        slack_x, slack_y = self.inner[0] - width, self.inner[1] - height
        if slack_x < -1e-9 or slack_y < -1e-9:
            return None
        low = self.stock.margin
        x, y = low + max(slack_x, 0.0), low + max(slack_y, 0.0)
        if x > low and y > low:
            return shapely.box(low, low, x, y)
        return shapely.LineString([(low, low), (x, y)]) if max(x, y) > low else shapely.Point(low, low)
