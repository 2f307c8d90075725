"""Canned cycles as the moves they stand for, in any plane. Source: NISTIR 6556 section 3.5.16.

A cycle runs along its plane's normal: Z in XY, Y in XZ, X in YZ. `u`, `v` are the plane's axes, `w` the normal.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from math import ceil
from typing import Literal, NamedTuple

MOST_STROKES = 100_000  # moves of one cycle line; more is a slip of the pen or an attack
BACK_OFF = 0.254  # mm; G83 returns to this far above the hole's bottom (from memory: 0.010 inch in the NIST source)
DWELLING = frozenset({820, 860, 880, 890})  # cycles that need P
TURNING = frozenset({840, 860, 870, 880})  # cycles that stop the spindle and start it again


class Stroke(NamedTuple):
    """One straight move of a cycle to an absolute place; or, with `w` as its figure, something else that it does.

    A dwell's `w` is seconds; a turn's is +1 clockwise, -1 the other way, 0 to stop.
    """

    kind: Literal["rapid", "feed", "dwell", "turn", "stop", "lifted"]
    u: float
    v: float
    w: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Hole:
    """One hole of a cycle: absolute places, mm. `aside` and `middle` are G87's; `turn` is how the spindle turns."""

    place: tuple[float, float]
    bottom: float
    retract: float
    clear: float
    dwell: float = 0.0
    peck: float = 0.0
    aside: tuple[float, float] = (0.0, 0.0)
    middle: float = 0.0
    turn: int = 0

    @property
    def pecks(self) -> int:
        """How many bites G83 takes."""
        return max(ceil((self.retract - self.bottom) / self.peck), 1) if self.peck > 0 else 1


def strokes(code: int, hole: Hole, start: tuple[float, float, float]) -> Iterator[Stroke]:
    """One hole from `start` (u, v, w) on: first over it, then the cycle."""
    u, v = hole.place
    if start[2] < hole.retract:
        yield Stroke("rapid", start[0], start[1], hole.retract)
    height = max(start[2], hole.retract)
    yield Stroke("rapid", u, v, height)
    if height != hole.retract:
        yield Stroke("rapid", u, v, hole.retract)
    if code == 870:
        yield from _back_bore(hole)
        return
    if code == 830:
        yield from _pecks(hole)
    else:
        yield Stroke("feed", u, v, hole.bottom)
    if code in DWELLING and hole.dwell:
        yield Stroke("dwell", u, v, hole.dwell)
    yield from _out(code, hole)


def _out(code: int, hole: Hole) -> Iterator[Stroke]:
    """The way out: by feed after a bore or a tap, by hand after G88, else rapidly."""
    u, v = hole.place
    if code in TURNING:
        yield Stroke("turn", u, v, 0)
    if code == 840:
        yield Stroke("turn", u, v, -hole.turn)
    if code == 880:
        yield Stroke("stop", u, v, 0)
        yield Stroke("lifted", u, v, hole.clear)
    else:
        yield Stroke("feed" if code in (840, 850, 890) else "rapid", u, v, hole.clear)
    if code == 840:
        yield Stroke("turn", u, v, 0)
    if code in TURNING:
        yield Stroke("turn", u, v, hole.turn)


def _pecks(hole: Hole) -> Iterator[Stroke]:
    u, v = hole.place
    depth = hole.retract - hole.peck
    while depth > hole.bottom:
        yield Stroke("feed", u, v, depth)
        yield Stroke("rapid", u, v, hole.clear)
        yield Stroke("rapid", u, v, depth + BACK_OFF)
        depth -= hole.peck
    yield Stroke("feed", u, v, hole.bottom)


def _back_bore(hole: Hole) -> Iterator[Stroke]:
    """G87: past the hole's rim with the spindle standing, up to the middle from below, and out the same way."""
    (u, v), (beside_u, beside_v) = hole.place, hole.aside
    yield Stroke("rapid", beside_u, beside_v, hole.retract)
    yield Stroke("turn", u, v, 0)
    yield Stroke("rapid", beside_u, beside_v, hole.bottom)
    yield Stroke("rapid", u, v, hole.bottom)
    yield Stroke("turn", u, v, hole.turn)
    yield Stroke("feed", u, v, hole.middle)
    yield Stroke("feed", u, v, hole.bottom)
    yield Stroke("turn", u, v, 0)
    yield Stroke("rapid", beside_u, beside_v, hole.bottom)
    yield Stroke("rapid", beside_u, beside_v, hole.clear)
    yield Stroke("rapid", u, v, hole.clear)
    yield Stroke("turn", u, v, hole.turn)
