"""What is left between pieces where a cut that goes through rises for a while: tabs, whoever left them.

A bridge is a stretch of one unbroken way that stays above the sheet's underside between two places where it goes
through it. Bridges side by side (roughing and finishing) share the bar under them, and the least of them counts.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from math import ceil

import numpy as np
import shapely

from cncpanel.proof.cuts import SAME, Cut, boxes
from cncpanel.proof.footprint import Footprints
from cncpanel.proof.motion import Move
from cncpanel.proof.setup import Setup

STEP = 0.2  # mm along a bridge between places that are looked at: a thirtieth of a common tab
LONGEST = 160.0  # mm; a way that stays above the underside for longer, slopes and all, leaves no tab but a floor
JOINED = 0.01  # mm; a bar this near a piece is part of it


@dataclass(frozen=True, slots=True)
class Bridge:
    """Moves over a bar, in order, and the number of the cut that the last of them belongs to."""

    parts: tuple[Cut, ...]
    number: int


@dataclass(frozen=True, slots=True)
class Bar:
    """A bar's outline from above, its least section in mm2, and the numbers of the cuts over it."""

    shape: shapely.Geometry
    section: float
    numbers: tuple[int, ...]


@dataclass(slots=True)
class _Way:
    """The way so far: whether it has gone through, and what has lain above the underside since."""

    thickness: float
    has_gone_through: bool = False
    last: Cut | None = None
    above: list[Cut] = field(default_factory=list)

    def follow(self, cut: Cut, top: float) -> tuple[Cut, ...]:
        """Go on along the cut; what was bridged, once it goes through again."""
        if self.last is None or self.last.program != cut.program or self.last.move.end != cut.move.start:
            self.has_gone_through, self.above = False, []
        self.last = cut
        begin, end = top - cut.move.start[2], top - cut.move.end[2]
        high = self.thickness - SAME
        if begin >= high:
            self.has_gone_through, self.above = True, []
        part = _above(cut, begin, end, high)
        if part is not None:
            self.above.append(part)
        if end < high:
            return ()
        bridged, self.above = tuple(self.above) if self.has_gone_through else (), []
        self.has_gone_through = True
        return bridged


def _above(cut: Cut, begin: float, end: float, depth: float) -> Cut | None:
    """The stretch of the cut that lies above `depth`."""
    if begin >= depth and end >= depth:
        return None
    move = cut.move
    if begin < depth and end < depth:
        return cut
    share = (depth - begin) / (end - begin)
    first, last = (0.0, share) if begin < depth else (share, 1.0)
    part = move._replace(start=move.at(first), end=move.at(last), sweep=move.sweep * (last - first))
    return Cut(cut.program, part, cut.tool, min(cut.deep, depth), cut.shallow)


def bridges(cuts: Sequence[Cut], setup: Setup) -> Iterator[Bridge]:
    """Every bridge of the flat tools' ways, in order."""
    way = _Way(setup.thickness)
    for number, cut in enumerate(cuts):
        parts = [part for part in way.follow(cut, setup.top) if not part.move.is_vertical]
        if parts and cut.tool.is_flat and sum(part.move.length for part in parts) < LONGEST:
            yield Bridge(tuple(parts), number)


def bars(found: Sequence[Bridge], through: Sequence[Cut], setup: Setup, lower: float = 0.0) -> tuple[Bar, ...]:
    """What the bridges leave beside all cuts that go through; `lower`: all tools may go this much deeper, mm."""
    if not found:
        return ()
    footprints = Footprints()
    tree = shapely.STRtree(shapely.box(*boxes(through).T))
    single = []
    for bridge in found:
        covered = shapely.union_all(footprints.covered(bridge.parts, _shallowest(bridge)).shapes)
        near = [through[i] for i in sorted(tree.query(covered).tolist())]
        gone = shapely.union_all(footprints.covered(near, setup.thickness - SAME).shapes)
        left = shapely.difference(covered, gone)
        if not shapely.buffer(left, -JOINED).is_empty:
            single.append(Bar(left, _section(bridge, gone, setup.thickness - lower, setup.top), (bridge.number,)))
    return tuple(_shared(single))


def _shallowest(bridge: Bridge) -> float:
    return max(min(part.shallow for part in bridge.parts) - SAME, 0.0)


def _section(bridge: Bridge, gone: shapely.Geometry, underside: float, top: float) -> float:
    """mm2 over the bridge's middle line: what stands there between its floor and the sheet's underside."""
    places = np.concatenate([_places(part.move, top) for part in bridge.parts])
    steps = np.concatenate([_steps(part.move) for part in bridge.parts])
    radius = bridge.parts[0].tool.radius
    away = np.hypot(places[:, None, 0] - places[None, :, 0], places[:, None, 1] - places[None, :, 1])
    floor = np.where(away <= radius + STEP, places[None, :, 2], 0.0).max(axis=1)
    height = np.maximum(underside - floor, 0.0)
    shapely.prepare(gone)
    stands = ~shapely.intersects_xy(gone, places[:, 0], places[:, 1])
    return float((height * steps)[stands].sum())


def _count(move: Move) -> int:
    return max(ceil(move.length / STEP), 1)


def _steps(move: Move) -> "np.ndarray[tuple[int], np.dtype[np.float64]]":
    count = _count(move)
    return np.full(count, move.length / count)


def _places(move: Move, top: float) -> "np.ndarray[tuple[int, int], np.dtype[np.float64]]":
    """X, Y and depth of the tip in the middle of each step."""
    count = _count(move)
    found = np.array([move.at((i + 0.5) / count) for i in range(count)])
    found[:, 2] = top - found[:, 2]
    return found


def _shared(single: Sequence[Bar]) -> Iterator[Bar]:
    """Bars that lie over one another as one, with the least section."""
    shapes = [bar.shape for bar in single]
    tree = shapely.STRtree(shapes)
    seen: set[int] = set()
    for first in range(len(single)):
        if first in seen:
            continue
        group, waiting = [], [first]
        seen.add(first)
        while waiting:
            one = waiting.pop()
            group.append(single[one])
            fresh = [i for i in tree.query(shapes[one], predicate="intersects").tolist() if i not in seen]
            seen.update(fresh)
            waiting += fresh
        shape = shapely.union_all([bar.shape for bar in group])
        yield Bar(shape, min(bar.section for bar in group), tuple(n for bar in group for n in bar.numbers))
