"""Canned cycles in the XY plane as the moves they stand for. Source: NISTIR 6556 section 3.5.16."""

from collections.abc import Iterator
from typing import Literal, NamedTuple

from cncpanel.proof.motion import Point3

BACK_OFF = 0.254  # mm; G83 returns to this far above the hole's bottom (from memory: 0.010 inch in the NIST source)
SIMULATED = frozenset({810, 820, 830, 850, 890})


class Stroke(NamedTuple):
    """One straight move of a cycle to an absolute place, or a dwell where `kind` says so (seconds in `z`)."""

    kind: Literal["rapid", "feed", "dwell"]
    x: float
    y: float
    z: float


def strokes(
    code: int,
    *,
    start: Point3,
    hole: tuple[float, float],
    bottom: float,
    retract: float,
    clear: float,
    dwell: float,
    peck: float,
) -> Iterator[Stroke]:
    """One hole at `hole`: from `start` down to `bottom` and out to `clear`; `retract` is the R plane."""
    x, y = hole
    if start[2] < retract:
        yield Stroke("rapid", start[0], start[1], retract)
    height = max(start[2], retract)
    yield Stroke("rapid", x, y, height)
    if height != retract:
        yield Stroke("rapid", x, y, retract)
    if code == 830:
        yield from _pecks(x, y, retract, bottom, clear, peck)
    else:
        yield Stroke("feed", x, y, bottom)
    if code in (820, 890) and dwell:
        yield Stroke("dwell", x, y, dwell)
    if code in (850, 890):
        yield Stroke("feed", x, y, retract)
        if clear != retract:
            yield Stroke("rapid", x, y, clear)
    else:
        yield Stroke("rapid", x, y, clear)


def _pecks(x: float, y: float, retract: float, bottom: float, clear: float, peck: float) -> Iterator[Stroke]:
    depth = retract - peck
    while depth > bottom:
        yield Stroke("feed", x, y, depth)
        yield Stroke("rapid", x, y, clear)
        yield Stroke("rapid", x, y, depth + BACK_OFF)
        depth -= peck
    yield Stroke("feed", x, y, bottom)
