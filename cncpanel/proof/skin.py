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
    kerfs = _Kerfs(cuts, setup)
    for piece in severing.pieces(held_at):
        since = severing.since(piece.shape)
        if since is None:
            continue
        places = along(shapely.buffer(piece.shape, BESIDE, quad_segs=32).exterior)
        until, depths = kerfs.met(places[~shapely.disjoint(places, sheet)], since)
        left = setup.thickness - depths
        if not (left > SAME).any():
            continue  # nothing was left there even then: what holds it is told of what is cut through
        skin = float(np.maximum(left - lower, 0.0)[left > SAME].sum()) * APART
        yield Skinned(piece.shape, since, until, skin + piece.section, float(left[left > SAME].min()))


Depths = np.ndarray[tuple[int], np.dtype[np.float64]]
Places = np.ndarray[tuple[int], np.dtype[np.object_]]  # shapely points


class _Kerfs:
    """What all cuts cover at the depth from which a floor is a skin."""

    def __init__(self, cuts: Sequence[Cut], setup: Setup) -> None:
        self._through, self._depth = setup.thickness - SAME, setup.thickness - SKIN
        covered = Footprints().covered([cut for cut in cuts if cut.deep >= self._depth], self._depth)
        numbers = {id(cut): number for number, cut in enumerate(cuts)}
        self._last = len(cuts)
        self._number = np.array([numbers[id(cut)] for cut in covered.cuts], dtype=np.int64)
        self._deep = np.array([min(cut.deep, setup.thickness) for cut in covered.cuts])
        self._tree = shapely.STRtree(covered.shapes)

    def met(self, places: Places, since: int) -> tuple[int, Depths]:
        """The first cut after `since` that goes through at one of the places, and how deep each place was before it."""
        place, shape = self._tree.query(places, predicate="intersects")
        number, deep = self._number[shape], self._deep[shape]
        later = number[(number >= since) & (deep >= self._through)]
        until = int(later.min(initial=self._last))
        before = number < until
        depths = np.full(len(places), self._depth)
        np.maximum.at(depths, place[before], deep[before])
        return until, depths
