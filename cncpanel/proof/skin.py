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
KNOWN = 0.5  # of a piece that lies in another one for both to be the same


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
    sheet: shapely.Geometry,
    cuts: Sequence[Cut],
    setup: Setup,
    lower: float,
    held_at: Sequence[shapely.Geometry],
    parted: Sequence[shapely.Polygon] = (),
) -> Iterator[Skinned]:
    """Every piece that is or was held so; `sheet` in program coordinates, `lower`: how much deeper the tool may go.

    Some are told twice: before the first cut through its skin, and as it hangs on what is left of that in the end.
    `parted`: pieces that are known to be cut free or to hang on tabs; what holds those at the end is told elsewhere.
    """
    high, low = setup.thickness - SKIN, setup.thickness - SAME
    if not any(cut.tool.is_flat and high <= cut.deep < low for cut in cuts):
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
        places = places[~shapely.disjoint(places, sheet)]
        told_elsewhere = _known(piece.shape, parted)
        for begin, until, depths in kerfs.states(places, since):
            left = setup.thickness - depths
            if (left > SAME).any() and (until < len(cuts) or not told_elsewhere):
                skin = float(np.maximum(left - lower, 0.0)[left > SAME].sum()) * APART
                yield Skinned(piece.shape, begin, until, skin + piece.section, float(left[left > SAME].min()))


def _known(shape: shapely.Polygon, parted: Sequence[shapely.Polygon]) -> bool:
    return any(shapely.intersection(shape, other).area > KNOWN * shape.area for other in parted)


Depths = np.ndarray[tuple[int], np.dtype[np.float64]]
Indices = np.ndarray[tuple[int], np.dtype[np.intp]]
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

    def states(self, places: Places, since: int) -> Iterator[tuple[int, int, Depths]]:
        """From which cut to which the places lie how deep: until one is cut through, and after the last that is."""
        place, shape = self._tree.query(places, predicate="intersects")
        number, deep = self._number[shape], self._deep[shape]
        later = number[(number >= since) & (deep >= self._through)]
        until = int(later.min(initial=self._last))
        yield since, until, self._depths(len(places), place[number < until], deep[number < until])
        if later.size:
            through = deep >= self._through
            first = np.full(len(places), self._last)
            np.minimum.at(first, place[through], number[through])
            yield int(first[first < self._last].max()) + 1, self._last, self._depths(len(places), place, deep)

    def _depths(self, count: int, place: Indices, deep: Depths) -> Depths:
        depths = np.full(count, self._depth)
        np.maximum.at(depths, place, deep)
        return depths
