"""Removal as compiled loops: the arithmetic of cut_depth.py a cell at a time. Imported through fast.py only.

Bit for bit the same map where no more than square roots are asked (all level ways, flat ends on slopes); helices and
searched ways agree within FLOAT_STEP, because two libraries' angles may differ in their last digit.
"""

from math import acos, atan2, ceil, cos, floor, inf, pi, sin, sqrt
from typing import Any

import numpy as np
import numpy.typing as npt

from cncpanel.proof.fast import compiled
from cncpanel.proof.spans import Grid, boxes, directions, radii
from cncpanel.proof.tool_form import ToolForm
from cncpanel.proof.ways import Floats, Ways, Whole

Row = Any  # a way's numbers, in the order of _columns; a float each once compiled
Map = npt.NDArray[np.float32]
X0, Y0, D0, X1, Y1, D1, CX, CY, RADIUS, SWEEP = range(10)
XMIN, YMIN, XMAX, YMAX, UX, UY, LENGTH, REACH = range(10, 18)
START_X, START_Y, END_X, END_Y, BEGIN = range(18, 23)
PLAIN_LINE, PLAIN_SECTOR, LEVEL_LINE, LEVEL_ARC, FLAT_SLOPE, FLAT_HELIX, SEARCHED_LINE, SEARCHED_ARC = range(8)
CONE, NOSE, FLARE = 1, 2, 3
# The same as in cut_depth.py and spans.py (a test compares them): what is kept on disk only hangs on this file.
SAMPLES, SEARCH, GOLDEN, UPRIGHT = 32, 16, (5**0.5 - 1) / 2, 1e-12
CURVE, FORM_RADIUS, FORM_FLAT, SLOPE, ROUNDING, STRAIGHT = range(6)


class CompiledRemoval:
    """The loops, compiled on first use."""

    def take(self, depth: Map, ways: Ways, kinds: Whole, form: ToolForm, grid: Grid, thickness: float) -> None:
        """Lower the map by what the ways cut."""
        nothing = np.zeros((0, 0), dtype=np.int32)
        self._run(depth, ways, kinds, form, grid, thickness, nothing, np.zeros((0, 3)), 0)

    def measure(
        self,
        depth: Map,
        ways: Ways,
        kinds: Whole,
        form: ToolForm,
        grid: Grid,
        thickness: float,
        writer: npt.NDArray[np.int32],
        taken: Floats,
        first: int,
    ) -> None:
        """The same in the moves' order; `writer` and `taken` are filled in, the latter from move number `first`."""
        self._run(depth, ways, kinds, form, grid, thickness, writer, taken, first)

    def _run(
        self,
        depth: Map,
        ways: Ways,
        kinds: Whole,
        form: ToolForm,
        grid: Grid,
        thickness: float,
        writer: npt.NDArray[np.int32],
        taken: Floats,
        first: int,
    ) -> None:
        shape = np.array(
            [form.curve, form.radius, form.flat, form.slope, form.rounding, form.straight], dtype=np.float64
        )
        place = np.array([*grid.origin, grid.cell])
        _remove(depth, _columns(ways, form), kinds, ways.number, shape, place, thickness, writer, taken, first)


def _columns(ways: Ways, form: ToolForm) -> Floats:
    """A row a way."""
    own = (ways.x0, ways.y0, ways.d0, ways.x1, ways.y1, ways.d1, ways.cx, ways.cy, ways.radius, ways.sweep)
    begin = np.arctan2(ways.y0 - ways.cy, ways.x0 - ways.cx)
    reach = form.reaches(ways.deep)
    return np.column_stack((*own, *boxes(ways), *directions(ways), reach, *radii(ways), begin))


@compiled
def _fill(depth: Map, row: int, begin: int, end: int, value: np.float32) -> None:
    for column in range(begin, end + 1):
        if depth[row, column] < value:
            depth[row, column] = value


