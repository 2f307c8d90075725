"""Which door each closed pass of a row is entered by: for a given order the shortest way there is."""

from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise

import numpy as np
import numpy.typing as npt

from cncpanel.geometry.point import Point
from cncpanel.sequence.chain import Chain

SAME = 1e-6  # mm; a door must save more than this to be taken instead of the first

Ways = npt.NDArray[np.float64]


def enter(work: list[Chain], order: Sequence[int], at: Point) -> None:
    """Take in `work` the doors that make the way from `at` through the row shortest: dynamic programming."""
    places = [_places(work[i]) for i in order]
    length = np.hypot(*(places[0][0] - at).T) + _later(places[0])
    came_from: list[npt.NDArray[np.intp]] = []
    for (_, ends), here in pairwise(places):
        ways = length[:, None] + np.hypot(*(ends[:, None, :] - here[0][None, :, :]).transpose(2, 0, 1))
        best = ways.argmin(axis=0)
        came_from.append(best)
        length = ways[best, np.arange(len(best))] + _later(here)
    taken = [int(length.argmin())]
    for best in reversed(came_from):
        taken.append(int(best[taken[-1]]))
    for index, number in zip(order, reversed(taken), strict=True):
        work[index] = replace(work[index], door=number - 1 if number else None)


def _places(chain: Chain) -> tuple[Ways, Ways]:
    """Where it may begin and where it then ends, the run's own place first."""
    first = replace(chain, door=None)
    starts = np.array([first.start, *(door.start for door in chain.doors)]).reshape(-1, 2)
    ends = np.array([first.end, *(door.end for door in chain.doors)]).reshape(-1, 2)
    return starts, ends


def _later(places: tuple[Ways, Ways]) -> Ways:
    return np.where(np.arange(len(places[0])) > 0, SAME, 0.0)
