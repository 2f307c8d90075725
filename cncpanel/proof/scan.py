"""Shapes on a grid: which cells' middles lie inside, row by row from the shape's own edges."""

import numpy as np
import numpy.typing as npt
import shapely

from cncpanel.proof.spans import Grid
from cncpanel.proof.ways import Whole

Window = tuple[slice, slice]


def inside(shape: shapely.Geometry, grid: Grid) -> tuple[Window, npt.NDArray[np.bool_]]:
    """A window of the grid (rows, columns) and the cells in it whose middles are inside; an empty one for nothing.

    Every row's crossings with the edges are counted: a middle with an odd number to its left is inside, holes and
    several parts alike.
    """
    rings = shapely.get_rings(shapely.get_parts(shape))
    if not len(rings):
        return (slice(0, 0), slice(0, 0)), np.zeros((0, 0), dtype=np.bool_)
    xmin, ymin, xmax, ymax = shape.bounds
    rows, columns = (
        _range(ymin, ymax, grid.origin[1], grid.cell, grid.rows),
        _range(xmin, xmax, grid.origin[0], grid.cell, grid.columns),
    )
    height, width = max(rows.stop - rows.start, 0), max(columns.stop - columns.start, 0)
    crossings = np.zeros((height, width + 1), dtype=np.int8)
    for ring in rings:
        row, column = _crossings(shapely.get_coordinates(ring), grid, rows)
        np.add.at(crossings, (row, np.clip(column - columns.start, 0, width)), 1)
    return (rows, columns), (np.cumsum(crossings[:, :width], axis=1, dtype=np.int32) % 2).astype(np.bool_)


def _range(low: float, high: float, origin: float, cell: float, count: int) -> slice:
    first = max(int(np.ceil((low - origin) / cell - 0.5)), 0)
    last = min(int(np.floor((high - origin) / cell - 0.5)), count - 1)
    return slice(first, max(last + 1, first))


def _crossings(points: npt.NDArray[np.float64], grid: Grid, rows: slice) -> tuple[Whole, Whole]:
    """Row (from the window's first) and first column right of the crossing, for each edge and row that meet."""
    if rows.stop <= rows.start:
        return np.zeros(0, dtype=np.int64), np.zeros(0, dtype=np.int64)
    begin, end = points[:-1], points[1:]
    low, high = np.minimum(begin[:, 1], end[:, 1]), np.maximum(begin[:, 1], end[:, 1])
    # half open, so that a corner on a row's own height counts once
    first = np.ceil((low - grid.origin[1]) / grid.cell - 0.5).astype(np.int64)
    after = np.ceil((high - grid.origin[1]) / grid.cell - 0.5).astype(np.int64)
    first, after = np.maximum(first, rows.start), np.minimum(after, rows.stop)
    counts = np.maximum(after - first, 0)
    edge = np.repeat(np.arange(len(begin)), counts)
    row = np.arange(len(edge)) - np.repeat(np.cumsum(counts) - counts - first, counts)
    y = grid.origin[1] + (row + 0.5) * grid.cell
    step = end[edge] - begin[edge]
    x = begin[edge, 0] + (y - begin[edge, 1]) * step[:, 0] / step[:, 1]
    column = np.ceil((x - grid.origin[0]) / grid.cell - 0.5).astype(np.int64)
    return row - rows.start, column