@compiled
def _line(way: Row, y: float, bounds: Floats) -> None:
    """The stretch of one row within reach of a line."""
    low, high, reach = inf, -inf, way[REACH]
    for x, dy in ((way[X0], y - way[Y0]), (way[X1], y - way[Y1])):
        under = reach * reach - dy * dy
        if under >= 0:
            half = sqrt(under)
            low, high = min(low, x - half), max(high, x + half)
    if way[LENGTH] > 0:
        ux = way[UX] if abs(way[UX]) >= UPRIGHT else UPRIGHT
        uy = way[UY] if abs(way[UY]) >= UPRIGHT else UPRIGHT
        dy = y - way[Y0]
        one, other = -dy * uy / ux, (way[LENGTH] - dy * uy) / ux
        side, opposite = (dy * ux - reach) / uy, (dy * ux + reach) / uy
        from_s = max(min(one, other), min(side, opposite))
        to_s = min(max(one, other), max(side, opposite))
        if from_s <= to_s:
            low, high = min(low, way[X0] + from_s), max(high, way[X0] + to_s)
    bounds[0], bounds[1], bounds[2], bounds[3] = low, high, inf, -inf


@compiled
def _ring(way: Row, y: float, sector: bool, bounds: Floats) -> None:
    """The one or two stretches of one row within reach of an arc's ring."""
    reach, centre, dy = way[REACH], way[CX], y - way[CY]
    left, right = way[XMIN] - reach, way[XMAX] + reach
    if sector:
        turn = 1.0 if way[SWEEP] > 0 else -1.0
        left, right = -inf, inf
        planes = ((-turn * way[START_Y], turn * way[START_X] * dy), (turn * way[END_Y], -turn * way[END_X] * dy))
        for slope, offset in planes:
            safe = slope if abs(slope) >= UPRIGHT else UPRIGHT
            edge = -offset / safe
            if safe > 0:
                left = max(left, edge)
            else:
                right = min(right, edge)
        left, right = centre + left, centre + right
    outer = (way[RADIUS] + reach) * (way[RADIUS] + reach) - dy * dy
    bounds[0], bounds[1], bounds[2], bounds[3] = inf, -inf, inf, -inf
    if outer < 0:
        return
    half = sqrt(outer)
    left, right = max(centre - half, left), min(centre + half, right)
    hollow = max(way[RADIUS] - reach, 0.0)
    inner = sqrt(max(hollow * hollow - dy * dy, 0.0))
    if inner > 0:
        bounds[0], bounds[1] = left, min(centre - inner, right)
        bounds[2], bounds[3] = max(centre + inner, left), right
    else:
        bounds[0], bounds[1] = left, right


@compiled
def _height(form: Any, distance: float) -> Any:
    """The outline over the tip."""
    if not distance <= form[FORM_RADIUS]:
        return inf
    out = max(distance - form[FORM_FLAT], 0.0)
    rounding = form[ROUNDING]
    if form[CURVE] == CONE:
        return out * form[SLOPE]
    if form[CURVE] == NOSE:
        return rounding - sqrt(max(rounding * rounding - out * out, 0.0))
    if form[CURVE] == FLARE:
        left = rounding - min(out, rounding)
        straight = form[STRAIGHT] if out > 0 else 0.0
        return straight + sqrt(rounding * rounding - left * left)
    return 0.0


@compiled
def _from_line(way: Row, x: float, y: float) -> Any:
    dx, dy = x - way[X0], y - way[Y0]
    if way[LENGTH] == 0:
        return sqrt(dx * dx + dy * dy)
    along, side = dx * way[UX] + dy * way[UY], dy * way[UX] - dx * way[UY]
    beyond = along - min(max(along, 0.0), way[LENGTH])
    return sqrt(beyond * beyond + side * side)


@compiled
def _from_arc(way: Row, x: float, y: float) -> Any:
    dx, dy = x - way[CX], y - way[CY]
    turn = 1.0 if way[SWEEP] > 0 else -1.0
    one = turn * way[START_X] * dy - turn * way[START_Y] * dx >= 0
    other = turn * way[END_Y] * dx - turn * way[END_X] * dy >= 0
    swept = abs(way[SWEEP])
    if (one and other) or (swept > pi and (one or other)) or swept >= 2 * pi - 1e-12:
        return abs(sqrt(dx * dx + dy * dy) - way[RADIUS])
    first_x, first_y = dx - way[START_X], dy - way[START_Y]
    last_x, last_y = dx - way[END_X], dy - way[END_Y]
    return sqrt(min(first_x * first_x + first_y * first_y, last_x * last_x + last_y * last_y))


