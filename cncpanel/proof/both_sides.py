"""Both sides of a sheet joined: what set-up one took is missing from below in set-up two.

The map of the first set-up is flipped here, about the named axis and by no road of the maker's. The web between both is
asked at its worst: the sheet as thin as it may be, both zeros out, the turned sheet off its place.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from math import ceil
from typing import Literal

import numpy as np
import numpy.typing as npt
import shapely

from cncpanel.proof.carved import Carved
from cncpanel.proof.disc_map import with_discs
from cncpanel.proof.finding import Finding
from cncpanel.proof.scan import inside
from cncpanel.proof.setup import Setup
from cncpanel.proof.target import Target

SKIN = 1.0  # mm; a floor thinner than this holds no piece: common practice
CUT = 0.01  # mm; less is no cut
SHOWN = 10  # moves told; the worst of all
EDGE = 2.0  # cells beside a wall that goes through, whose middles a wall's rounding reaches

Cells = npt.NDArray[np.float32]
Mask = npt.NDArray[np.bool_]


@dataclass(frozen=True, slots=True, kw_only=True)
class Turn:
    """How the sheet is turned over, and what that is out by.

    `axis` is the sheet's own that it is turned about; `error` how far it may lie off, mm; `thinnest` the smallest
    reading; `least` what must stay between both sides, mm; `tab` how high a tab's own wood is at least, mm;
    `dowels` the holes of set-up one, in its sheet frame.
    """

    axis: Literal["x", "y"]
    error: float
    thinnest: float
    least: float
    tab: float
    dowels: tuple[shapely.Geometry, ...] = ()


def slack(turn: Turn, setup: Setup) -> float:
    """What the web may be thinner by than the largest reading less both depths, mm.

    Depths counted from the sheet's top: the thinnest sheet, and both zeros. Counted from the table: a thin sheet is cut
    less deep from either face, so that the thick one is the worst; both zeros and the table's flatness.
    """
    table = setup.machine.table
    if table.z_zero == "table":
        return table.thickness_spread + 2 * (table.z_error + table.flatness)
    return setup.thickness - turn.thinnest + table.thickness_spread + 2 * table.z_error


def both_sides_findings(
    first: Carved | None, second: Carved | None, target: Target, setup: Setup, turn: Turn
) -> Iterator[Finding]:
    """What only shows with both set-ups together; `target` is that of set-up two as it lies on the machine."""
    first, second = (one and replace(one, measured=with_discs(one)) for one in (first, second))
    if first is not None:
        yield from _through(first, setup, turn)
    if first is not None and second is not None:
        yield from _webs(first, second, target, setup, turn)
    if first is not None:
        yield from _tabs(first, target, setup, turn)


def _through(first: Carved, setup: Setup, turn: Turn) -> Iterator[Finding]:
    """Set-up one frees nothing: only dowel holes go through it."""
    heights = first.measured.heights
    deep = heights.depth > turn.thinnest - SKIN
    for dowel in turn.dowels:
        window, mask = inside(shapely.buffer(dowel, 2 * heights.grid.cell), heights.grid)
        deep[window] &= ~mask
    for move, cell in _writers(first, deep, heights.depth):
        text = "set-up one cuts through the sheet: nothing may come free before it is turned over"
        yield _told("frees-before-turn", text, first, move, cell, heights.depth[cell], turn.thinnest - SKIN)


def _tabs(first: Carved, target: Target, setup: Setup, turn: Turn) -> Iterator[Finding]:
    """Tabs stand on the sheet's underside: what set-up one cut there is missing from their height."""
    grid = first.measured.heights.grid
    under = _spread(_flipped(first, turn, setup), ceil(turn.error / grid.cell))
    for tab in target.tabs:
        window, mask = inside(shapely.Point(tab.x, tab.y).buffer(tab.width / 2), grid)
        deep = float(np.where(mask, under[window], 0.0).max(initial=0.0))
        left = max(turn.thinnest - tab.top - deep, 0.0)
        if deep > CUT and left < turn.tab - CUT:
            holds = f"{left:.2f} mm of it are left, {turn.tab:g} are asked for" if left > 0 else "it holds nothing"
            text = f"a tab of {tab.name} stands where set-up one cut {deep:.2f} mm from below: {holds}"
            x, y, measure = round(tab.x, 4), round(tab.y, 4), round(left, 4)
            yield Finding(kind="tab-undercut", severity="safety", text=text, x=x, y=y, measure=measure, limit=turn.tab)


