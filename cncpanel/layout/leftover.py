"""The reusable rectangles that a sheet leaves: clear of every part by the gap, of keep-outs and
dowel holes, and of one another.

The largest is taken first, then the largest of what is left. Each is found on a coarse grid, then its sides are
moved out until they meet something. What a saw takes between two of them counts.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
import shapely

from cncpanel.geometry.contour import Contour
from cncpanel.geometry.region import Region, flat
from cncpanel.layout.ground import rectangle_of
from cncpanel.layout.layout import Part, Sheet, placement
from cncpanel.panel.panel import Panel

CELL = 10.0  # mm of the grid; the sides are exact all the same
SAW = 4.0  # mm between two pieces: a saw blade of 3.2 and a spare (common practice, no source)
WHOLE = 1.0  # mm; pieces are measured in these, rounded down
MOST = 20  # pieces of one sheet

Size = tuple[float, float]
Box = tuple[float, float, float, float]
Slugs = Mapping[int, tuple[Contour, ...]]


@dataclass(frozen=True, slots=True, kw_only=True)
class Leftover:
    """A piece that is worth keeping: left, low, right, high in the sheet's frame."""

    name: str
    box: Box

    @property
    def size(self) -> Size:
        """Along the sheet's length, and across."""
        return self.box[2] - self.box[0], self.box[3] - self.box[1]


Left = Mapping[int, tuple[Leftover, ...]]  # by sheet number


def leftovers(sheet: Sheet, panels: Mapping[int, Panel], gap: float, least: Size, slugs: Slugs) -> tuple[Box, ...]:
    """Left, low, right, high of every piece of at least that size either way round, largest first; sheet frame.

    `slugs` are openings whose waste stays whole, by panel.
    """
    blocked = shapely.union_all(list(_blocked(sheet, panels, gap, slugs)))
    free = _free((sheet.length, sheet.width), blocked)
    found: list[Box] = []
    while len(found) < MOST:
        cells = _largest_of_grid(free, _cells(least))
        if cells is None:
            break
        box = _moved_out(cells, (sheet.length, sheet.width), blocked)
        taken = shapely.buffer(shapely.box(*box), SAW, join_style="mitre")
        if _is_large(box, least):
            found.append(box)
            blocked = shapely.union(blocked, taken)
        free &= _free((sheet.length, sheet.width), taken)
    return tuple(found)


def _blocked(sheet: Sheet, panels: Mapping[int, Panel], gap: float, slugs: Slugs) -> Iterator[shapely.Geometry]:
    for part in sheet.parts:
        taken = shapely.buffer(_outline(part, panels[part.panel]), gap, quad_segs=4, join_style="mitre")
        where = placement(panels[part.panel], part)
        for slug in slugs.get(part.panel, ()):
            taken = shapely.difference(taken, shapely.buffer(flat(Region(where.contour(slug))), -gap))
        yield taken
    for keep in sheet.stock.keep_out:
        if keep.kind != "clamp":  # a clamp leaves no trace
            yield rectangle_of(keep)
    if sheet.side is not None:
        for x, y in sheet.side.dowels:
            half = sheet.side.dowel / 2
            yield shapely.box(x - half, y - half, x + half, y + half)


def _outline(part: Part, panel: Panel) -> shapely.Polygon:
    return flat(Region(placement(panel, part).contour(panel.outline)))


def _is_large(box: Box, least: Size) -> bool:
    sides = sorted((box[2] - box[0], box[3] - box[1]))
    return sides[0] >= min(least) and sides[1] >= max(least)


def _cells(least: Size) -> tuple[int, int]:
    """Of the longer and the shorter side: as many whole cells as surely lie in it."""
    return max(1, int(max(least) // CELL) - 1), max(1, int(min(least) // CELL) - 1)


def _free(size: Size, blocked: shapely.Geometry) -> npt.NDArray[np.bool_]:
    """Row by row from below: the cells that nothing reaches into."""
    columns, rows = int(size[0] // CELL), int(size[1] // CELL)
    x, y = np.meshgrid(np.arange(columns) * CELL, np.arange(rows) * CELL)
    cells = shapely.box(x.ravel(), y.ravel(), x.ravel() + CELL, y.ravel() + CELL)
    taken = np.zeros(len(cells), dtype=bool)
    tree = shapely.STRtree(cells)
    for shape in shapely.get_parts(blocked):
        shapely.prepare(shape)
        near = tree.query(shape, predicate="intersects")
        taken[near[~shapely.touches(shape, cells[near])]] = True
    return np.asarray(~taken.reshape(rows, columns))


def _largest_of_grid(free: npt.NDArray[np.bool_], least: tuple[int, int]) -> tuple[int, int, int, int] | None:
    """The largest rectangle of free cells of at least that size either way round: left, low, right, high in cells."""
    best: tuple[int, tuple[int, int, int, int]] | None = None
    heights = np.zeros(free.shape[1], dtype=int)
    for row, cells in enumerate(free):
        heights = np.where(cells, heights + 1, 0)
        for left, right, height in _maximal(heights.tolist()):
            sides = (right - left, height)
            fits = max(sides) >= least[0] and min(sides) >= least[1]
            if fits and (best is None or sides[0] * sides[1] > best[0]):
                best = sides[0] * sides[1], (left, row + 1 - height, right, row + 1)
    return None if best is None else best[1]


def _maximal(heights: Sequence[int]) -> Iterator[tuple[int, int, int]]:
    """Left, right and height of every rectangle under a skyline that cannot be made larger."""
    stack: list[tuple[int, int]] = []
    for index, height in enumerate([*heights, 0]):
        start = index
        while stack and stack[-1][1] > height:
            start, tall = stack.pop()
            yield start, index, tall
        if height and (not stack or stack[-1][1] < height):
            stack.append((start, height))


def _moved_out(cells: tuple[int, int, int, int], size: Size, blocked: shapely.Geometry) -> Box:
    """Each side in turn out to what it meets or to the board's edge, in whole millimetres within."""
    left, low, right, high = (edge * CELL for edge in cells)
    left = _limit(shapely.box(0.0, low, left, high), blocked, 2, 0.0)
    right = _limit(shapely.box(right, low, size[0], high), blocked, 0, size[0])
    low = _limit(shapely.box(left, 0.0, right, low), blocked, 3, 0.0)
    high = _limit(shapely.box(left, high, right, size[1]), blocked, 1, size[1])
    whole_right = left + (right - left) // WHOLE * WHOLE
    return left, low, whole_right, low + (high - low) // WHOLE * WHOLE


def _limit(strip: shapely.Polygon, blocked: shapely.Geometry, side: int, edge: float) -> float:
    """How far a side may go through `strip`: to the bound `side` of what lies in it, or to `edge`."""
    met = shapely.intersection(strip, blocked) if strip.area > 0 else shapely.Polygon()
    polygons = [shape for shape in shapely.get_parts(met) if shape.area > 1e-6]
    if not polygons:
        return edge
    bounds = shapely.total_bounds(polygons)
    outward = np.ceil if side in (2, 3) else np.floor
    return float(outward(bounds[side] * 10 + (-1e-6 if side in (2, 3) else 1e-6)) / 10)
