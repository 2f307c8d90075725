"""When a piece comes free of the sheet, and whether a cut still meets it then: nothing but the vacuum holds it."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
import shapely

from cncpanel.proof.compare import HELD_BY_VACUUM
from cncpanel.proof.cuts import SAME, Cut, boxes
from cncpanel.proof.finding import Finding
from cncpanel.proof.footprint import Footprints
from cncpanel.proof.material import Stock
from cncpanel.proof.setup import Setup

WALL = 0.05  # mm; a cut that reaches no further into a free piece follows its finished wall
CRUMB = 0.5  # mm; a piece thinner than twice this is a crumb (common practice, no source)
MOST = 25  # pieces of which the moment is looked for; every loose one is told in any case
FRICTION = 0.3  # of a board on a spoilboard: common practice, no source
VACUUM = 0.0677  # N/mm2: 20 inches of mercury, an ordinary pump on a porous board (67.7 kPa)


@dataclass(frozen=True, slots=True)
class Freed:
    """A piece, the number of cuts after which nothing holds it, and the cut that freed it."""

    shape: shapely.Polygon
    after: int
    by: Cut


class Freeing:
    """The pieces of one sheet as its through cuts take them out, in order."""

    def __init__(self, sheet: shapely.Geometry, cuts: Sequence[Cut], setup: Setup) -> None:
        """All cuts of all programs of the sheet, in order; `sheet` in program coordinates."""
        self._sheet, self._setup = sheet, setup
        self._cuts = cuts
        depth = setup.thickness - SAME
        self._through = [index for index, cut in enumerate(cuts) if cut.deep >= depth]
        self._stock = Stock(sheet, [cuts[index] for index in self._through])

    def findings(self) -> Iterator[Finding]:
        """The first cut that meets each free piece."""
        for piece in self.pieces():
            later = self._met(piece)
            if later is not None:
                yield self._finding(piece, later)

    def pieces(self) -> Iterator[Freed]:
        """What comes free, the largest first; where that is more than MOST, the sheet is wrong throughout."""
        if not self._through:
            return
        loose = self._inner(self._stock.left_in(self._sheet, self._depth, len(self._through)))
        whole = [piece for piece in loose if not shapely.buffer(piece, -CRUMB).is_empty]
        for piece in sorted(whole, key=lambda piece: -piece.area)[:MOST]:
            yield self._freed(piece)

    @property
    def _depth(self) -> float:
        return self._setup.thickness

    def _inner(self, left: shapely.Geometry) -> list[shapely.Polygon]:
        """Pieces that do not reach the sheet's edge."""
        rim = self._sheet.boundary
        parts = [part for part in shapely.get_parts(left) if part.geom_type == "Polygon" and not part.is_empty]
        return [part for part in parts if part.distance(rim) > SAME]

    def _freed(self, piece: shapely.Polygon) -> Freed:
        """Halving: the fewest through cuts that leave what is at the piece's middle cut off from all round it."""
        point, window = piece.representative_point(), self._window(piece)
        few, many, shape = 0, len(self._through), piece
        while many - few > 1:
            half = (few + many) // 2
            left = self._stock.left_in(window, self._depth, half)
            part = next((p for p in shapely.get_parts(left) if p.intersects(point)), None)
            if part is None or part.intersects(window.boundary):
                few = half
            else:
                many, shape = half, part
        last = self._through[many - 1]
        return Freed(shape, last + 1, self._cuts[last])

    def _window(self, piece: shapely.Polygon) -> shapely.Geometry:
        """As far round the piece as the widest tool that cut it out."""
        widest = max(2 * self._cuts[index].tool.radius for index in self._through)
        return shapely.intersection(shapely.box(*shapely.buffer(piece, widest + 1.0).bounds), self._sheet)

    def _met(self, piece: Freed) -> Cut | None:
        """The first later cut that takes more than a wall's breadth from the piece."""
        inside = shapely.buffer(piece.shape, -WALL)
        rest = self._cuts[piece.after :]
        if inside.is_empty or not rest:
            return None
        left, low, right, high = inside.bounds
        box = boxes(rest)
        near = (box[:, 0] < right) & (box[:, 1] < high) & (box[:, 2] > left) & (box[:, 3] > low)
        for index in np.flatnonzero(near).tolist():
            if any(shape.intersects(inside) for shape in Footprints().covered([rest[index]], 0.0).shapes):
                return rest[index]
        return None

    def _finding(self, piece: Freed, later: Cut) -> Finding:
        area = piece.shape.area
        sucked = self._setup.machine.table.hold == "vacuum"
        held = sucked and area >= HELD_BY_VACUUM
        force = f"the vacuum alone holds it, with {area * VACUUM * FRICTION:.0f} N" if sucked else "nothing holds it"
        x, y, z = later.move.end
        return Finding(
            kind="cut-after-free",
            severity="remark" if held else "safety",
            text=f"cuts a piece of {area:.0f} mm2 that line {piece.by.move.line} has set free: {force}",
            program=later.program,
            line=later.move.line,
            x=round(x, 4),
            y=round(y, 4),
            z=round(z, 4),
            measure=round(area, 2),
            limit=HELD_BY_VACUUM if sucked else None,
        )
