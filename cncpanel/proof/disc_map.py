"""The map of depths with discs of undercutting tools: how far down each place was touched, whatever stands over it."""

from collections.abc import Iterator

import numpy as np
import shapely

from cncpanel.proof.carved import Carved
from cncpanel.proof.cuts import SAME
from cncpanel.proof.motion import Move
from cncpanel.proof.removal import MeasuredMap
from cncpanel.proof.scan import inside
from cncpanel.proof.undercut import swept


def with_discs(carved: Carved) -> MeasuredMap:
    """The carved map itself where no tool undercuts; else one in which a disc's level way is as deep as the disc."""
    if not any(share.tool.undercuts for share in carved.shares):
        return carved.measured
    heights = carved.measured.heights.copied()
    result = MeasuredMap(heights)
    result.writer[:] = carved.measured.writer
    for number, move, radius in _levels(carved):
        window, mask = inside(shapely.union_all(list(swept(move, radius))), heights.grid)
        deep = np.float32(min(heights.top - move.end[2], heights.thickness))
        deeper = mask & (heights.depth[window] < deep)
        heights.depth[window][deeper] = deep
        result.writer[window][deeper] = number
    return result


def _levels(carved: Carved) -> Iterator[tuple[int, Move, float]]:
    """Every level way of a disc below the top, with its number among all moves."""
    number = 0
    for share in carved.shares:
        for placed in share.moves:
            move = placed.move
            below = carved.measured.heights.top - move.end[2] > SAME
            if share.tool.undercuts and below and abs(move.start[2] - move.end[2]) <= SAME:
                yield number, move, share.tool.radius
            number += 1
