"""Every move that is in the material, of all programs of a sheet in order.

Depths count down from the sheet's top. A flat tool that passes the same way twice counts once, at its deeper pass;
of a ramp that part counts at a depth which is deep enough.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from math import isnan

import numpy as np

from cncpanel.machine.tool import Tool
from cncpanel.proof.motion import Move
from cncpanel.proof.sweep import extents, straightened

SAME = 1e-5  # mm; a tenth of a program's last decimal
UNDER_CEILING = 1e-3  # mm over a disc's upper face


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
        ends = sorted((rounded(move.start), rounded(move.end)))
        turn = (
            move.centre and rounded(move.centre),
            move.turn if ends[0] == rounded(move.start) else -move.turn,
        )
        return (self.tool.radius, *ends, turn)


def rounded(point: Sequence[float]) -> tuple[float, float]:
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


def ceilings(cuts: Iterable[Cut], depth: float, above: float = 0.0) -> list[float]:
    """Depths just over the discs of undercutting tools, between `above` and `depth`: there material may still stand."""
    over = {round(cut.shallow - cut.tool.cutting_length - UNDER_CEILING, 4) for cut in cuts if cut.tool.undercuts}
    return sorted(one for one in over if above + SAME < one < depth)


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
        return trimmed(move, 1 - share, 1.0)
    return trimmed(move, 0.0, share)


def trimmed(move: Move, first: float, last: float) -> Move:
    """The stretch between two shares of a move."""
    return move._replace(start=move.at(first), end=move.at(last), sweep=move.sweep * (last - first))


def boxes(cuts: Sequence[Cut]) -> "np.ndarray[tuple[int, int], np.dtype[np.float64]]":
    """Each cut's box, tool included: (xmin, ymin, xmax, ymax) a row."""
    result = extents([cut.move for cut in cuts])
    radii = np.array([cut.tool.radius for cut in cuts]).reshape(-1, 1)
    return result + np.hstack((-radii, -radii, radii, radii)) if len(cuts) else result
