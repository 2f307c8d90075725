"""Which of two neighbours comes free first: the one that holds worse.

A small part hangs on few tabs or on little vacuum, and the strip of waste beside it goes with its neighbour's kerf: so
it is cut while what lies beside it is still one with the sheet. Common practice, no source; how many tabs a part gets
follows from its size, so its area tells both.
"""

from collections.abc import Iterable, Sequence

import numpy as np

from cncpanel.sequence.chain import OUTLINE, SKIN, Chain

MUCH = 2.0  # times the area: of nearer sizes neither holds much worse, and the shorter way decides; own choice
BESIDE = 30.0  # mm between two kerfs; a wider strip of the sheet holds by itself: own choice


def sizes(work: Iterable[Chain]) -> dict[str, float]:
    """How large each part is that an outline goes round, mm2."""
    found: dict[str, float] = {}
    for chain in work:
        if chain.stage == OUTLINE:
            found[chain.part] = max(found.get(chain.part, 0.0), chain.size)
    return found


def weaker_first(work: Sequence[Chain], before: Sequence[int], members: Sequence[int]) -> list[int]:
    """`before` with each member that frees a part after those of its neighbours that are much smaller.

    One way round only, from small to large, as parts in an opening's waste are smaller than what is round them.
    """
    found, size = list(before), sizes(work)
    for stage in (OUTLINE, SKIN):
        free = [i for i in members if work[i].stage == stage]
        boxes = np.array([work[i].box for i in free]).reshape(len(free), 4)
        areas = np.array([size.get(work[i].part, 0.0) for i in free])
        for index, box, area in zip(free, boxes, areas, strict=True):
            apart = np.maximum(boxes[:, :2] - box[2:], box[:2] - boxes[:, 2:])
            smaller = (areas * MUCH <= area) & (apart < BESIDE).all(axis=1)
            found[index] |= sum(1 << free[n] for n in np.flatnonzero(smaller))
    return found
