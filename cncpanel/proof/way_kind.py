"""By which arithmetic a way's cells are found: some are sure from their rows alone, others are asked one by one."""

from dataclasses import replace
from enum import IntEnum

import numpy as np

from cncpanel.proof.tool_form import ToolForm
from cncpanel.proof.ways import Floats, Ways, Whole, joined

HALF_TURN = 1e-9  # of half a turn; an arc longer by this is still one half


class Kind(IntEnum):
    """Numbers, because the compiled loops know them too."""

    PLAIN_LINE = 0  # a flat end on a level line or a stay: all cells of its rows, one depth
    PLAIN_SECTOR = 1  # a flat end on a level arc, without its ends
    LEVEL_LINE = 2  # another outline: the depth hangs on the distance
    LEVEL_ARC = 3
    FLAT_SLOPE = 4  # a flat end going down along a line
    FLAT_HELIX = 5
    SEARCHED_LINE = 6  # another outline going down along its way: the deepest place is searched
    SEARCHED_ARC = 7


PLAIN = (Kind.PLAIN_LINE, Kind.PLAIN_SECTOR)


def in_kinds(ways: Ways, form: ToolForm) -> tuple[Ways, Whole]:
    """The ways and each one's kind, in the moves' order; a flat end's level arcs fall into sectors and discs."""
    flat = form.flat >= form.radius
    arc, level = ways.is_arc, ways.is_level
    on_level, on_slope = (Kind.PLAIN_LINE, Kind.FLAT_SLOPE) if flat else (Kind.LEVEL_LINE, Kind.SEARCHED_LINE)
    turn = np.where(level, Kind.LEVEL_ARC, Kind.FLAT_HELIX if flat else Kind.SEARCHED_ARC)
    kinds = np.where(arc, turn, np.where(level, on_level, on_slope)).astype(np.int64)
    plain = arc & level & flat
    if not plain.any():
        return ways, kinds
    sectors, discs = halves(ways.chosen(plain)), stays_at(ways.chosen(plain))
    parts = joined((ways.chosen(~plain), sectors, discs))
    names = ((Kind.PLAIN_SECTOR, len(sectors)), (Kind.PLAIN_LINE, len(discs)))
    all_kinds = np.concatenate((kinds[~plain], *(np.full(count, kind, dtype=np.int64) for kind, count in names)))
    order = np.argsort(parts.number, kind="stable")
    return parts.chosen(order), all_kinds[order]


def halves(ways: Ways) -> Ways:
    """Arcs in parts of half a turn at most; rows no longer fit those given."""
    parts = np.maximum(np.ceil(np.abs(ways.sweep) / np.pi - HALF_TURN), 1).astype(np.int64)
    if parts.max(initial=1) == 1:
        return ways
    each = ways.chosen(np.repeat(np.arange(len(ways)), parts))
    count = np.repeat(parts, parts)
    nth = np.arange(len(count)) - np.repeat(np.cumsum(parts) - parts, parts)
    begin, sweep = each.sweep * nth / count, each.sweep / count
    x0, y0 = _turned(each, begin)
    x1, y1 = _turned(each, begin + sweep)
    rise = (each.d1 - each.d0) / count
    d0 = each.d0 + rise * nth
    return replace(each, x0=x0, y0=y0, d0=d0, x1=x1, y1=y1, d1=d0 + rise, sweep=sweep)


def _turned(ways: Ways, angle: Floats) -> tuple[Floats, Floats]:
    cos, sin, dx, dy = np.cos(angle), np.sin(angle), ways.x0 - ways.cx, ways.y0 - ways.cy
    return ways.cx + dx * cos - dy * sin, ways.cy + dx * sin + dy * cos


def stays_at(ways: Ways) -> Ways:
    """The discs at both ends of level ways, as stays."""
    nothing = np.zeros(2 * len(ways))
    x, y = np.concatenate((ways.x0, ways.x1)), np.concatenate((ways.y0, ways.y1))
    deep, number = np.concatenate((ways.deep, ways.deep)), np.concatenate((ways.number, ways.number))
    return Ways(x0=x, y0=y, d0=deep, x1=x, y1=y, d1=deep, cx=nothing, cy=nothing, radius=nothing, sweep=nothing,
                number=number)  # fmt: skip