@compiled
def _flat_slopes(way: Row, radius: float, place: Any, begin: int, end: int, y: float, found: Floats) -> None:
    """A stretch of a row at once: its numbers stay in the processor."""
    x0, ux, uy, length, d0, d1 = way[X0], way[UX], way[UY], way[LENGTH], way[D0], way[D1]
    left, cell, dy = place[0], place[2], y - way[Y0]
    down = d1 > d0
    for column in range(begin, end + 1):
        dx = left + (column + 0.5) * cell - x0
        along, side = dx * ux + dy * uy, dy * ux - dx * uy
        half = sqrt(max(radius * radius - side * side, 0.0))
        deepest = min(along + half, length) if down else max(along - half, 0.0)
        share = min(max(deepest / length, 0.0), 1.0)
        found[column] = d0 + (d1 - d0) * share


@compiled
def _flat_helix(way: Row, tool: float, x: float, y: float) -> Any:
    dx, dy = x - way[CX], y - way[CY]
    out, radius = sqrt(dx * dx + dy * dy), way[RADIUS]
    both = 2 * out * radius
    if both > 0:
        cosine = (out * out + radius * radius - tool * tool) / both
    else:
        cosine = -1.0 if max(out, radius) <= tool else 2.0
    if cosine > 1:
        return -1.0
    over = acos(max(cosine, -1.0))
    down = way[D1] > way[D0]
    deeper_end = way[BEGIN] + way[SWEEP] if down else way[BEGIN]
    back = (-1.0 if down else 1.0) * (1.0 if way[SWEEP] > 0 else -1.0)
    ahead = (back * (atan2(dy, dx) - deeper_end)) % (2 * pi)
    gap = 0.0 if ahead <= over or 2 * pi - ahead <= over else ahead - over
    share = gap / abs(way[SWEEP])
    return max(way[D0], way[D1]) - abs(way[D1] - way[D0]) * share if share <= 1 else -1.0


@compiled
def _cut(way: Row, is_arc: bool, form: Any, share: float, x: float, y: float) -> Any:
    """What the tool cuts at a place from where it is after a share of its way."""
    if is_arc:
        angle = way[SWEEP] * share
        turned_cos, turned_sin = cos(angle), sin(angle)
        rx, ry = way[X0] - way[CX], way[Y0] - way[CY]
        at_x, at_y = way[CX] + rx * turned_cos - ry * turned_sin, way[CY] + rx * turned_sin + ry * turned_cos
    else:
        at_x, at_y = way[X0] + (way[X1] - way[X0]) * share, way[Y0] + (way[Y1] - way[Y0]) * share
    dx, dy = x - at_x, y - at_y
    return way[D0] + (way[D1] - way[D0]) * share - _height(form, min(sqrt(dx * dx + dy * dy), form[FORM_RADIUS]))


@compiled
def _half_angle(out: float, radius: float, size: float) -> Any:
    both = 2 * out * radius
    if both > 0:
        cosine = (out * out + radius * radius - size * size) / both
    else:
        cosine = -1.0 if max(out, radius) <= size else 1.0
    return acos(min(max(cosine, -1.0), 1.0))


@compiled
def _searched_line(way: Row, form: Any, x: float, y: float) -> Any:
    dx, dy = x - way[X0], y - way[Y0]
    along, side = dx * way[UX] + dy * way[UY], dy * way[UX] - dx * way[UY]
    wide = sqrt(max(form[FORM_RADIUS] * form[FORM_RADIUS] - side * side, 0.0))
    core = sqrt(max(form[FORM_FLAT] * form[FORM_FLAT] - side * side, 0.0))
    length = way[LENGTH]
    return _searched(way, False, form, x, y, along / length, wide / length, core / length)


@compiled
def _searched_arc(way: Row, form: Any, x: float, y: float) -> Any:
    dx, dy = x - way[CX], y - way[CY]
    out, swept = sqrt(dx * dx + dy * dy), abs(way[SWEEP])
    sign = 1.0 if way[SWEEP] > 0 else -1.0
    ahead = (sign * (atan2(dy, dx) - way[BEGIN])) % (2 * pi) / swept
    wide = _half_angle(out, way[RADIUS], form[FORM_RADIUS]) / swept
    core = _half_angle(out, way[RADIUS], form[FORM_FLAT]) / swept
    best = -1.0
    for turn in (0.0, -1.0, 1.0):
        best = max(best, _searched(way, True, form, x, y, ahead + turn * (2 * pi / swept), wide, core))
    return best


