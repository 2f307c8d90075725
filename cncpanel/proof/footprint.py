"""The area that cuts cover at a depth, as polygons; what a flat tool covers on a whole move is worked out once."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from math import atan2, hypot

import shapely

from cncpanel.proof.cuts import SAME, Cut, part_below, rounded, trimmed
from cncpanel.proof.motion import Move
from cncpanel.proof.profile import radius_at
from cncpanel.proof.sweep import capsules, discs, ring_sector

PIECE = 0.2  # mm of a sloped way of a round-over, a ball or a v-bit that counts as wide as at its deeper end
Disc = tuple[float, float, float]  # x, y, radius


@dataclass(frozen=True, slots=True)
class Covered:
    """Polygons that tools cover at one depth, and the cut that each came from."""

    shapes: list[shapely.Geometry] = field(default_factory=list)
    cuts: list[Cut] = field(default_factory=list)

    def add(self, shapes: Sequence[shapely.Geometry], cuts: Sequence[Cut]) -> None:
        """File shapes with their cuts."""
        self.shapes.extend(shapes)
        self.cuts.extend(cuts)


class Footprints:
    """Shapes already worked out: a whole move's by its cut, discs by place and radius."""

    def __init__(self) -> None:
        """Begin with none."""
        self._whole: dict[int, shapely.Geometry] = {}
        self._discs: dict[Disc, shapely.Geometry] = {}

    def from_above(self, cuts: Iterable[Cut]) -> Covered:
        """Everything under which they cut at any depth."""
        return self.covered(cuts, 0.0, widest=True)

    def covered(self, cuts: Iterable[Cut], depth: float, *, widest: bool = False) -> Covered:
        """What the cuts cover `depth` mm below the top; `widest`: discs of undercutting tools deeper down too."""
        lines: dict[float, list[tuple[Move, Cut]]] = {}
        spots: dict[Disc, Cut] = {}
        result = Covered()
        for cut, move, deep in _parts(cuts, depth):
            radius = cut.tool.radius if widest else radius_at(cut.tool, _least_height(cut, deep, depth))
            if radius <= SAME:
                continue
            start, end = rounded(move.start), rounded(move.end)
            if move.centre is not None:
                result.add([self._sector(move, cut, radius)], [cut])
                spots[(*start, radius)] = spots[(*end, radius)] = cut
            elif start == end:
                spots[(*start, radius)] = cut
            elif move is cut.move and cut.tool.is_flat and id(cut) in self._whole:
                result.add([self._whole[id(cut)]], [cut])
            else:
                lines.setdefault(radius, []).append((move, cut))
        self._add_lines(lines, result)
        self._add_discs(spots, result)
        return result

    def _add_lines(self, lines: dict[float, list[tuple[Move, Cut]]], result: Covered) -> None:
        for radius, group in lines.items():
            shapes = capsules([(move.start[:2], move.end[:2]) for move, _ in group], radius)
            for (move, cut), shape in zip(group, shapes, strict=True):
                if move is cut.move and cut.tool.is_flat:
                    self._whole[id(cut)] = shape
            result.add(shapes, [cut for _, cut in group])

    def _sector(self, move: Move, cut: Cut, radius: float) -> shapely.Geometry:
        if move is cut.move and id(cut) in self._whole and cut.tool.is_flat:
            return self._whole[id(cut)]
        assert move.centre is not None
        x, y = move.centre[:2]
        begin = atan2(move.start[1] - y, move.start[0] - x)
        path = hypot(move.start[0] - x, move.start[1] - y)
        shape = ring_sector((x, y), begin, move.turn * move.sweep, path, radius)
        if move is cut.move and cut.tool.is_flat:
            self._whole[id(cut)] = shape
        return shape

    def _add_discs(self, spots: dict[Disc, Cut], result: Covered) -> None:
        missing: dict[float, list[Disc]] = {}
        for spot in spots:
            if spot not in self._discs:
                missing.setdefault(spot[2], []).append(spot)
        for radius, group in missing.items():
            shapes = discs([spot[:2] for spot in group], radius)
            self._discs.update(zip(group, shapes, strict=True))
        result.add([self._discs[spot] for spot in spots], list(spots.values()))


def _least_height(cut: Cut, deep: float, depth: float) -> float:
    """The lowest part of the tool that comes by; all of a disc goes through what lies over the end of a plunge."""
    if cut.move.is_vertical and cut.tool.undercuts:
        deep = min(deep, max(cut.shallow, depth))
    return max(deep - depth, 0.0)


def _parts(cuts: Iterable[Cut], depth: float) -> Iterator[tuple[Cut, Move, float]]:
    """What of each cut lies below a depth, with how deep it goes; a slope in pieces where the tool is no cylinder."""
    for cut in cuts:
        move = part_below(cut, depth)
        if move is None:
            continue
        if cut.tool.is_flat or move.is_vertical or cut.deep - cut.shallow <= SAME:
            yield cut, move, cut.deep
            continue
        low = min(cut.move.start[2], cut.move.end[2])
        count = int(move.length / PIECE) + 1
        for number in range(count):
            piece = trimmed(move, number / count, (number + 1) / count)
            yield cut, piece, cut.deep - (min(piece.start[2], piece.end[2]) - low)
