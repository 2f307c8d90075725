"""What each move takes away, in the order in which the moves are made: the measure of what it has to do.

Counted by cells: the numbers of a move that is no longer than a few cells are coarse, and a finer map tells more.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
import numpy.typing as npt

from cncpanel.machine.tool import Tool
from cncpanel.proof.cut_depth import PAIRS, Pairs, pairs_of
from cncpanel.proof.heightmap import HeightMap
from cncpanel.proof.motion import Move
from cncpanel.proof.tool_form import ToolForm, form_of
from cncpanel.proof.way_kind import in_kinds
from cncpanel.proof.ways import Floats, Ways, Whole, ways_of

SEVERAL = 4  # times PAIRS that are held at once
_LOW = (1 << 32) - 1
NOBODY = -1  # the writer of a cell that no move has touched


@dataclass(frozen=True, slots=True, kw_only=True)
class Removal:
    """A row a move, from move number `first` on.

    `volume` mm3; `area` mm2 that went deeper, seen from above; `bite` the most that went at one place, mm;
    `across` the move's length seen from above, mm.
    """

    first: int
    volume: Floats
    area: Floats
    bite: Floats
    across: Floats

    @property
    def width(self) -> Floats:
        """How wide the move cut on average, mm: its area over its length; 0 for a move straight down."""
        return np.divide(self.area, self.across, out=np.zeros_like(self.area), where=self.across > 0)

    @property
    def mean_bite(self) -> Floats:
        """How much went on average where anything went, mm."""
        return np.divide(self.volume, self.area, out=np.zeros_like(self.area), where=self.area > 0)

    def rate(self, seconds: Floats) -> Floats:
        """Removal rate of each move in its own time, mm3/s; 0 where it takes none."""
        return np.divide(self.volume, seconds, out=np.zeros_like(self.volume), where=seconds > 0)

    def power(self, seconds: Floats, specific_force: float) -> Floats:
        """Power at the cutter, W, at a specific cutting force in N/mm2 (P = Q k: mm3/s times N/mm2 is mW)."""
        return self.rate(seconds) * specific_force / 1000


class MeasuredMap:
    """A height map that also knows which move lowered each cell last: `writer`, NOBODY where none did."""

    def __init__(self, heights: HeightMap) -> None:
        """On a fresh map, or one whose earlier cuts nobody asks about."""
        self.heights = heights
        self.writer: npt.NDArray[np.int32] = np.full(heights.depth.shape, NOBODY, dtype=np.int32)

    def remove(self, moves: Sequence[Move], tool: Tool | ToolForm, first: int = 0) -> Removal:
        """Take away what the moves cut, one after another; they are numbered from `first`."""
        form = tool if isinstance(tool, ToolForm) else form_of(tool)
        ways = ways_of(moves, self.heights.top, first)
        taken = np.zeros((len(moves), 3))
        if form.undercuts:
            for stretch, is_stay in _stretches(ways):
                self._take(ways.chosen(stretch), form if is_stay else form.through_neck, taken, first)
        else:
            self._take(ways, form, taken, first)
        across = np.zeros(len(moves))
        np.add.at(across, ways.number - first, ways.across)
        cell = self.heights.grid.cell**2
        return Removal(first=first, volume=taken[:, 0] * cell, area=taken[:, 1] * cell, bite=taken[:, 2], across=across)

    def _take(self, ways: Ways, form: ToolForm, taken: Floats, first: int) -> None:
        heights = self.heights
        ways, kinds = in_kinds(ways, form)
        if heights.loops is not None:
            heights.loops.measure(
                heights.depth, ways, kinds, form, heights.grid, heights.thickness, self.writer, taken, first
            )
            return
        reach = form.reaches(ways.deep)
        cells = np.cumsum((ways.across + 2 * reach) * 2 * reach / heights.grid.cell**2)
        portion = (cells / (SEVERAL * PAIRS)).astype(np.int64)
        edges = [0, *(np.flatnonzero(np.diff(portion)) + 1).tolist(), len(ways)]
        for begin, end in pairwise(edges):
            some = slice(begin, end)
            pairs = list(pairs_of(ways.chosen(some), kinds[some], form, heights.grid))
            if pairs:
                self._settle(pairs, taken, first)

    def _settle(self, pairs: Sequence[Pairs], taken: Floats, first: int) -> None:
        """Pairs of some moves: each cell's in order, the gain of each over all before."""
        cell, number = (np.concatenate([getattr(part, name) for part in pairs]) for name in ("cell", "number"))
        order = np.lexsort((number, cell))
        cell, number = cell[order], number[order]
        depth = np.concatenate([part.depth for part in pairs])[order]
        depth = np.minimum(depth, np.float32(self.heights.thickness))
        flat, writer = self.heights.depth.reshape(-1), self.writer.reshape(-1)
        begins = np.ones(len(cell), dtype=np.bool_)
        begins[1:] = cell[1:] != cell[:-1]
        running = _running(depth, begins)
        before = flat[cell]
        before[1:] = np.where(begins[1:], before[1:], np.maximum(before[1:], running[:-1]))
        gains = depth > before
        cell, number = cell[gains], number[gains]
        gain = depth[gains].astype(np.float64) - before[gains]
        fresh = np.ones(len(cell), dtype=np.bool_)
        fresh[1:] = (cell[1:] != cell[:-1]) | (number[1:] != number[:-1])
        taken[:, 0] += np.bincount(number - first, weights=gain, minlength=len(taken))
        taken[:, 1] += np.bincount(number - first, weights=fresh, minlength=len(taken))
        np.maximum.at(taken[:, 2], number - first, gain)
        flat[cell] = depth[gains]  # the last of each cell is its deepest
        writer[cell] = number


def _running(depth: npt.NDArray[np.float32], begins: npt.NDArray[np.bool_]) -> npt.NDArray[np.float32]:
    """The greatest depth so far in each run; the order of positive floats is that of their bits."""
    group = np.cumsum(begins, dtype=np.int64)
    key = (group << 32) | depth.view(np.int32).astype(np.int64)
    return (np.maximum.accumulate(key) & _LOW).astype(np.int32).view(np.float32)


def _stretches(ways: Ways) -> Iterator[tuple[Whole, bool]]:
    """Stays and ways of an undercutting tool, as they come."""
    stays = (ways.across == 0) & ways.is_level
    edges = [0, *(np.flatnonzero(np.diff(stays)) + 1).tolist(), len(ways)]
    for begin, end in pairwise(edges):
        if end > begin:
            yield np.arange(begin, end), bool(stays[begin])
