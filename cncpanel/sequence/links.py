"""Short ways between chains: the nearest next one first, then shortened; what must come before what is kept.

Recesses, holes and marks are cut while the sheet is whole, then openings, then outlines: small parts before those of
another class of size, and before much larger neighbours whatever their class.
"""

from collections.abc import Sequence
from itertools import groupby
from math import floor, log

import numpy as np

from cncpanel.geometry.point import Point
from cncpanel.sequence.chain import OPENING, OUTLINE, SCREW, SKIN, Chain
from cncpanel.sequence.entering import enter
from cncpanel.sequence.shorten import shortened
from cncpanel.sequence.weaker import sizes, weaker_first

TURNS = 3  # times that order and doors are chosen by turns
LARGER = 4.0  # times the area: how far a class of sizes reaches; within one it goes by neighbours and short ways

Key = tuple[int, int, float]


def linked(work: list[Chain], before: Sequence[int], members: Sequence[int], at: Point) -> list[int]:
    """The members in cutting order from `at`: by stage, speed and (outlines) size, then by short ways.

    Chains with doors are changed in `work` to the door that is taken.
    """
    keys, before = _keys(work, members), weaker_first(work, before, members)
    order = _nearest(work, before, members, keys, at)
    better: list[int] = []
    for _, block in groupby(order, key=keys.__getitem__):
        better += _shortest(work, before, list(block), at)
        at = work[better[-1]].end
    return better


def _shortest(work: list[Chain], before: Sequence[int], block: list[int], at: Point) -> list[int]:
    """Order and doors by turns: the shortest way that came of it."""
    order = shortened(work, before, block, at)
    if not any(work[i].doors for i in block):
        return order
    for _ in range(TURNS):
        enter(work, order, at)
        order = shortened(work, before, order, at)
    enter(work, order, at)
    return order


def nearest(work: Sequence[Chain], before: Sequence[int], members: Sequence[int], at: Point) -> list[int]:
    """The members in cutting order, each time the nearest of those that may come next."""
    return _nearest(work, weaker_first(work, before, members), members, _keys(work, members), at)


def _keys(work: Sequence[Chain], members: Sequence[int]) -> dict[int, Key]:
    """Whole sheet, openings, outlines; for outlines the part's size: small parts come free first; then speed."""
    size = sizes(work)
    return {i: _key(work[i], size) for i in members}


def _key(chain: Chain, size: dict[str, float]) -> Key:
    if chain.stage == SCREW:
        return -1, 0, chain.rpm
    if chain.stage < OUTLINE:
        return int(chain.stage == OPENING), 0, chain.rpm
    later = 3 if chain.stage == SKIN else 2
    return later, floor(log(max(size.get(chain.part, 0.0), 1.0), LARGER)), chain.rpm


def _nearest(
    work: Sequence[Chain], before: Sequence[int], members: Sequence[int], keys: dict[int, Key], at: Point
) -> list[int]:
    starts = np.array([work[i].start for i in members])
    ranks = {key: rank for rank, key in enumerate(sorted(set(keys.values())))}
    rank = np.array([ranks[keys[i]] for i in members])
    open_work = sum(1 << i for i in members)
    left = np.ones(len(members), dtype=bool)
    order: list[int] = []
    while left.any():
        free = left & np.array([not before[i] & open_work for i in members])
        first = free & (rank == rank[free].min())
        ways = np.hypot(*(starts - at).T)
        chosen = int(np.argmin(np.where(first, ways, np.inf)))
        left[chosen] = False
        open_work &= ~(1 << members[chosen])
        order.append(members[chosen])
        at = work[order[-1]].end
    return order
