"""How deep each way cuts at each cell's middle, exactly where the geometry has a closed form.

Level ways, and flat ends on slopes and helices, are exact; another outline that goes down along its way is searched
(SEARCH), which never tells more than is cut and at most SEARCHED less.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
import numpy.typing as npt

from cncpanel.proof.spans import Grid, Spans, arc_spans, directions, line_spans, radii, sector_spans
from cncpanel.proof.tool_form import ToolForm
from cncpanel.proof.way_kind import PLAIN, Kind
from cncpanel.proof.ways import Floats, Ways, Whole

PAIRS = 1 << 18  # ways times cells taken at once: some megabytes, as much as a processor's cache likes
SAMPLES = 32  # stretches of a way among which the deepest is looked for
SEARCH = 16  # steps of the golden section in the best two stretches: to some 0.0005 of a stretch
GOLDEN = (5**0.5 - 1) / 2
SEARCHED = 0.01  # mm; a hollow outline on a slope may hide its deepest place from the samples by so much


@dataclass(frozen=True, slots=True, kw_only=True)
class Pairs:
    """A cell (its place in the flat map) and the depth cut at its middle; the spans' numbers, to tell the moves."""

    cell: Whole
    depth: npt.NDArray[np.float32]
    span_number: Whole
    counts: Whole
    kept: npt.NDArray[np.bool_] | None = None

    @property
    def number(self) -> Whole:
        """The number of each pair's move; worked out when asked for."""
        numbers = np.repeat(self.span_number, self.counts)
        return numbers if self.kept is None else numbers[self.kept]


def pairs_of(ways: Ways, kinds: Whole, form: ToolForm, grid: Grid) -> Iterator[Pairs]:
    """Everything that the ways cut, kind by kind, in pieces of bounded size; depths under the top, above 0."""
    for kind, (spans_of, depths) in _BY_KIND.items():
        mask = kinds == kind
        if mask.any():
            yield from _of_kind(ways.chosen(mask), form, grid, spans_of, depths)


def sure_spans(ways: Ways, kinds: Whole, form: ToolForm, grid: Grid) -> Iterator[tuple[Spans, npt.NDArray[np.float32]]]:
    """Of the plain kinds: stretches of rows all of whose cells are cut, and the one depth of each."""
    for kind in PLAIN:
        chosen = ways.chosen(kinds == kind)
        if len(chosen):
            spans = _BY_KIND[kind][0](chosen, form.reaches(chosen.deep), grid)
            yield spans, chosen.deep.astype(np.float32)[spans.way]


def cells_of(row: Whole, first: Whole, counts: Whole, grid: Grid) -> Whole:
    """Every cell of stretches of rows, as its place in the flat map."""
    begins = np.cumsum(counts) - counts
    offset: Whole = np.repeat(row * grid.columns + first - begins, counts)
    offset += np.arange(len(offset))
    return offset


@dataclass(frozen=True, slots=True)
class Cells:
    """Ways spread out over cells: the cells' middles in x and y, and the spans that they lie in."""

    ways: Ways
    x: Floats
    y: Floats
    span: Spans
    counts: Whole

    def of_way(self, per_way: Floats) -> Floats:
        """A number a way, for each of its cells."""
        return np.repeat(per_way[self.span.way], self.counts)


def _of_kind(ways: Ways, form: ToolForm, grid: Grid, spans_of: "SpansOf", depths: "DepthsOf | None") -> Iterator[Pairs]:
    reach = form.reaches(ways.deep)
    for some in _portions(ways, reach, grid):
        spans = spans_of(ways.chosen(some), reach[some], grid)
        yield from _pairs(ways.chosen(some), spans, form, grid, depths)


def _portions(ways: Ways, reach: Floats, grid: Grid) -> Iterator[slice]:
    """Stretches of the ways whose cells are about PAIRS; one way alone may have more."""
    cells = (ways.across + 2 * reach) * 2 * reach / grid.cell**2
    portion = (np.cumsum(cells) / PAIRS).astype(np.int64)
    edges = np.flatnonzero(np.diff(portion)) + 1
    begins, ends = [0, *edges.tolist()], [*edges.tolist(), len(ways)]
    for begin, end in zip(begins, ends, strict=True):
        yield slice(begin, end)


