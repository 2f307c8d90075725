"""Where Z may be touched off: a place on the sheet that no program of it cuts."""

from collections.abc import Iterable
from itertools import product
from math import hypot

import numpy as np
import numpy.typing as npt

from cncpanel.geometry.point import Point
from cncpanel.geometry.segment import Bounds
from cncpanel.passes.run import Run
from cncpanel.sequence.frame import grown, segments_of

PITCH = 10.0  # mm between the places tried
ROOM = (15.0, 8.0, 4.0)  # mm kept free all round for a setting block, a coin-sized gauge, a strip of paper


def touch_off_spot(runs: Iterable[Run], size: tuple[float, float], keep_outs: Iterable[Bounds] = ()) -> Point | None:
    """The uncut place nearest the zero, with as much room as there is; None where everything is cut.

    Nor on one of the `keep_outs`. Program coordinates. Each move counts as the box it sweeps, so no place is nearer a
    cut than it seems.
    """
    swept = [grown(s.bounds, run.tool.radius) for run in runs for s in segments_of(run)] + list(keep_outs)
    boxes = np.array(swept, dtype=float).reshape(-1, 4)
    for room in ROOM:
        found = _nearest_free(boxes, size, room)
        if found:
            return found
    return None


def _nearest_free(boxes: npt.NDArray[np.float64], size: tuple[float, float], room: float) -> Point | None:
    across, along = (np.arange(room, extent - room + 1e-9, PITCH) for extent in size)
    places = sorted(product(across.tolist(), along.tolist()), key=lambda p: (hypot(*p), p))
    return next((Point(x, y) for x, y in places if not _is_cut(boxes, x, y, room)), None)


def _is_cut(boxes: npt.NDArray[np.float64], x: float, y: float, room: float) -> bool:
    beside = (boxes[:, 0] - room < x) & (x < boxes[:, 2] + room)
    return bool((beside & (boxes[:, 1] - room < y) & (y < boxes[:, 3] + room)).any())
