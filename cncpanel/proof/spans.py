"""Which cells of a grid a way may touch: stretches of rows, worked out for all ways at once."""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from cncpanel.proof.ways import Floats, Ways, Whole

UPRIGHT = 1e-12  # of 1; a direction's smaller share counts as this, so that no slab divides by nothing


@dataclass(frozen=True, slots=True, kw_only=True)
class Grid:
    """Cells of one size: rows along Y, columns along X, the corner of the first at `origin`. mm."""

    origin: tuple[float, float]
    cell: float
    rows: int
    columns: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Spans:
    """One row a stretch: the way, the grid's row, its first and last column, and the row's Y."""

    way: Whole
    row: Whole
    first: Whole
    last: Whole
    y: Floats

    @property
    def counts(self) -> Whole:
        """Cells in each."""
        return self.last - self.first + 1


def line_spans(ways: Ways, reach: Floats, grid: Grid) -> Spans:
    """Of lines and of stays: exactly the cells whose middle is within `reach`."""
    way, row, y = _rows(np.minimum(ways.y0, ways.y1) - reach, np.maximum(ways.y0, ways.y1) + reach, grid)
    x0, x1, wide = ways.x0[way], ways.x1[way], reach[way]
    low, high = _disc(x0, y - ways.y0[way], wide)
    other_low, other_high = _disc(x1, y - ways.y1[way], wide)
    strip_low, strip_high = _strip(ways, way, y, wide)
    low = np.minimum(np.minimum(low, other_low), strip_low)
    high = np.maximum(np.maximum(high, other_high), strip_high)
    return _spans(way, row, y, low, high, grid)


def arc_spans(ways: Ways, reach: Floats, grid: Grid) -> Spans:
    """Of arcs: the ring's cells inside the arc's box, so some more than are touched."""
    xmin, ymin, xmax, ymax = boxes(ways)
    way, row, y = _rows(ymin - reach, ymax + reach, grid)
    return _ring(ways, way, row, y, reach, ((xmin - reach)[way], (xmax + reach)[way]), grid)


def sector_spans(ways: Ways, reach: Floats, grid: Grid) -> Spans:
    """Of arcs of half a turn at most, without the discs at their ends: exactly the cells square to the arc."""
    _, low, _, high = boxes(ways)
    way, row, y = _rows(low - reach, high + reach, grid)
    turn, dy = np.sign(ways.sweep), y - ways.cy[way]
    start_x, start_y, end_x, end_y = radii(ways)
    left, right = _half_plane((-turn * start_y)[way], (turn * start_x)[way] * dy)
    also_left, also_right = _half_plane((turn * end_y)[way], (-turn * end_x)[way] * dy)
    centre = ways.cx[way]
    limits = centre + np.maximum(left, also_left), centre + np.minimum(right, also_right)
    return _ring(ways, way, row, y, reach, limits, grid)


def radii(ways: Ways) -> tuple[Floats, Floats, Floats, Floats]:
    """Of each arc, from its centre: to its start and to its end, x and y."""
    start_x, start_y = ways.x0 - ways.cx, ways.y0 - ways.cy
    cos, sin = np.cos(ways.sweep), np.sin(ways.sweep)
    return start_x, start_y, start_x * cos - start_y * sin, start_x * sin + start_y * cos


def _half_plane(slope: Floats, offset: Floats) -> tuple[Floats, Floats]:
    """Where slope * s + offset >= 0."""
    safe = _off_zero(slope)
    edge = -offset / safe
    return np.where(safe > 0, edge, -np.inf), np.where(safe > 0, np.inf, edge)


def _ring(
    ways: Ways, way: Whole, row: Whole, y: Floats, reach: Floats, limits: tuple[Floats, Floats], grid: Grid
) -> Spans:
    """The ring's stretches of each row, left and right of its hollow, within limits."""
    centre, wide, radius = ways.cx[way], reach[way], ways.radius[way]
    dy = y - ways.cy[way]
    outer = (radius + wide) * (radius + wide) - dy * dy
    half = np.sqrt(np.maximum(outer, 0.0))
    hollow = np.maximum(radius - wide, 0.0)
    inner = np.sqrt(np.maximum(hollow * hollow - dy * dy, 0.0))
    left, right = np.maximum(centre - half, limits[0]), np.minimum(centre + half, limits[1])
    right = np.where(outer >= 0, right, -np.inf)
    two = inner > 0
    one = _spans(way, row, y, left, np.where(two, np.minimum(centre - inner, right), right), grid)
    beyond = np.maximum((centre + inner)[two], left[two])
    also = _spans(way[two], row[two], y[two], beyond, right[two], grid)
    names = ("way", "row", "first", "last", "y")
    return Spans(**{name: np.concatenate((getattr(one, name), getattr(also, name))) for name in names})