def _pairs(ways: Ways, spans: Spans, form: ToolForm, grid: Grid, depths: "DepthsOf | None") -> Iterator[Pairs]:
    counts = spans.counts
    total = np.cumsum(counts)
    portion = total // (4 * PAIRS)
    edges = [0, *(np.flatnonzero(np.diff(portion)) + 1).tolist(), len(counts)]
    for begin, end in pairwise(edges):
        some = slice(begin, end)
        part = Spans(way=spans.way[some], row=spans.row[some], first=spans.first[some], last=spans.last[some],
                     y=spans.y[some])  # fmt: skip
        yield _spread(ways, part, form, grid, depths)


def _spread(ways: Ways, spans: Spans, form: ToolForm, grid: Grid, depths: "DepthsOf | None") -> Pairs:
    counts = spans.counts
    cell = cells_of(spans.row, spans.first, counts, grid)
    number = ways.number[spans.way]
    if depths is None:
        deep = ways.deep.astype(np.float32)
        return Pairs(cell=cell, depth=np.repeat(deep[spans.way], counts), span_number=number, counts=counts)
    column: Floats = (cell - np.repeat(spans.row * grid.columns, counts)).astype(np.float64)
    x = grid.origin[0] + (column + 0.5) * grid.cell
    found = depths(Cells(ways, x, np.repeat(spans.y, counts), spans, counts), form)
    kept = found > 0
    depth = found[kept].astype(np.float32)
    return Pairs(cell=cell[kept], depth=depth, span_number=number, counts=counts, kept=kept)


def _beside(cells: Cells) -> tuple[Floats, Floats, Floats]:
    """Along each line and to its side, from its start; and its length."""
    ux, uy, length = directions(cells.ways)
    ux, uy = cells.of_way(ux), cells.of_way(uy)
    dx, dy = cells.x - cells.of_way(cells.ways.x0), cells.y - cells.of_way(cells.ways.y0)
    return dx * ux + dy * uy, dy * ux - dx * uy, cells.of_way(length)


def _level_line(cells: Cells, form: ToolForm) -> Floats:
    along, side, length = _beside(cells)
    beyond = along - np.minimum(np.maximum(along, 0.0), length)
    distance = np.sqrt(beyond * beyond + np.where(length > 0, side * side, 0.0) + _still(cells, length))
    return cells.of_way(cells.ways.deep) - form.heights(distance)


def _still(cells: Cells, length: Floats) -> Floats:
    """The distance squared from a stay, whose direction is nothing; 0 for lines."""
    dx, dy = cells.x - cells.of_way(cells.ways.x0), cells.y - cells.of_way(cells.ways.y0)
    return np.where(length > 0, 0.0, dx * dx + dy * dy)


def _flat_slope(cells: Cells, form: ToolForm) -> Floats:
    """The deeper end of the stretch in which the disc is over the cell."""
    along, side, length = _beside(cells)
    half = np.sqrt(np.maximum(form.radius * form.radius - side * side, 0.0))
    d0, d1 = cells.of_way(cells.ways.d0), cells.of_way(cells.ways.d1)
    deepest = np.where(d1 > d0, np.minimum(along + half, length), np.maximum(along - half, 0.0))
    share = np.minimum(np.maximum(deepest / length, 0.0), 1.0)
    return d0 + (d1 - d0) * share


def _from_centre(cells: Cells) -> tuple[Floats, Floats]:
    return cells.x - cells.of_way(cells.ways.cx), cells.y - cells.of_way(cells.ways.cy)


