"""Which pieces through cuts part from one another, what joins them still, and since when only that does."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
import numpy.typing as npt
import shapely

from cncpanel.proof.bars import JOINED, Bar, bars, bridges
from cncpanel.proof.cuts import SAME, Cut, deepest
from cncpanel.proof.footprint import Covered, Footprints
from cncpanel.proof.setup import Setup

CRUMB = 0.5  # mm; a piece thinner than twice this is a crumb (common practice, no source)
BESIDE = 0.2  # mm from a piece's wall: within any kerf, beyond its chords
APART = 0.5  # mm between places looked at along a ring: the arc of a small tool shows


@dataclass(frozen=True, slots=True)
class Severed:
    """A piece of the sheet as seen from above; `own` the sections of its bars to others, mm2.

    `to_sheet` is the section of all bars by which it and whatever hangs with it are joined to what is held.
    """

    shape: shapely.Polygon
    own: tuple[float, ...]
    to_sheet: float
    at_rim: bool = False

    @property
    def section(self) -> float:
        """mm2 that have to give before it comes free."""
        return min(sum(self.own), self.to_sheet)


class Severing:
    """One sheet's cuts, all programs in order."""

    def __init__(self, sheet: shapely.Geometry, cuts: Sequence[Cut], setup: Setup, lower: float = 0.0) -> None:
        """`sheet` in program coordinates; `lower`: how much deeper than programmed the tool may go over the table."""
        self._sheet, self._cuts, self._setup, self._lower = sheet, cuts, setup, lower

    @cached_property
    def _through(self) -> list[Cut]:
        """What goes through, each way once."""
        return deepest(cut for cut in self._cuts if cut.deep >= self._setup.thickness - SAME)

    @cached_property
    def bars(self) -> tuple[Bar, ...]:
        """What is left under bridges."""
        if not self._through:
            return ()
        return bars(list(bridges(self._cuts, self._setup)), self._through, self._setup, self._lower)

    def pieces(self, held_at: Sequence[shapely.Geometry]) -> Iterator[Severed]:
        """Every piece that only bars hold, or nothing. `held_at`: clamps and screws; a piece under one is held.

        Of what reaches the sheet's edge the largest counts as held: the frame.
        """
        if not self._through:
            return
        gone = Footprints().covered(self._through, self._setup.thickness - SAME).shapes
        left = shapely.difference(self._sheet, shapely.union_all([*gone, *(bar.shape for bar in self.bars)]))
        parts = [p for p in shapely.get_parts(left) if p.geom_type == "Polygon" and not p.is_empty]
        joints = _joints(parts, self.bars)
        at_rim = shapely.distance(parts, self._sheet.boundary) <= SAME
        held = _held(parts, at_rim, held_at)
        crumbs = shapely.is_empty(shapely.buffer(parts, -CRUMB)).tolist()
        grounded = _to_sheet(held, joints)
        for number, part in enumerate(parts):
            if not held[number] and not crumbs[number]:
                own = tuple(section for section, ends in joints if number in ends)
                yield Severed(part, own, grounded[number], bool(at_rim[number]))

    def since(self, piece: shapely.Polygon, *, bars_too: bool = True) -> int | None:
        """The number of cuts after which the piece is parted from all round it, but for bars (or not even those).

        Known from rings round it, along its wall and along a tool's way: it is parted when one is cut all along.
        None where neither ever is.
        """
        return min(
            (end for end in (self._round(piece, out, bars_too) for out in self._distances(piece)) if end), default=None
        )

    def freed(self, piece: shapely.Polygon) -> Cut | None:
        """The cut that parted it from all round it; None where none ever did."""
        since = self.since(piece, bars_too=False)
        return self._cuts[since - 1] if since else None

    def _distances(self, piece: shapely.Polygon) -> tuple[float, ...]:
        """Beside the wall, and where the tools that came along it had their middle."""
        numbers, tree = self._index
        near = tree.query(piece.exterior, predicate="dwithin", distance=BESIDE)
        radii = {self._cuts[number].tool.radius for number in numbers[near[near < len(numbers)]].tolist()}
        return (BESIDE, *sorted(radii))

    def _round(self, piece: shapely.Polygon, out: float, bars_too: bool) -> int | None:
        ring = shapely.buffer(piece, out, quad_segs=32).exterior
        places = along(ring)
        places = places[~shapely.disjoint(places, self._sheet)]
        numbers, tree = self._index
        place, shape = tree.query(places, predicate="intersects")
        if not bars_too:
            place, shape = place[shape < self._bars_from], shape[shape < self._bars_from]
        first = np.full(len(places), len(self._cuts), dtype=np.int64)
        np.minimum.at(first, place, numbers[shape])
        last = int(first.max(initial=-1))
        return last + 1 if last < len(self._cuts) else None

    @cached_property
    def _covering(self) -> Covered:
        """What every cut that goes through covers, each place told by its first cut."""
        depth = self._setup.thickness - SAME
        through = [cut for cut in self._cuts if cut.deep >= depth]
        return Footprints().covered(reversed(through), depth)

    @property
    def _bars_from(self) -> int:
        return len(self._covering.shapes)

    @cached_property
    def _index(self) -> "tuple[np.ndarray[tuple[int], np.dtype[np.int64]], shapely.STRtree]":
        """The numbers of the cuts that made the tree's shapes: what goes through, then bars."""
        known = {id(cut): number for number, cut in reversed(list(enumerate(self._cuts)))}
        covering = self._covering
        numbers = [known[id(cut)] for cut in covering.cuts] + [max(bar.numbers) for bar in self.bars]
        tree = shapely.STRtree([*covering.shapes, *(shapely.buffer(bar.shape, JOINED) for bar in self.bars)])
        return np.array(numbers, dtype=np.int64), tree


