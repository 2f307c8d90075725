"""Panels as solids: layers of convex cells between the depths at which something is cut out of them.

Plain solids leave small openings and holes closed, which is enough to see that nothing is near; solids in detail have
them. Rounded rims stay square in both: a rounding only takes away.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise
from math import cos, pi, radians, tan
from typing import Literal

import numpy as np

from cncpanel.cabinet.cell import Cell, Floats, box, prism
from cncpanel.cabinet.piece import Assembly, Piece, Strip
from cncpanel.geometry.contour import circle
from cncpanel.geometry.convex import convex_parts
from cncpanel.geometry.region import Region
from cncpanel.geometry.segment import Bounds
from cncpanel.job.edge import Edge
from cncpanel.job.read import ReadJob
from cncpanel.panel.panel import Panel

CHORD = 0.04  # mm; less than what counts as touching, so that fingers and their reliefs interlock
LEAST_OPENING = 2500.0  # mm2; a smaller opening is closed in a plain solid
LEAST_HOLE = 3.0  # mm across; smaller ones are screws' and closed in detail too
DETAIL_CHORD = 0.1  # mm
WIDER = 1 / cos(pi / 16)  # a round body is a prism round its circle, so the hole it goes through is one too
AT_RIM = 1e-6  # mm
KEPT = 512  # solids remembered, so that a job read again has only its changed ones made anew

_RIMS = {"left": (0, 0, 1), "bottom": (1, 1, 1), "right": (0, 2, -1), "top": (1, 3, -1)}  # axis, of the box, inwards

Kind = Literal["panel", "cleat", "fitting", "load"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Solid:
    """Something that takes up room; `index` is the job's panel it is or sits on, -1 where it sits on none.

    `told` is the mass in kg that the catalogue or the job tells of a fitting or a load.
    """

    label: str
    kind: Kind
    index: int
    cells: tuple[Cell, ...]
    told: float | None = None


def panel_solids(
    assembly: Assembly, panels: Sequence[Panel], read: ReadJob, *, detailed: bool = False
) -> tuple[Solid, ...]:
    """A solid for every piece whose panel is among `panels` (as they were resolved)."""
    by_index = {panel.index: panel for panel in panels}
    pieces = (piece for piece in assembly.pieces if piece.index in by_index)
    edges = {index: read.job.panel[index].edge for index in by_index}
    return tuple(_solid(piece, by_index[piece.index], edges[piece.index], detailed) for piece in pieces)


@lru_cache(maxsize=KEPT)
def strip_solid(strip: Strip) -> Solid:
    """A cleat."""
    cell = box(strip.frame, strip.low, strip.high)
    return Solid(label=strip.label, kind="cleat", index=strip.index, cells=(cell,))


Layer = tuple[Floats, Floats, tuple[float, float]]


@lru_cache(maxsize=KEPT)
def _solid(piece: Piece, panel: Panel, edges: tuple[Edge, ...], detailed: bool) -> Solid:
    shift, layers = np.array(panel.drawn_at), _layers(panel, edges, detailed)
    cells = tuple(prism(piece.frame, top + shift, bottom + shift, depths) for top, bottom, depths in layers)
    return Solid(label=piece.label, kind="panel", index=piece.index, cells=cells)


@lru_cache(maxsize=KEPT)
def _layers(panel: Panel, edges: tuple[Edge, ...], detailed: bool) -> list[Layer]:
    """Convex polygons at the upper and the lower depth of each layer, in the resolved panel's frame."""
    whole = Region(panel.outline)
    thickness = panel.stock.thickest
    through = list(_through(panel, detailed))
    made: list[Layer] = []
    bevels = [edge for edge in edges if _is_whole_bevel(edge)]
    box = panel.outline.bounds
    floors = list(_floors(panel, thickness))
    levels = sorted({0.0, thickness, *(round(depth, 6) for _, *both in floors for depth in both)})
    for depths in pairwise(levels):
        cuts = [region for region, top, bottom in floors if top <= depths[0] + AT_RIM and bottom >= depths[1] - AT_RIM]
        for ring in convex_parts(whole, (*through, *cuts), DETAIL_CHORD if detailed else CHORD):
            top, bottom = (_bevelled(ring, depth, bevels, box, thickness) for depth in depths)
            made.append((top, bottom, depths))
    return made


def _through(panel: Panel, detailed: bool) -> Iterator[Region]:
    """What is open from face to face."""
    for opening in panel.openings:
        if detailed and len(opening.contour.vertices) == 2:
            x, y, x2, y2 = opening.contour.bounds
            yield Region(circle(((x + x2) / 2, (y + y2) / 2), (x2 - x) / 2 * WIDER))
        elif detailed or abs(opening.contour.area) > LEAST_OPENING:
            yield Region(opening.contour)
    for hole in panel.holes:
        if detailed and hole.depth is None and hole.diameter >= LEAST_HOLE:
            yield Region(circle(hole.centre, hole.diameter / 2 * WIDER))


def _is_whole_bevel(edge: Edge) -> bool:
    """Whether it takes a whole side off square, from face to face."""
    partial = edge.depth or edge.width or edge.start or edge.stop or edge.opening
    return edge.bevel_deg is not None and edge.side is not None and edge.faces != "both" and not partial


def _floors(panel: Panel, thickness: float) -> Iterator[tuple[Region, float, float]]:
    """Each recess of both faces with the depths below the show face from which and to which it is open."""
    for side in panel.sides:
        for recess in side.recesses:
            depth = min(recess.depth, thickness)
            yield (recess.region, 0.0, depth) if side.face == "show" else (recess.region, thickness - depth, thickness)


def _bevelled(ring: Floats, depth: float, bevels: Sequence[Edge], box: Bounds, thickness: float) -> Floats:
    """The polygon at a depth below the show face, its corners on bevelled sides moved in."""
    moved = ring
    for edge in bevels:
        away = tan(radians(edge.bevel_deg or 0.0)) * (depth if edge.faces == "back" else thickness - depth)
        axis, rim, sign = _RIMS[edge.side or "bottom"]
        moved = moved.copy()
        moved[np.abs(ring[:, axis] - box[rim]) < AT_RIM, axis] += sign * away
    return moved