def _arc_distance(cells: Cells) -> Floats:
    """From the arc itself: square to it inside its sector, from the nearer end elsewhere."""
    ways = cells.ways
    dx, dy = _from_centre(cells)
    turn = np.sign(ways.sweep)
    start_x, start_y, end_x, end_y = radii(ways)
    one = cells.of_way(turn * start_x) * dy - cells.of_way(turn * start_y) * dx >= 0
    other = cells.of_way(turn * end_y) * dx - cells.of_way(turn * end_x) * dy >= 0
    swept = cells.of_way(np.abs(ways.sweep))
    inside = np.where(swept <= np.pi, one & other, one | other) | (swept >= 2 * np.pi - 1e-12)
    square = np.abs(np.sqrt(dx * dx + dy * dy) - cells.of_way(ways.radius))
    first_x, first_y = dx - cells.of_way(start_x), dy - cells.of_way(start_y)
    last_x, last_y = dx - cells.of_way(end_x), dy - cells.of_way(end_y)
    nearer = np.minimum(first_x * first_x + first_y * first_y, last_x * last_x + last_y * last_y)
    return np.where(inside, square, np.sqrt(nearer))


def _level_arc(cells: Cells, form: ToolForm) -> Floats:
    return cells.of_way(cells.ways.deep) - form.heights(_arc_distance(cells))


def _flat_helix(cells: Cells, form: ToolForm) -> Floats:
    """From the deeper end back along the helix to the first place at which the disc is over the cell."""
    ways = cells.ways
    dx, dy = _from_centre(cells)
    out, radius = np.sqrt(dx * dx + dy * dy), cells.of_way(ways.radius)
    both = 2 * out * radius
    cosine = (out * out + radius * radius - form.radius * form.radius) / np.where(both > 0, both, 1.0)
    cosine = np.where(both > 0, cosine, np.where(np.maximum(out, radius) <= form.radius, -1.0, 2.0))
    over = np.arccos(np.minimum(np.maximum(cosine, -1.0), 1.0))
    begin = np.arctan2(ways.y0 - ways.cy, ways.x0 - ways.cx)
    down = ways.d1 > ways.d0
    deeper_end = np.where(down, begin + ways.sweep, begin)
    back = np.where(down, -1.0, 1.0) * np.sign(ways.sweep)
    ahead = np.mod(cells.of_way(back) * (np.arctan2(dy, dx) - cells.of_way(deeper_end)), 2 * np.pi)
    gap = np.where((ahead <= over) | (2 * np.pi - ahead <= over), 0.0, ahead - over)
    share = gap / cells.of_way(np.abs(ways.sweep))
    depth = cells.of_way(ways.deep) - cells.of_way(np.abs(ways.d1 - ways.d0)) * share
    return np.where((cosine <= 1) & (share <= 1), depth, -1.0)


def _searched_line(cells: Cells, form: ToolForm) -> Floats:
    along, side, length = _beside(cells)
    wide = np.sqrt(np.maximum(form.radius * form.radius - side * side, 0.0))
    core = np.sqrt(np.maximum(form.flat * form.flat - side * side, 0.0))
    return _searched(cells, form, along / length, wide / length, core / length)


def _searched_arc(cells: Cells, form: ToolForm) -> Floats:
    """About the place nearest to the cell, and a turn earlier and later: an arc may pass it twice."""
    ways = cells.ways
    dx, dy = _from_centre(cells)
    out, radius = np.sqrt(dx * dx + dy * dy), cells.of_way(ways.radius)
    begin = np.arctan2(ways.y0 - ways.cy, ways.x0 - ways.cx)
    swept = cells.of_way(np.abs(ways.sweep))
    turned = np.arctan2(dy, dx) - cells.of_way(begin)
    ahead = np.mod(cells.of_way(np.sign(ways.sweep)) * turned, 2 * np.pi) / swept
    wide, core = (_half_angle(out, radius, size) / swept for size in (form.radius, form.flat))
    whole = 2 * np.pi / swept
    once, before, after = (_searched(cells, form, place, wide, core) for place in (ahead, ahead - whole, ahead + whole))
    return np.maximum(once, np.maximum(before, after))


