"""Short ways between chains: the nearest next one, then turns of stretches that shorten the way (2-opt).

Both keep what must come before what. The number of rounds is fixed, so equal work gives an equal order.
"""

from collections.abc import Sequence
from itertools import accumulate, groupby, pairwise

import numpy as np

from cncpanel.geometry.point import Point
from cncpanel.sequence.chain import OUTLINE, Chain

ROUNDS = 6
WINDOW = 100  # chains; the longest stretch that is turned round, so that a grille of thousands stays quick
LEAST_GAIN = 1e-6  # mm; below this the order is left alone

Key = tuple[int, float, float]


def linked(work: Sequence[Chain], before: Sequence[int], members: Sequence[int], at: Point) -> list[int]:
    """The members in cutting order from `at`: by stage, speed and (outlines) size, then by short ways."""
    keys = _keys(work, members)
    order = _nearest(work, before, members, keys, at)
    better: list[int] = []
    for _, block in groupby(order, key=keys.__getitem__):
        better += _shortened(work, before, list(block), at)
        at = work[better[-1]].end
    return better


def _keys(work: Sequence[Chain], members: Sequence[int]) -> dict[int, Key]:
    """Stage, then speed, then for outlines the part's size: small parts come free of the sheet first."""
    size: dict[str, float] = {}
    for chain in work:
        if chain.stage == OUTLINE:
            left, low, right, high = chain.box
            size[chain.part] = max(size.get(chain.part, 0.0), (right - left) * (high - low))
    return {i: _key(work[i], size) for i in members}


def _key(chain: Chain, size: dict[str, float]) -> Key:
    is_outline = chain.stage == OUTLINE
    return chain.stage, round(size[chain.part], 0) if is_outline else 0.0, chain.rpm


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


def _shortened(work: Sequence[Chain], before: Sequence[int], block: list[int], at: Point) -> list[int]:
    for _ in range(ROUNDS):
        turned = _one_round(work, before, block, at)
        if turned == block:
            break
        block = turned
    return block


def _one_round(work: Sequence[Chain], before: Sequence[int], block: list[int], at: Point) -> list[int]:
    block = list(block)
    for first in range(len(block) - 1):
        last = _best_turn(work, before, block, first, at)
        if last:
            block[first : last + 1] = reversed(block[first : last + 1])
    return block


def _best_turn(work: Sequence[Chain], before: Sequence[int], block: list[int], first: int, at: Point) -> int:
    """The end of the stretch from `first` that is best turned round; 0 for none."""
    stretch = [work[i] for i in block[first : first + WINDOW]]
    onward = [0.0, *accumulate(a.end.distance(b.start) for a, b in pairwise(stretch))]
    back = [0.0, *accumulate(b.end.distance(a.start) for a, b in pairwise(stretch))]
    came_from = work[block[first - 1]].end if first else at
    best, chosen, seen = -LEAST_GAIN, 0, 1 << block[first]
    for offset in range(1, len(stretch)):
        index = block[first + offset]
        if before[index] & seen:
            break
        seen |= 1 << index
        last = first + offset
        change = back[offset] - onward[offset]
        change += came_from.distance(stretch[offset].start) - came_from.distance(stretch[0].start)
        if last + 1 < len(block):
            goes_to = work[block[last + 1]].start
            change += stretch[0].end.distance(goes_to) - stretch[offset].end.distance(goes_to)
        if change < best:
            best, chosen = change, last
    return chosen
