"""Panels as solids: layers of convex cells between the depths at which something is cut out of them."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import radians, tan
from typing import Literal

import numpy as np

from cncpanel.cabinet.cell import Cell, Floats, box, prism
from cncpanel.cabinet.piece import Assembly, Piece, Strip
from cncpanel.geometry.convex import convex_parts
from cncpanel.geometry.region import Region
from cncpanel.geometry.segment import Bounds
from cncpanel.job.edge import Edge
from cncpanel.job.read import ReadJob
from cncpanel.panel.panel import Panel

CHORD = 0.04  # mm; less than what counts as touching, so that fingers and their reliefs interlock
LEAST_OPENING = 2500.0  # mm2; nothing of the cabinet passes through a smaller opening
AT_RIM = 1e-6  # mm

_RIMS = {"left": (0, 0, 1), "bottom": (1, 1, 1), "right": (0, 2, -1), "top": (1, 3, -1)}  # axis, of the box, inwards

Kind = Literal["panel", "cleat", "fitting", "load"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Solid:
    """Something that takes up room; `index` is the job's panel it is or sits on, -1 where it sits on none."""

    label: str
    kind: Kind
    index: int
    cells: tuple[Cell, ...]


def panel_solids(assembly: Assembly, panels: Sequence[Panel], read: ReadJob) -> tuple[Solid, ...]:
    """A solid for every piece; panels as they were resolved."""
    by_index = {panel.index: panel for panel in panels}
    flats = {index: _layers(panel, read.job.panel[index].edge) for index, panel in by_index.items()}
    return tuple(_solid(piece, by_index[piece.index], flats[piece.index]) for piece in assembly.pieces)


def strip_solid(strip: Strip) -> Solid:
    """A cleat."""
    cell = box(strip.frame, strip.low, strip.high)
    return Solid(label=strip.label, kind="cleat", index=strip.index, cells=(cell,))


Layer = tuple[Floats, Floats, tuple[float, float]]


def _solid(piece: Piece, panel: Panel, layers: Sequence[Layer]) -> Solid:
    shift = np.array(panel.drawn_at)
    cells = tuple(prism(piece.frame, top + shift, bottom + shift, depths) for top, bottom, depths in layers)
    return Solid(label=piece.label, kind="panel", index=piece.index, cells=cells)


def _layers(panel: Panel, edges: Sequence[Edge]) -> list[Layer]:
    """Convex polygons at the upper and the lower depth of each layer, in the resolved panel's frame."""
    whole = Region(panel.outline)
    thickness = panel.stock.thickest
    through = [Region(o.contour) for o in panel.openings if abs(o.contour.area) > LEAST_OPENING]
    made: list[Layer] = []
    bevels = [edge for edge in edges if _is_whole_bevel(edge)]
    box = panel.outline.bounds
    for start, stop in _spans(panel, thickness):
        cuts = [recess.region for recess in panel.recesses if recess.depth >= stop - AT_RIM]
        depths = (start, stop) if panel.face == "show" else (thickness - stop, thickness - start)
        for ring in convex_parts(whole, (*through, *cuts), CHORD):
            top, bottom = (_bevelled(ring, depth, bevels, box, thickness) for depth in depths)
            made.append((top, bottom, depths))
    return made


def _is_whole_bevel(edge: Edge) -> bool:
    """Whether it takes a whole side off square, from face to face."""
    partial = edge.depth or edge.width or edge.start or edge.stop or edge.opening
    return edge.bevel_deg is not None and edge.side is not None and edge.faces != "both" and not partial


def _spans(panel: Panel, thickness: float) -> Iterator[tuple[float, float]]:
    floors = sorted({round(recess.depth, 6) for recess in panel.recesses if recess.depth < thickness})
    yield from zip((0.0, *floors), (*floors, thickness), strict=True)


def _bevelled(ring: Floats, depth: float, bevels: Sequence[Edge], box: Bounds, thickness: float) -> Floats:
    """The polygon at a depth below the show face, its corners on bevelled sides moved in."""
    moved = ring
    for edge in bevels:
        away = tan(radians(edge.bevel_deg or 0.0)) * (depth if edge.faces == "back" else thickness - depth)
        axis, rim, sign = _RIMS[edge.side or "bottom"]
        moved = moved.copy()
        moved[np.abs(ring[:, axis] - box[rim]) < AT_RIM, axis] += sign * away
    return moved
