"""What an undercutting tool takes under the face: exact regions in bands of depth, and the moves that would tear it.

A height map cannot hold a slot with material over it. So the disc's own work is kept as shapes, a band a level; the
map has the neck's way. Ways that are neither level nor straight down are told: such a tool is not led so.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from math import atan2

import numpy as np
import shapely

from cncpanel.proof.cuts import SAME
from cncpanel.proof.finding import Finding
from cncpanel.proof.heightmap import HeightMap
from cncpanel.proof.motion import Move
from cncpanel.proof.sweep import capsules, discs, ring_sector
from cncpanel.proof.tool_form import ToolForm

OVERHANG = 0.01  # mm; less material over the disc than this is the map's and the program's rounding


@dataclass(frozen=True, slots=True, kw_only=True)
class Band:
    """Between two depths under the sheet's top, mm, all of a shape is gone."""

    top: float
    bottom: float
    shape: shapely.Geometry


def bands(moves: Iterable[Move], form: ToolForm, top: float) -> tuple[Band, ...]:
    """One for each level of the tool's ways, in order of depth; `top` is program Z of the sheet's top."""
    levels: dict[float, list[shapely.Geometry]] = {}
    for move in moves:
        depth = top - move.end[2]
        if move.kind != "rapid" and depth > SAME and abs(move.start[2] - move.end[2]) <= SAME:
            levels.setdefault(round(depth, 6), []).extend(swept(move, form.radius))
    height = form.disc_height or 0.0
    return tuple(
        Band(top=max(depth - height, 0.0), bottom=depth, shape=shapely.union_all(shapes))
        for depth, shapes in sorted(levels.items())
    )


def swept(move: Move, radius: float) -> Sequence[shapely.Geometry]:
    """Shapes that a disc covers on a level way."""
    if move.centre is None:
        return capsules([(move.start[:2], move.end[:2])], radius)
    x, y = move.centre[:2]
    begin = atan2(move.start[1] - y, move.start[0] - x)
    ring = ring_sector((x, y), begin, move.turn * move.sweep, move.radius, radius)
    return [ring, *discs([move.start[:2], move.end[:2]], radius)]


def undercut_findings(moves: Iterable[Move], form: ToolForm, heights: HeightMap) -> Iterator[Finding]:
    """Moves of one undercutting tool in their order; the map is lowered by each in turn, rapids left out."""
    for move in moves:
        deep = heights.top - min(move.start[2], move.end[2])
        steep = abs(move.start[2] - move.end[2]) > SAME
        if deep > SAME and steep and not move.is_vertical:
            yield _finding("undercut-slant", move, "an undercutting tool goes down or up along its way", deep)
        elif deep > SAME and steep:
            over = _overhang(move, form, heights)
            if over > OVERHANG:
                text = f"goes straight up or down with {over:.2f} mm of material over its disc"
                yield _finding("undercut-lift", move, text, over)
        if move.kind != "rapid":
            heights.remove((move,), form)


def _overhang(move: Move, form: ToolForm, heights: HeightMap) -> float:
    """The most material over the disc where the move begins, mm."""
    over_disc = heights.top - move.start[2] - (form.disc_height or 0.0)
    grid, (x, y) = heights.grid, move.start[:2]
    columns, rows = (
        slice(max(int((at - form.radius - low) / grid.cell), 0), max(int((at + form.radius - low) / grid.cell) + 1, 0))
        for at, low in zip((x, y), grid.origin, strict=True)
    )
    depth = heights.depth[rows, columns]
    across = grid.origin[0] + (columns.start + np.arange(depth.shape[1]) + 0.5) * grid.cell - x
    along = grid.origin[1] + (rows.start + np.arange(depth.shape[0]) + 0.5) * grid.cell - y
    near = depth[np.hypot(across[None, :], along[:, None]) <= form.radius - grid.cell / 2]
    return max(over_disc - float(near.min()), 0.0) if near.size else 0.0


def _finding(kind: str, move: Move, text: str, measure: float) -> Finding:
    x, y, z = move.start
    return Finding(kind=kind, severity="safety", text=text, line=move.line, x=x, y=y, z=z, measure=round(measure, 4))
