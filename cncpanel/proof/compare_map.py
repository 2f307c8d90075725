"""The height map against a target: where too much went and where something is left, in mm, with the move that did it.

Read at the cells' middles. A middle nearer to a wall than WALL is not asked, because walls are judged by exact
shapes elsewhere; depths may differ by DEPTH.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from math import radians, tan
from typing import Literal

import numpy as np
import numpy.typing as npt
import shapely

from cncpanel.proof.removal import MeasuredMap
from cncpanel.proof.scan import inside
from cncpanel.proof.target import Floor, Rim, Target
from cncpanel.proof.wanted_shape import rim_bands

WALL = 0.02  # mm; two of the exact comparison's own tolerance, chords included
DEPTH = 0.01  # mm; a tenth of what a shop measures, and far above a float32
SHOWN = 25  # moves told for one part; the rest is counted

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


class MapComparison:
    """One sheet's map and its target, both in program coordinates.

    `excess` tells for each cell what was cut too deep (+) or left (-), mm, once `differences` has run.
    """

    def __init__(
        self, measured: MeasuredMap, target: Target, *, slack: float = 0.0, may_stay: shapely.Geometry | None = None
    ) -> None:
        """`slack` is a blending control's tolerance, mm; nothing is missed in `may_stay` or at named spots."""
        self.measured, self.target = measured, target
        self.wall = WALL + slack
        self.excess: Cells = np.zeros(measured.heights.depth.shape, dtype=np.float32)
        self._bands = rim_bands(target, 0.0)
        spots = [shapely.Point(spot.x, spot.y).buffer(spot.size) for spot in target.spots]
        kept = [*spots, *([] if may_stay is None else [may_stay])]
        self._may_stay = _mask(shapely.union_all(kept), measured) if kept else None

    def differences(self) -> Iterator[MapDifference]:
        """All of the sheet.

        `hole` floors and marks are asked for their greatest depth only, since a drill's point and a v-bit's slopes
        belong to them; a point may lie beside a cell's middle, and so be told less deep by a cell.
        """
        floors = self.target.floors
        for piece in self.target.pieces:
            yield from self._gouges(piece.name, self._without(piece.shape, [floor.shape for floor in floors]), 0.0)
        for floor in floors:
            if floor.depth < self.target.thickness:
                deeper = [other.shape for other in floors if other.depth > floor.depth]
                yield from self._gouges(floor.name, self._without(floor.shape, deeper), floor.depth)
            yield from self._leftovers(floor)
        for rim in self.target.rims:
            yield from self._rim_gouges(rim)

    def _without(self, shape: shapely.Geometry, gone: list[shapely.Geometry]) -> shapely.Geometry:
        near = [other for other in (*gone, *self._bands) if shapely.intersects(shape, other)]
        left = shapely.difference(shape, shapely.union_all(near)) if near else shape
        return shapely.buffer(left, -self.wall)

    def _gouges(self, name: str, shape: shapely.Geometry, depth: float) -> Iterator[MapDifference]:
        window, mask = inside(shape, self.measured.heights.grid)
        over = np.where(mask, self.measured.heights.depth[window] - np.float32(depth), 0.0)
        self.excess[window] = np.maximum(self.excess[window], over)
        yield from _told("gouge", name, over, window, self.measured)

    def _rim_gouges(self, rim: Rim) -> Iterator[MapDifference]:
        """Cells on a rim's form that lie deeper than it; what is left there is told by sections, which err nowhere."""
        others = [other for other in self.target.rims if other.path.distance(rim.path) < rim.width + other.width]
        floors = [floor.shape for floor in self.target.floors if floor.shape.distance(rim.path) < rim.width]
        band = shapely.difference(shapely.buffer(rim.path, rim.width, cap_style="flat"), shapely.union_all(floors))
        parts = shapely.union_all([piece.shape for piece in self.target.pieces])
        grid = self.measured.heights.grid
        window, mask = inside(shapely.buffer(shapely.intersection(band, parts), -self.wall), grid)
        rows, columns = np.nonzero(mask)
        x = grid.origin[0] + (window[1].start + columns + 0.5) * grid.cell
        y = grid.origin[1] + (window[0].start + rows + 0.5) * grid.cell
        points, wanted = shapely.points(x, y), np.zeros(len(x))
        for other in others:
            shapely.prepare(other.path)
            wanted = np.maximum(wanted, surfaces(other, shapely.distance(other.path, points) - self.wall))
        over: npt.NDArray[np.floating[npt.NBitBase]] = np.zeros_like(mask, dtype=np.float64)
        over[rows, columns] = self.measured.heights.depth[window][rows, columns] - wanted
        self.excess[window] = np.maximum(self.excess[window], over)
        yield from _told("gouge", rim.name, over, window, self.measured)

    def _leftovers(self, floor: Floor) -> Iterator[MapDifference]:
        asked = floor.shape if floor.must is None else floor.must
        window, mask = inside(shapely.buffer(asked, -self.wall), self.measured.heights.grid)
        if not mask.any():
            return
        depth = min(floor.depth, self.target.thickness)
        found = self.measured.heights.depth[window]
        if floor.kind in ("hole", "mark"):
            wanted = depth - self.measured.heights.grid.cell if floor.kind == "hole" else 2 * DEPTH
            under = np.where(mask, np.float32(wanted) - found[mask].max(), 0.0)
        else:
            if self._may_stay is not None:
                mask &= ~self._may_stay[window]
            under = np.where(mask, np.float32(depth) - found, 0.0)
        self.excess[window] = np.minimum(self.excess[window], np.where(under > DEPTH, -under, np.inf))
        yield from _told("leftover", floor.name, under, window, self.measured)


def surfaces(rim: Rim, inset: npt.NDArray[np.float64]) -> npt.NDArray[np.float64]:
    """How deep the rim's wanted surface lies so far inside its wall; 0 beyond the form."""
    left: npt.NDArray[np.float64] = np.clip(rim.width - inset, 0.0, rim.width)
    if rim.kind == "bevel":
        return left / tan(radians(rim.angle_deg))
    upright: npt.NDArray[np.float64] = np.sqrt(rim.depth * rim.depth - left * left)
    return rim.depth - upright


def _mask(shape: shapely.Geometry, measured: MeasuredMap) -> npt.NDArray[np.bool_]:
    """The whole map's cells that a shape holds."""
    found = np.zeros(measured.heights.depth.shape, dtype=np.bool_)
    window, mask = inside(shape, measured.heights.grid)
    found[window] = mask
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
