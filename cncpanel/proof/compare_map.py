"""The height map against a target: where too much went and where something is left, in mm, with the move that did it.

Read at the cells' middles. A middle nearer to a wall than WALL is not asked, because walls are judged by exact
shapes elsewhere; depths may differ by DEPTH.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

import numpy as np
import numpy.typing as npt
import shapely

from cncpanel.proof.removal import MeasuredMap
from cncpanel.proof.scan import inside
from cncpanel.proof.target import Floor, Target

WALL = 0.02  # mm; two of the exact comparison's own tolerance, chords included
DEPTH = 0.01  # mm; a tenth of what a shop measures, and far above a float32
SHOWN = 25  # moves told for one part; the rest is counted
BESIDE_TAB = 3.0  # mm; a tool that rises to a tab's top leaves so much of its own roundness at both ends

Cells = npt.NDArray[np.float32]


@dataclass(frozen=True, slots=True, kw_only=True)
class MapDifference:
    """`amount` mm too deep (gouge) or too shallow (leftover) at the worst place; `move` made it (-1: none was there).

    `area` mm2 of all cells that differ so, of this move and part.
    """

    kind: Literal["gouge", "leftover"]
    name: str
    amount: float
    x: float
    y: float
    area: float
    move: int


def differences(measured: MeasuredMap, target: Target, slack: float = 0.0) -> Iterator[MapDifference]:
    """All of one sheet, in program coordinates; `slack` is a blending control's tolerance, mm.

    `hole` floors and marks are asked for their greatest depth only, since a drill's point and a v-bit's slopes
    belong to them.
    """
    wall = WALL + slack
    for piece in target.pieces:
        yield from _gouges(measured, piece.name, _whole(piece.shape, target, wall), 0.0)
    for floor in target.floors:
        if floor.depth < target.thickness:
            deeper = [f.shape for f in target.floors if f.depth > floor.depth]
            yield from _gouges(measured, floor.name, _without(floor.shape, deeper, wall), floor.depth)
        yield from _leftovers(measured, target, floor, wall)


def _whole(piece: shapely.Geometry, target: Target, wall: float) -> shapely.Geometry:
    """Where nothing may go."""
    return _without(piece, [floor.shape for floor in target.floors], wall)


def _without(shape: shapely.Geometry, gone: list[shapely.Geometry], wall: float) -> shapely.Geometry:
    near = [other for other in gone if shapely.intersects(shape, other)]
    left = shapely.difference(shape, shapely.union_all(near)) if near else shape
    return shapely.buffer(left, -wall)


def _gouges(measured: MeasuredMap, name: str, shape: shapely.Geometry, depth: float) -> Iterator[MapDifference]:
    window, mask = inside(shape, measured.heights.grid)
    over = np.where(mask, measured.heights.depth[window] - np.float32(depth), 0.0)
    yield from _told("gouge", name, over, window, measured)


def _leftovers(measured: MeasuredMap, target: Target, floor: Floor, wall: float) -> Iterator[MapDifference]:
    asked = floor.shape if floor.must is None else floor.must
    window, mask = inside(shapely.buffer(asked, -wall), measured.heights.grid)
    if not mask.any():
        return
    depth = min(floor.depth, target.thickness)
    found = measured.heights.depth[window]
    if floor.kind in ("hole", "mark"):
        wanted = depth if floor.kind == "hole" else 2 * DEPTH
        under = np.where(mask, np.float32(wanted) - found[mask].max(), 0.0)
    else:
        may_stay = _may_stay(target)
        if may_stay is not None:
            mask &= ~_on(may_stay, measured, window)
        under = np.where(mask, np.float32(depth) - found, 0.0)
    yield from _told("leftover", floor.name, under, window, measured)


def _may_stay(target: Target) -> shapely.Geometry | None:
    """Named corners that no round tool reaches, and tabs with their rounded ends."""
    spots = [shapely.Point(spot.x, spot.y).buffer(spot.size) for spot in target.spots]
    tabs = [shapely.Point(tab.x, tab.y).buffer(tab.width / 2 + 2 * BESIDE_TAB) for tab in target.tabs]
    return shapely.union_all([*spots, *tabs]) if spots or tabs else None


def _on(shape: shapely.Geometry, measured: MeasuredMap, window: tuple[slice, slice]) -> npt.NDArray[np.bool_]:
    """Which of a window's cells a shape holds."""
    whole, mask = inside(shape, measured.heights.grid)
    rows, columns = window
    found = np.zeros((rows.stop - rows.start, columns.stop - columns.start), dtype=np.bool_)
    top, left = max(rows.start, whole[0].start), max(columns.start, whole[1].start)
    bottom, right = min(rows.stop, whole[0].stop), min(columns.stop, whole[1].stop)
    if top < bottom and left < right:
        part = mask[top - whole[0].start : bottom - whole[0].start, left - whole[1].start : right - whole[1].start]
        found[top - rows.start : bottom - rows.start, left - columns.start : right - columns.start] = part
    return found


def _told(
    kind: Literal["gouge", "leftover"],
    name: str,
    amount: npt.NDArray[np.floating[npt.NBitBase]],
    window: tuple[slice, slice],
    measured: MeasuredMap,
) -> Iterator[MapDifference]:
    """One a move, the worst first, SHOWN of them."""
    rows, columns = np.nonzero(amount > DEPTH)
    if not len(rows):
        return
    grid, by = measured.heights.grid, measured.writer[window][rows, columns]
    worst = amount[rows, columns]
    order = np.argsort(-worst, kind="stable")
    moves, first, counts = np.unique(by[order], return_index=True, return_counts=True)
    for i in np.argsort(first, kind="stable")[:SHOWN]:
        at = order[first[i]]
        yield MapDifference(
            kind=kind,
            name=name,
            amount=float(worst[at]),
            x=grid.origin[0] + (window[1].start + int(columns[at]) + 0.5) * grid.cell,
            y=grid.origin[1] + (window[0].start + int(rows[at]) + 0.5) * grid.cell,
            area=float(counts[i]) * grid.cell**2,
            move=int(moves[i]),
        )
