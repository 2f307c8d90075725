"""Slots under the face into rims: whether all of each has gone, at every height and to its full depth.

What a disc may not take besides is asked where gouges are (`compare.py`); here it is what is left. What is covered
changes with the depth only at the sides of discs, so a slot is asked at its own two sides and about every disc's.
"""

from collections.abc import Iterator, Sequence
from math import hypot, sqrt

import numpy as np
import shapely
import shapely.ops

from cncpanel.proof.cuts import Cut, boxes
from cncpanel.proof.finding import Finding
from cncpanel.proof.footprint import Footprints
from cncpanel.proof.setup import Setup
from cncpanel.proof.target import SideSlot, Target

DEPTH = 0.01  # mm; as the rest of the comparison's
ABOUT = 1e-3  # mm over and under a disc's side
SPECK = 1e-4  # mm2; the rounding of chords
SHOWN = 25  # places told for one slot


class SlotJudge:
    """The cuts of one sheet, asked about its slots. All in program coordinates."""

    def __init__(self, target: Target, cuts: Sequence[Cut], setup: Setup, touch: float) -> None:
        """`touch`: how far from its walls a slot is not asked, mm."""
        self._target, self._setup, self._touch = target, setup, touch
        self._cuts = list(cuts)
        self._covered = Footprints().covered
        self._tree = shapely.STRtree(shapely.box(*boxes(self._cuts).T) if self._cuts and target.slots else [])

    def findings(self) -> Iterator[Finding]:
        """What is left of each slot, at the depth where that is most."""
        for slot in self._target.slots:
            near = [self._cuts[index] for index in np.sort(self._tree.query(slot.shape))]
            must = shapely.buffer(self._asked(slot, near), -self._touch)
            left = [(depth, self._left(must, depth, near)) for depth in self._depths(slot, near)]
            depth, pieces = max(left, key=lambda one: sum(piece.area for piece in one[1]))
            for piece in sorted(pieces, key=lambda one: -one.area)[:SHOWN]:
                yield self._finding(slot, piece, depth)

    def _asked(self, slot: SideSlot, near: Sequence[Cut]) -> shapely.Geometry:
        """The slot but for what the discs that came by leave of it at ends on the rim: half a chord's length."""
        radius = max((cut.tool.radius for cut in near if cut.tool.undercuts), default=0.0)
        chord = sqrt(max(slot.depth * (2 * radius - slot.depth), 0.0))
        if slot.ends.is_empty or not chord:
            return slot.shape
        pieces = [_end_of(slot.path, end, chord) for end in shapely.get_parts(slot.ends)]
        bands = [shapely.buffer(piece, slot.depth + 2 * self._touch, cap_style="flat") for piece in pieces]
        return shapely.difference(slot.shape, shapely.union_all(bands))

    def _depths(self, slot: SideSlot, near: Sequence[Cut]) -> list[float]:
        """Where the slot is asked, from above."""
        first, last = slot.top + DEPTH, slot.bottom - DEPTH
        sides = {side for cut in near if cut.tool.undercuts for side in (cut.deep, cut.deep - cut.tool.cutting_length)}
        about = {side + beside for side in sides for beside in (-ABOUT, ABOUT)}
        return sorted({first, last, *(round(one, 5) for one in about if first < one < last)})

    def _left(self, must: shapely.Geometry, depth: float, near: Sequence[Cut]) -> list[shapely.Polygon]:
        cover = self._covered([cut for cut in near if cut.deep >= depth - 1e-5], depth).shapes
        left = shapely.difference(must, shapely.union_all(cover)) if cover else must
        return [one for one in shapely.get_parts(left) if one.geom_type == "Polygon" and one.area > SPECK]

    def _finding(self, slot: SideSlot, left: shapely.Polygon, depth: float) -> Finding:
        at = left.representative_point()
        xmin, ymin, xmax, ymax = left.bounds
        size = max(xmax - xmin, ymax - ymin)
        where = f"X{at.x:.2f} Y{at.y:.2f}, {size:.2f} mm across"
        return Finding(
            kind="leftover",
            severity="error",
            text=f"{slot.name}: its slot is not cut {depth:.2f} below the top, {where}",
            x=round(at.x, 4),
            y=round(at.y, 4),
            z=round(self._setup.top - depth, 4),
            measure=round(size, 4),
            limit=self._touch,
        )


def _end_of(path: shapely.Geometry, end: shapely.Point, length: float) -> shapely.Geometry:
    """The last `length` mm of the path towards one of its two ends."""
    first = path.coords[0]
    if hypot(first[0] - end.x, first[1] - end.y) < hypot(path.coords[-1][0] - end.x, path.coords[-1][1] - end.y):
        return shapely.ops.substring(path, 0.0, length)
    return shapely.ops.substring(path, max(path.length - length, 0.0), path.length)
