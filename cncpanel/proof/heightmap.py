"""The sheet as cells: how deep each has been cut. One float32 a cell, depths counted down from the sheet's top.

Depths are those at the cells' middles, within FLOAT_STEP of the geometry's own; what lies between two middles
is not seen, so that a wall's place is known to half a cell.
"""

from collections.abc import Sequence

import numpy as np
import numpy.typing as npt

from cncpanel.machine.tool import Tool
from cncpanel.proof import fast
from cncpanel.proof.cut_depth import cells_of, pairs_of, sure_spans
from cncpanel.proof.motion import Move
from cncpanel.proof.spans import Grid, Spans
from cncpanel.proof.tool_form import ToolForm, form_of
from cncpanel.proof.way_kind import PLAIN, in_kinds
from cncpanel.proof.ways import Ways, distinct, ways_of

CELL = 0.5  # mm; a whole sheet takes 48 MB
LONG = 128  # cells; a longer stretch of a row is sooner done by itself
FLOAT_STEP = 4e-6  # mm; what a float32 may round at 50 mm


class HeightMap:
    """A sheet, or a part of it in finer cells, under way. Mutable: `depth` is its rows (Y) by columns (X)."""

    def __init__(
        self,
        size: tuple[float, float],
        thickness: float,
        cell: float = CELL,
        *,
        origin: tuple[float, float] = (0.0, 0.0),
        top: float = 0.0,
        compiled: bool = False,
    ) -> None:
        """`size` along X and Y and `origin` in program coordinates; `top` is program Z of the sheet's top.

        `compiled` asks for numba's loops; ImportError where the extra `fast` is not installed.
        """
        columns, rows = (max(round(side / cell), 1) for side in size)
        self.grid = Grid(origin=origin, cell=cell, rows=rows, columns=columns)
        self.thickness, self.top = thickness, top
        self.depth: npt.NDArray[np.float32] = np.zeros((rows, columns), dtype=np.float32)
        self.loops = fast.loops() if compiled else None

    def remove(self, moves: Sequence[Move] | Ways, tool: Tool | ToolForm) -> None:
        """Take away what the moves cut, all of which are made with this tool; their order makes no difference.

        Moves that are nowhere below the top, and moves from an unknown place, take nothing. An undercutting tool
        takes its disc's width on a stay and its neck's on a way: what it takes under the face is undercut.py's.
        Moves that many maps are cut by, finer parts of one sheet say, may be given as Ways made once.
        """
        form = tool if isinstance(tool, ToolForm) else form_of(tool)
        ways = moves if isinstance(moves, Ways) else ways_of(moves, self.top)
        if form.undercuts:
            stays = (ways.across == 0) & ways.is_level
            self._take(ways.chosen(~stays), form.through_neck)
            ways = ways.chosen(stays)
        self._take(ways, form)

    def _take(self, ways: Ways, form: ToolForm) -> None:
        if form.flat >= form.radius:
            ways = distinct(ways)
        ways, kinds = in_kinds(ways, form)
        if self.loops is not None:
            self.loops.take(self.depth, ways, kinds, form, self.grid, self.thickness)
            return
        for spans, depth in sure_spans(ways, kinds, form, self.grid):
            self._lower(spans, np.minimum(depth, np.float32(self.thickness)))
        asked = ~np.isin(kinds, PLAIN)
        cells = self.depth.reshape(-1)
        for pairs in pairs_of(ways.chosen(asked), kinds[asked], form, self.grid):
            np.maximum.at(cells, pairs.cell, np.minimum(pairs.depth, np.float32(self.thickness)))

    def _lower(self, spans: Spans, depth: npt.NDArray[np.float32]) -> None:
        """Stretches of rows: the long ones one by one, the others' cells together."""
        counts = spans.counts
        long = counts > LONG
        for row, first, last, value in zip(
            spans.row[long].tolist(), spans.first[long].tolist(), spans.last[long].tolist(), depth[long], strict=True
        ):
            stretch = self.depth[row, first : last + 1]
            np.maximum(stretch, value, out=stretch)
        short = ~long
        counts = counts[short]
        cells = cells_of(spans.row[short], spans.first[short], counts, self.grid)
        np.maximum.at(self.depth.reshape(-1), cells, np.repeat(depth[short], counts))

    @property
    def volume(self) -> float:
        """What has been taken, mm3."""
        return float(self.depth.sum(dtype=np.float64)) * self.grid.cell**2

    def depth_at(self, x: float, y: float) -> float:
        """The depth of the cell that holds a point; 0 off the map."""
        column, row = (int((v - low) // self.grid.cell) for v, low in zip((x, y), self.grid.origin, strict=True))
        if 0 <= row < self.grid.rows and 0 <= column < self.grid.columns:
            return float(self.depth[row, column])
        return 0.0

    def copied(self) -> "HeightMap":
        """The same, to be cut further by itself."""
        left, low = self.grid.origin
        right, high = left + self.grid.columns * self.grid.cell, low + self.grid.rows * self.grid.cell
        other = self.refined((left, low, right, high), self.grid.cell)
        other.depth[:] = self.depth
        return other

    def refined(self, box: tuple[float, float, float, float], cell: float) -> "HeightMap":
        """A fresh map of a part of the sheet (xmin, ymin, xmax, ymax) in finer cells: to be cut anew."""
        xmin, ymin, xmax, ymax = box
        return HeightMap(
            (xmax - xmin, ymax - ymin),
            self.thickness,
            cell,
            origin=(xmin, ymin),
            top=self.top,
            compiled=self.loops is not None,
        )