def _half_angle(out: Floats, radius: Floats, size: float) -> Floats:
    """How far round from a cell an arc is within `size` of it: 0 nowhere, pi all round."""
    both = 2 * out * radius
    cosine = (out * out + radius * radius - size * size) / np.where(both > 0, both, 1.0)
    cosine = np.where(both > 0, cosine, np.where(np.maximum(out, radius) <= size, -1.0, 1.0))
    return np.arccos(np.minimum(np.maximum(cosine, -1.0), 1.0))


def _searched(cells: Cells, form: ToolForm, middle: Floats, wide: Floats, core: Floats) -> Floats:
    """The deepest within `wide` of a place of the way: at the ends, under the flat's rim, or between by search."""

    def cut(share: Floats) -> Floats:
        x, y, depth = _at(cells, share)
        dx, dy = cells.x - x, cells.y - y
        return depth - form.heights(np.minimum(np.sqrt(dx * dx + dy * dy), form.radius))

    low, high = np.maximum(middle - wide, 0.0), np.minimum(middle + wide, 1.0)
    never, high = low > high, np.maximum(low, high)
    rim = np.minimum(np.maximum(middle - core, low), high), np.minimum(np.maximum(middle + core, low), high)
    edges = np.maximum(cut(rim[0]), cut(rim[1]))
    gap = (high - low) / SAMPLES
    best, place = cut(low), low
    for i in range(1, SAMPLES + 1):
        share = low + gap * i
        found = cut(share)
        better = found > best
        best, place = np.where(better, found, best), np.where(better, share, place)
    low, high = np.maximum(place - gap, low), np.minimum(place + gap, high)
    for _ in range(SEARCH):
        one, other = high - (high - low) * GOLDEN, low + (high - low) * GOLDEN
        first, second = cut(one), cut(other)
        best = np.maximum(best, np.maximum(first, second))
        left = first >= second
        low, high = np.where(left, low, one), np.where(left, other, high)
    return np.where(never | ~(_nearest(cells) <= form.radius), -1.0, np.maximum(best, edges))


def _nearest(cells: Cells) -> Floats:
    if cells.ways.is_arc.any():
        return _arc_distance(cells)
    along, side, length = _beside(cells)
    beyond = along - np.minimum(np.maximum(along, 0.0), length)
    return np.sqrt(beyond * beyond + side * side)


def _at(cells: Cells, share: Floats) -> tuple[Floats, Floats, Floats]:
    ways, of_way = cells.ways, cells.of_way
    x0, y0, d0 = of_way(ways.x0), of_way(ways.y0), of_way(ways.d0)
    depth = d0 + (of_way(ways.d1) - d0) * share
    line_x, line_y = x0 + (of_way(ways.x1) - x0) * share, y0 + (of_way(ways.y1) - y0) * share
    if not ways.is_arc.any():
        return line_x, line_y, depth
    cx, cy, angle = of_way(ways.cx), of_way(ways.cy), of_way(ways.sweep) * share
    cos, sin = np.cos(angle), np.sin(angle)
    return cx + (x0 - cx) * cos - (y0 - cy) * sin, cy + (x0 - cx) * sin + (y0 - cy) * cos, depth


SpansOf = Callable[[Ways, Floats, Grid], Spans]
DepthsOf = Callable[[Cells, ToolForm], Floats]
_BY_KIND: dict[Kind, tuple[SpansOf, DepthsOf | None]] = {
    Kind.PLAIN_LINE: (line_spans, None),
    Kind.LEVEL_LINE: (line_spans, _level_line),
    Kind.FLAT_SLOPE: (line_spans, _flat_slope),
    Kind.PLAIN_SECTOR: (sector_spans, None),
    Kind.LEVEL_ARC: (arc_spans, _level_arc),
    Kind.FLAT_HELIX: (arc_spans, _flat_helix),
    Kind.SEARCHED_LINE: (line_spans, _searched_line),
    Kind.SEARCHED_ARC: (arc_spans, _searched_arc),
}
