"""Floors left thin under the whole rim of a piece: what holds it before they are cut, if they ever are."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
import shapely

from cncpanel.proof.cuts import SAME, Cut
from cncpanel.proof.footprint import Footprints
from cncpanel.proof.setup import Setup
from cncpanel.proof.severed import APART, BESIDE, Severing, along

SKIN = 2.0  # mm; a thicker floor under a kerf leaves the sheet in one piece: common practice, no source
SHORTEST = 30.0  # mm of kerf over a skin; less leaves no piece round which it runs that is more than a crumb


@dataclass(frozen=True, slots=True)
class Skinned:
    """A piece that hangs on a skin once `since` cuts are made, until cut number `until` goes through beside it.

    `section`: mm2 of skin and bars that would have to give, at worst; `thinnest`: the skin's, mm as programmed.
    """

    shape: shapely.Polygon
    since: int
    until: int
    section: float
    thinnest: float


def skinned(
    sheet: shapely.Geometry, cuts: Sequence[Cut], setup: Setup, lower: float, held_at: Sequence[shapely.Geometry]
) -> Iterator[Skinned]:
    """Every piece that is or was held so; `sheet` in program coordinates, `lower`: how much deeper the tool may go."""
    high, low = setup.thickness - SKIN, setup.thickness - SAME
    if sum(cut.move.length for cut in cuts if cut.tool.is_flat and high <= cut.deep < low) < SHORTEST:
        return
    x, y = setup.corner
    thinner = Setup(setup.machine, high, (0.0 - x, 0.0 - y, 0.0 - setup.top))
    severing = Severing(sheet, cuts, thinner, lower - SKIN)
    for piece in severing.pieces(held_at):
        since = severing.since(piece.shape)
        if since is None:
            continue
        until, depths = _rim(piece.shape, sheet, cuts, since, setup)
        left = setup.thickness - depths
        if not (left > SAME).any():
            continue  # nothing was left there even then: what holds it is told of what is cut through
        skin = float(np.maximum(left - lower, 0.0)[left > SAME].sum()) * APART
        yield Skinned(piece.shape, since, until, skin + piece.section, float(left[left > SAME].min()))


Depths = np.ndarray[tuple[int], np.dtype[np.float64]]


def _rim(
    piece: shapely.Polygon, sheet: shapely.Geometry, cuts: Sequence[Cut], since: int, setup: Setup
) -> tuple[int, Depths]:
    """The first cut after `since` that goes through beside the piece, and how deep the kerf was all along before it."""
    places = along(shapely.buffer(piece, BESIDE, quad_segs=32).exterior)
    places = places[~shapely.disjoint(places, sheet)]
    depth = setup.thickness - SKIN
    covered = Footprints().covered([cut for cut in cuts if cut.deep >= depth], depth)
    numbers = {id(cut): number for number, cut in enumerate(cuts)}
    number = np.array([numbers[id(cut)] for cut in covered.cuts], dtype=np.int64)
    deep = np.array([min(cut.deep, setup.thickness) for cut in covered.cuts])
    place, shape = shapely.STRtree(covered.shapes).query(places, predicate="intersects")
    later = number[shape][(number[shape] >= since) & (deep[shape] >= setup.thickness - SAME)]
    until = int(later.min(initial=len(cuts)))
    before = number[shape] < until
    depths = np.full(len(places), depth)
    np.maximum.at(depths, place[before], deep[shape][before])
    return until, depths
