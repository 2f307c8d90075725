"""A part of the sheet cut anew in finer cells, where the whole sheet's are too coarse to tell."""

from collections.abc import Sequence
from functools import cached_property
from itertools import groupby

import numpy as np
import shapely

from cncpanel.machine.tool import Tool
from cncpanel.proof.carved import Carved
from cncpanel.proof.motion import Move
from cncpanel.proof.removal import MeasuredMap
from cncpanel.proof.setup import Setup
from cncpanel.proof.sweep import extent, straightened

FINE = 0.1  # mm; a fifth of the whole sheet's cells, and no narrower feature is drawn
MOST_CELLS = 1_000_000  # of one finer part; a larger one gets coarser cells

Box = tuple[float, float, float, float]


class Finer:
    """Finer parts of one carved sheet."""

    def __init__(self, carved: Carved, setup: Setup) -> None:
        """Nothing is cut before it is asked for."""
        self._carved, self._setup = carved, setup

    def within(self, box: Box) -> tuple[MeasuredMap, Sequence[int]]:
        """The part (xmin, ymin, xmax, ymax), and for each of its writers the number of the move in `carved.moves`."""
        cell = max(FINE, float(np.sqrt((box[2] - box[0]) * (box[3] - box[1]) / MOST_CELLS)))
        measured = MeasuredMap(self._carved.measured.heights.refined(box, cell))
        near = np.sort(self._tree.query(shapely.box(*box))).tolist()
        moves = [self._carved.moves[number].move for number in near]
        first = 0
        for tool, some in groupby(moves, key=lambda move: move.tool):
            share = list(some)
            measured.remove(share, self._setup.tools[tool], first=first)
            first += len(share)
        return measured, near

    @cached_property
    def by_round_tools(self) -> shapely.Geometry:
        """Boxes round all that tools cut which are neither straight-sided nor drills."""
        numbers = [n for n, p in enumerate(self._carved.moves) if _is_round(self._setup.tools[p.move.tool])]
        return shapely.union_all(self._tree.geometries[numbers])

    @cached_property
    def _tree(self) -> shapely.STRtree:
        boxes = np.array([_seen_from_above(placed.move) for placed in self._carved.moves]).reshape(-1, 4)
        radii = np.array([self._setup.tools[placed.move.tool].radius for placed in self._carved.moves])
        left, low, right, high = boxes.T
        return shapely.STRtree(shapely.box(left - radii, low - radii, right + radii, high + radii))


def _is_round(tool: Tool) -> bool:
    return not tool.is_flat and tool.kind != "drill"


def _seen_from_above(move: Move) -> Box:
    left, low, right, high = zip(*map(extent, straightened(move)), strict=True)
    return min(left), min(low), max(right), max(high)