def along(ring: shapely.LinearRing) -> "np.ndarray[tuple[int], np.dtype[np.object_]]":
    """Points on the ring, APART or less from one another."""
    corners = shapely.get_coordinates(ring)
    at = np.concatenate(((0.0,), np.cumsum(np.hypot(*np.diff(corners, axis=0).T))))
    where = np.linspace(0.0, at[-1], max(int(at[-1] / APART), 16) + 1)
    return np.asarray(shapely.points(np.interp(where, at, corners[:, 0]), np.interp(where, at, corners[:, 1])))


Bools = npt.NDArray[np.bool_]
Joint = tuple[float, tuple[int, ...]]  # a bar's section and the pieces it joins


def _held(parts: Sequence[shapely.Polygon], at_rim: Bools, held_at: Sequence[shapely.Geometry]) -> list[bool]:
    """The frame, and what lies under a clamp or a screw."""
    areas = np.where(at_rim, shapely.area(parts), 0.0)
    held = at_rim & (areas == areas.max(initial=0.0))
    for spot in held_at:
        held |= shapely.intersects(parts, spot)
    return [bool(one) for one in held]


def _joints(parts: Sequence[shapely.Polygon], found: Sequence[Bar]) -> list[Joint]:
    tree = shapely.STRtree(list(parts))
    joints = [
        (bar.section, tuple(tree.query(bar.shape, predicate="dwithin", distance=JOINED).tolist())) for bar in found
    ]
    return [(section, ends) for section, ends in joints if len(ends) > 1]


def _to_sheet(held: Sequence[bool], joints: Sequence[Joint]) -> Mapping[int, float]:
    """For each piece the section between its group, all that hangs together, and what is held."""
    group = list(range(len(held)))

    def root(number: int) -> int:
        while group[number] != number:
            number = group[number]
        return number

    for _, ends in joints:
        loose = [number for number in ends if not held[number]]
        for one in loose[1:]:
            group[root(one)] = root(loose[0])
    sums = dict.fromkeys(range(len(held)), 0.0)
    for section, ends in joints:
        loose = [number for number in ends if not held[number]]
        if loose and len(loose) < len(ends):
            sums[root(loose[0])] += section
    return {number: sums[root(number)] for number in range(len(held))}
