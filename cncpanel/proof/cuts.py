"""Every move that is in the material, of all programs of a sheet in order, and the area they cover at a depth.

Depths count down from the sheet's top. A flat tool that passes the same way twice counts once, at its deeper pass;
of a ramp that part counts at a depth which is deep enough.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from math import atan2, hypot, isnan

import numpy as np
import shapely

from cncpanel.machine.tool import Tool
from cncpanel.proof.motion import Move
from cncpanel.proof.profile import radius_at
from cncpanel.proof.sweep import capsules, discs, extent, ring_sector, straightened

SAME = 1e-5  # mm; a tenth of a program's last decimal


@dataclass(frozen=True, slots=True)
class Cut:
    """A move in the material. `deep` and `shallow` are its greatest and least depth, mm."""

    program: str
    move: Move
    tool: Tool
    deep: float
    shallow: float

    @property
    def key(self) -> tuple[object, ...]:
        """Equal for moves that cover the same area: the same way, either way round, with the same radius."""
        move = self.move
        ends = sorted((_rounded(move.start), _rounded(move.end)))
        turn = (
            move.centre and _rounded(move.centre),
            move.turn if ends[0] == _rounded(move.start) else -move.turn,
        )
        return (self.tool.radius, *ends, turn)


def _rounded(point: Sequence[float]) -> tuple[float, float]:
    return round(point[0], 5), round(point[1], 5)


def cuts_of(program: str, moves: Iterable[Move], tools: dict[int, Tool], top: float) -> list[Cut]:
    """The moves that go below the sheet's top (program Z `top`), straightened where their plane stands upright."""
    found = []
    for whole in moves:
        tool = tools.get(whole.tool)
        if tool is None or whole.kind == "rapid" or any(map(isnan, whole.start + whole.end)):
            continue
        for move in straightened(whole):
            deep, shallow = top - min(move.start[2], move.end[2]), top - max(move.start[2], move.end[2])
            if deep > SAME:
                found.append(Cut(program, move, tool, deep, shallow))
    return found


@dataclass(frozen=True, slots=True)
class Covered:
    """Polygons that tools cover at one depth, and the cut that each came from."""

    shapes: list[shapely.Geometry] = field(default_factory=list)
    cuts: list[Cut] = field(default_factory=list)

    def add(self, shapes: Sequence[shapely.Geometry], cuts: Sequence[Cut]) -> None:
        """File shapes with their cuts."""
        self.shapes.extend(shapes)
        self.cuts.extend(cuts)


def deepest(cuts: Iterable[Cut]) -> list[Cut]:
    """One cut a way: flat tools' repeated passes fall together, the deepest level one counting.

    A ramp stays unless a level pass of the same way lies at least as deep as all of it.
    """
    level: dict[tuple[object, ...], Cut] = {}
    others: list[tuple[tuple[object, ...], Cut]] = []
    for cut in cuts:
        key = cut.key
        if not cut.tool.is_flat:
            others.append((key, cut))
        elif cut.move.is_vertical or cut.deep - cut.shallow <= SAME:
            known = level.get(key)
            if known is None or cut.deep > known.deep:
                level[key] = cut
        else:
            others.append((key, cut))
    kept = [cut for key, cut in others if not cut.tool.is_flat or key not in level or level[key].deep < cut.deep - SAME]
    return [*level.values(), *kept]


def covered(cuts: Iterable[Cut], depth: float) -> Covered:
    """What the cuts cover `depth` mm below the top."""
    result = Covered()
    lines: dict[float, list[tuple[Move, Cut]]] = {}
    spots: dict[tuple[float, float, float], Cut] = {}
    for cut in cuts:
        move = part_below(cut, depth)
        radius = radius_at(cut.tool, max(cut.deep - depth, 0.0))
        if move is None or radius <= SAME:
            continue
        if move.centre is not None:
            _arc(move, cut, radius, result, spots)
        elif _rounded(move.start) == _rounded(move.end):
            spots[(*_rounded(move.start), radius)] = cut
        else:
            lines.setdefault(radius, []).append((move, cut))
    for radius, group in lines.items():
        result.add(capsules([(m.start[:2], m.end[:2]) for m, _ in group], radius), [c for _, c in group])
    _add_discs(spots, result)
    return result


def _arc(move: Move, cut: Cut, radius: float, result: Covered, spots: dict[tuple[float, float, float], Cut]) -> None:
    assert move.centre is not None
    x, y = move.centre[:2]
    begin = atan2(move.start[1] - y, move.start[0] - x)
    path = hypot(move.start[0] - x, move.start[1] - y)
    result.add([ring_sector((x, y), begin, move.turn * move.sweep, path, radius)], [cut])
    spots[(*_rounded(move.start), radius)] = cut
    spots[(*_rounded(move.end), radius)] = cut


def _add_discs(spots: dict[tuple[float, float, float], Cut], result: Covered) -> None:
    groups: dict[float, list[tuple[tuple[float, float], Cut]]] = {}
    for (x, y, radius), cut in spots.items():
        groups.setdefault(radius, []).append(((x, y), cut))
    for radius, group in groups.items():
        result.add(discs([point for point, _ in group], radius), [cut for _, cut in group])


def part_below(cut: Cut, depth: float) -> Move | None:
    """The stretch of the move whose tip is at least `depth` deep; None where there is none."""
    move = cut.move
    if cut.deep < depth - SAME:
        return None
    if cut.shallow >= depth - SAME or move.is_vertical:
        return move
    share = (cut.deep - depth) / (cut.deep - cut.shallow)
    downward = move.end[2] < move.start[2]
    if downward:
        return _trimmed(move, 1 - share, 1.0)
    return _trimmed(move, 0.0, share)


def _trimmed(move: Move, first: float, last: float) -> Move:
    return move._replace(start=move.at(first), end=move.at(last), sweep=move.sweep * (last - first))


def boxes(cuts: Sequence[Cut]) -> "np.ndarray[tuple[int, int], np.dtype[np.float64]]":
    """Each cut's box, tool included: (xmin, ymin, xmax, ymax) a row."""
    rows = [extent(cut.move) for cut in cuts]
    result = np.asarray(rows, dtype=np.float64).reshape(-1, 4)
    radii = np.array([cut.tool.radius for cut in cuts]).reshape(-1, 1)
    return result + np.hstack((-radii, -radii, radii, radii)) if len(rows) else result