@compiled
def _searched(way: Row, is_arc: bool, form: Any, x: float, y: float, middle: float, wide: float, core: float) -> Any:
    low, high = max(middle - wide, 0.0), min(middle + wide, 1.0)
    nearest = _from_arc(way, x, y) if is_arc else _from_line(way, x, y)
    if low > high or not nearest <= form[FORM_RADIUS]:
        return -1.0
    best, place = _cut(way, is_arc, form, low, x, y), low
    before, after = min(max(middle - core, low), high), min(max(middle + core, low), high)
    edges = max(_cut(way, is_arc, form, before, x, y), _cut(way, is_arc, form, after, x, y))
    gap = (high - low) / SAMPLES
    for i in range(1, SAMPLES + 1):
        found = _cut(way, is_arc, form, low + gap * i, x, y)
        if found > best:
            best, place = found, low + gap * i
    low, high = max(place - gap, low), min(place + gap, high)
    for _ in range(SEARCH):
        one, other = high - (high - low) * GOLDEN, low + (high - low) * GOLDEN
        first, second = _cut(way, is_arc, form, one, x, y), _cut(way, is_arc, form, other, x, y)
        best = max(best, first, second)
        if first >= second:
            high = other
        else:
            low = one
    return max(best, edges)


@compiled
def _depth(way: Row, kind: int, form: Any, x: float, y: float) -> Any:
    """How deep the way cuts at a place; below 0 where it does not."""
    if kind == LEVEL_LINE:
        return max(way[D0], way[D1]) - _height(form, _from_line(way, x, y))
    if kind == LEVEL_ARC:
        return max(way[D0], way[D1]) - _height(form, _from_arc(way, x, y))
    if kind == FLAT_HELIX:
        return _flat_helix(way, form[FORM_RADIUS], x, y)
    return _searched_arc(way, form, x, y) if kind == SEARCHED_ARC else _searched_line(way, form, x, y)


@compiled
def _remove(
    depth: Map,
    ways: Floats,
    kinds: Whole,
    numbers: Whole,
    form: Any,
    place: Floats,
    thickness: float,
    writer: npt.NDArray[np.int32],
    taken: Floats,
    first_number: int,
) -> None:
    rows, columns = depth.shape
    cell = place[2]
    bounds, found = np.empty(4), np.empty(columns)
    measured = len(taken) > 0
    for i in range(len(ways)):
        way, kind, number = ways[i], kinds[i], numbers[i]
        low = max(ceil((way[YMIN] - way[REACH] - place[1]) / cell - 0.5), 0)
        high = min(floor((way[YMAX] + way[REACH] - place[1]) / cell - 0.5), rows - 1)
        deepest = max(way[D0], way[D1])
        for row in range(low, high + 1):
            y = place[1] + (row + 0.5) * cell
            if kind in (PLAIN_LINE, LEVEL_LINE, FLAT_SLOPE, SEARCHED_LINE):
                _line(way, y, bounds)
            else:
                _ring(way, y, kind == PLAIN_SECTOR, bounds)
            for part in range(2):
                if not bounds[2 * part] <= bounds[2 * part + 1]:
                    continue
                begin = max(ceil((bounds[2 * part] - place[0]) / cell - 0.5), 0)
                end = min(floor((bounds[2 * part + 1] - place[0]) / cell - 0.5), columns - 1)
                if kind in (PLAIN_LINE, PLAIN_SECTOR) and not measured:
                    _fill(depth, row, begin, end, np.float32(min(deepest, thickness)))
                    continue
                if kind == FLAT_SLOPE:
                    _flat_slopes(way, form[FORM_RADIUS], place, begin, end, y, found)
                for column in range(begin, end + 1):
                    if kind <= PLAIN_SECTOR:
                        found[column] = deepest
                    elif kind != FLAT_SLOPE:
                        found[column] = _depth(way, kind, form, place[0] + (column + 0.5) * cell, y)
                    value = min(np.float32(found[column]), np.float32(thickness))
                    before = depth[row, column]
                    if value > before:
                        depth[row, column] = value
                        if measured:
                            gain = np.float64(value) - np.float64(before)
                            if writer[row, column] != number:
                                taken[number - first_number, 1] += 1.0
                            writer[row, column] = number
                            taken[number - first_number, 0] += gain
                            taken[number - first_number, 2] = max(taken[number - first_number, 2], gain)