def boxes(ways: Ways) -> tuple[Floats, Floats, Floats, Floats]:
    """The box of each way's middle line: xmin, ymin, xmax, ymax."""
    xs, ys = [ways.x0, ways.x1], [ways.y0, ways.y1]
    begin = np.arctan2(ways.y0 - ways.cy, ways.x0 - ways.cx)
    for quarter in range(4):
        angle = quarter * np.pi / 2
        ahead = np.mod(np.sign(ways.sweep) * (angle - begin), 2 * np.pi)
        meets = ways.is_arc & (ahead <= np.abs(ways.sweep))
        xs.append(np.where(meets, ways.cx + ways.radius * np.cos(angle), ways.x0))
        ys.append(np.where(meets, ways.cy + ways.radius * np.sin(angle), ways.y0))
    return np.min(xs, axis=0), np.min(ys, axis=0), np.max(xs, axis=0), np.max(ys, axis=0)


def _rows(low: Floats, high: Floats, grid: Grid) -> tuple[Whole, Whole, Floats]:
    """Way, row and Y for every row between two heights."""
    first = np.maximum(np.ceil((low - grid.origin[1]) / grid.cell - 0.5), 0).astype(np.int64)
    last = np.minimum(np.floor((high - grid.origin[1]) / grid.cell - 0.5), grid.rows - 1).astype(np.int64)
    counts = np.maximum(last - first + 1, 0)
    way = np.repeat(np.arange(len(low)), counts)
    row = np.arange(len(way)) - np.repeat(np.cumsum(counts) - counts - first, counts)
    return way, row, grid.origin[1] + (row + 0.5) * grid.cell


def _disc(x: Floats, dy: Floats, radius: Floats) -> tuple[Floats, Floats]:
    under = radius * radius - dy * dy
    half = np.sqrt(np.maximum(under, 0.0))
    return np.where(under >= 0, x - half, np.inf), np.where(under >= 0, x + half, -np.inf)


def _strip(ways: Ways, way: Whole, y: Floats, wide: Floats) -> tuple[Floats, Floats]:
    """Between the discs at a line's ends: two slabs crossing."""
    ux, uy, length = directions(ways)
    along_x, along_y = _off_zero(ux)[way], _off_zero(uy)[way]
    dy = y - ways.y0[way]
    one, other = -dy * along_y / along_x, (length[way] - dy * along_y) / along_x
    side, opposite = (dy * along_x - wide) / along_y, (dy * along_x + wide) / along_y
    low = np.maximum(np.minimum(one, other), np.minimum(side, opposite))
    high = np.minimum(np.maximum(one, other), np.maximum(side, opposite))
    meets = (low <= high) & (length[way] > 0)
    x0 = ways.x0[way]
    return np.where(meets, x0 + low, np.inf), np.where(meets, x0 + high, -np.inf)


def directions(ways: Ways) -> tuple[Floats, Floats, Floats]:
    """Each line's direction seen from above, and its length; (0, 0) for a stay."""
    dx, dy = ways.x1 - ways.x0, ways.y1 - ways.y0
    length = np.sqrt(dx * dx + dy * dy)
    safe = np.where(length > 0, length, 1.0)
    return dx / safe, dy / safe, length


def _off_zero(share: Floats) -> Floats:
    return np.where(np.abs(share) < UPRIGHT, UPRIGHT, share)


def _spans(way: Whole, row: Whole, y: Floats, low: Floats, high: Floats, grid: Grid) -> Spans:
    left = grid.origin[0]
    first = np.ceil((np.minimum(low, 1e9) - left) / grid.cell - 0.5)
    last = np.floor((np.maximum(high, -1e9) - left) / grid.cell - 0.5)
    begin = np.maximum(first, 0).astype(np.int64)
    end = np.minimum(last, grid.columns - 1).astype(np.int64)
    kept: npt.NDArray[np.bool_] = begin <= end
    return Spans(way=way[kept], row=row[kept], first=begin[kept], last=end[kept], y=y[kept])