def _webs(first: Carved, second: Carved, target: Target, setup: Setup, turn: Turn) -> Iterator[Finding]:
    heights = second.measured.heights
    cell = heights.grid.cell
    under = _spread(_flipped(first, turn, setup), ceil(turn.error / cell))
    web = np.float32(setup.thickness) - heights.depth - under
    both = (heights.depth > CUT) & (under > CUT) & _kept(second, target, turn.error + EDGE * cell)
    lost = slack(turn, setup)
    thin = both & (web - np.float32(lost) < turn.least - CUT)
    for move, at in _writers(second, thin, -web):
        left = float(web[at])
        kind = "breaks-through" if left <= CUT else "thin-web"
        told = _web_words(second, at, float(under[at]), left, left - lost, turn)
        yield _told(kind, told, second, move, at, max(left - lost, 0.0), turn.least)


def _web_words(second: Carved, at: tuple[int, int], under: float, left: float, worst: float, turn: Turn) -> str:
    over = float(second.measured.heights.depth[at])
    x, y = _middle(second, at)
    met = "meets what set-up one cut" if left <= CUT else f"leaves {left:.2f} mm over what set-up one cut"
    return (
        f"{met} from below at X{x:.1f} Y{y:.1f}: {over:.2f} mm from this face, {under:.2f} mm from the other; "
        f"{max(worst, 0.0):.2f} mm at worst, with thickness and zeros out and the sheet {turn.error:g} mm off its "
        f"place; {turn.least:g} mm must stay"
    )


def _flipped(first: Carved, turn: Turn, setup: Setup) -> Cells:
    """The first set-up's depths as they lie under the turned sheet; on a sheet turned a quarter its X is the rows."""
    heights = first.measured.heights
    along_rows = (turn.axis == "x") != setup.machine.sheet_turned
    axis = 0 if along_rows else 1
    count = heights.depth.shape[axis]
    return np.take(heights.depth, np.arange(count)[::-1], axis=axis)


def _spread(depth: Cells, cells: int) -> Cells:
    """Each cell as deep as the deepest within so many cells: the turned sheet may lie so far off."""
    for axis in (0, 1):
        grown = depth.copy()
        for shift in range(1, cells + 1):
            far, near = _ends(axis, shift), _ends(axis, -shift)
            np.maximum(grown[far], depth[near], out=grown[far])
            np.maximum(grown[near], depth[far], out=grown[near])
        depth = grown
    return depth


def _ends(axis: int, shift: int) -> tuple[slice, ...]:
    part = slice(shift, None) if shift > 0 else slice(None, shift)
    return (part, slice(None)) if axis == 0 else (slice(None), part)


def _kept(second: Carved, target: Target, edge: float) -> Mask:
    """Cells of parts that do not go through, a little away from walls that do."""
    grid = second.measured.heights.grid
    gone = [floor.shape for floor in target.floors if floor.kind == "through"]
    parts = shapely.union_all([piece.shape for piece in target.pieces])
    kept = shapely.buffer(shapely.difference(parts, shapely.union_all(gone)), -edge)
    found: Mask = np.zeros(second.measured.heights.depth.shape, dtype=np.bool_)
    if not kept.is_empty:
        window, mask = inside(kept, grid)
        found[window] = mask
    return found


def _writers(carved: Carved, where: Mask, worse: Cells) -> Iterator[tuple[int, tuple[int, int]]]:
    """The moves that lowered such cells last, each with its worst cell; the worst first."""
    rows, columns = np.nonzero(where)
    order = np.argsort(-worse[rows, columns], kind="stable")
    told: dict[int, tuple[int, int]] = {}
    for row, column in zip(rows[order].tolist(), columns[order].tolist(), strict=True):
        told.setdefault(int(carved.measured.writer[row, column]), (row, column))
    yield from list(told.items())[:SHOWN]


def _middle(carved: Carved, at: tuple[int, int]) -> tuple[float, float]:
    grid = carved.measured.heights.grid
    return grid.origin[0] + (at[1] + 0.5) * grid.cell, grid.origin[1] + (at[0] + 0.5) * grid.cell


def _told(
    kind: str, text: str, carved: Carved, move: int, at: tuple[int, int], measure: float, limit: float
) -> Finding:
    placed = carved.moves[move]
    x, y = _middle(carved, at)
    return Finding(
        kind=kind,
        severity="safety",
        text=text,
        program=placed.program,
        line=placed.move.line,
        x=round(x, 4),
        y=round(y, 4),
        measure=round(float(measure), 4),
        limit=round(limit, 4),
    )


def dowel_discs(
    places: Sequence[tuple[float, float]], diameter: float, setup: Setup, width: float
) -> tuple[shapely.Geometry, ...]:
    """The dowels' holes in program coordinates; `width` is the sheet's."""
    turned = setup.machine.sheet_turned
    return tuple(shapely.Point((width - y, x) if turned else (x, y)).buffer(diameter / 2) for x, y in places)
