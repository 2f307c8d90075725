"""A shorter way through a row of chains: stretches turned round (2-opt) or moved elsewhere (or-opt), then shaken.

Each chain keeps its own direction, so a way from one to the next is as long as from the end of the one to the start of
the other. What must come before what is kept. Rounds and shakes are fixed numbers and chance is seeded, so equal work
gives an equal order. 2-opt: Croes 1958; or-opt: Or 1976; shaking as in iterated local search (all from memory).
"""

import random
from collections.abc import Iterable, Iterator, Sequence

import numpy as np
import numpy.typing as npt

from cncpanel.geometry.point import Point
from cncpanel.sequence.chain import Chain

ROUNDS = 6
WINDOW = 100  # chains; how far a stretch is turned or moved, so that a grille of thousands stays quick
LONGEST = 3  # chains that are moved together
SHAKES = 60  # times that the row is shaken
SHAKEN = 30  # chains in each of the stretches that are exchanged, at most
NEAR = 1  # places on both sides of where the shaking cut the row that are settled again
LARGEST_SHAKEN = 400  # chains; a longer row is shortened once and left
LARGEST_TABLE = 2500  # chains; the ways between more are reckoned when they are asked for
LEAST_GAIN = 1e-6  # mm; below this the order is left alone

Ways = npt.NDArray[np.float64]


def shortened(work: Sequence[Chain], before: Sequence[int], block: Sequence[int], at: Point) -> list[int]:
    """The block's chains in an order with a shorter way from `at`, what must come first kept first."""
    row = _Row(work, before, block, at)
    order = row.settled(list(range(len(block))))
    if len(block) <= LARGEST_SHAKEN:
        order = row.shaken(order)
    return [block[i] for i in order]


class _Row:
    """A block's ways and what must come before what, by number in the block."""

    def __init__(self, work: Sequence[Chain], before: Sequence[int], block: Sequence[int], at: Point) -> None:
        starts = np.array([work[i].start for i in block]).reshape(len(block), 2)
        ends = np.array([*(work[i].end for i in block), at]).reshape(len(block) + 1, 2)
        self._starts, self._ends = starts, ends
        self._table = self._all_ways() if len(block) <= LARGEST_TABLE else None
        number = {index: n for n, index in enumerate(block)}
        self._before = [sum(1 << number[i] for i in block if before[index] >> i & 1) for index in block]
        self._any_order = not any(self._before)

    def _all_ways(self) -> Ways:
        apart = self._ends[:, None, :] - self._starts[None, :, :]
        found: Ways = np.hypot(apart[..., 0], apart[..., 1])
        return found

    def _way(self, ends: Sequence[int] | npt.NDArray[np.intp], starts: Sequence[int] | npt.NDArray[np.intp]) -> Ways:
        """How far it is from the end of each to the start of each; -1 is where the block is entered."""
        if self._table is not None:
            ways: Ways = self._table[ends, starts]
            return ways
        found: Ways = np.hypot(*(self._ends[ends] - self._starts[starts]).T)
        return found

    def length(self, order: Sequence[int]) -> float:
        """The whole way."""
        return float(self._way([-1, *order[:-1]], list(order)).sum())

    def settled(self, order: list[int], places: Iterable[int] | None = None) -> list[int]:
        """Turned and moved at the places (absent: everywhere), then where that cut the row, ROUNDS times at most."""
        near = range(len(order)) if places is None else _about(places)
        for _ in range(ROUNDS):
            cuts = [cut for first in near for cut in self._settle(order, first)]
            if not cuts:
                break
            near = _about(cuts)
        return order

    def _settle(self, order: list[int], first: int) -> Iterator[int]:
        """The best that a turn and moves from `first` do; where they cut the row."""
        yield from self._turn(order, first)
        for size in range(1, LONGEST + 1):
            yield from self._move(order, first, size)

    def shaken(self, order: list[int]) -> list[int]:
        """The best of SHAKES further tries, each the best so far shaken by chance and settled about the cuts."""
        chance = random.Random(len(order))
        best = self.length(order)
        for _ in range(SHAKES if len(order) > LONGEST else 0):
            tried, cuts = self._shake(order, chance)
            self.settled(tried, cuts)
            if self.length(tried) < best - LEAST_GAIN:
                order, best = tried, self.length(tried)
        return order

    def _shake(self, order: Sequence[int], chance: random.Random) -> tuple[list[int], tuple[int, ...]]:
        """Two neighbouring stretches exchanged, where what must come first allows it, and where that cut the row."""
        a = chance.randrange(len(order) - 1)
        b = a + chance.randint(1, min(SHAKEN, len(order) - a - 1))
        c = b + chance.randint(1, min(SHAKEN, len(order) - b))
        earlier, later = order[a:b], order[b:c]
        if any(self._before[i] & _bits(earlier) for i in later):
            return list(order), ()
        return [*order[:a], *later, *earlier, *order[c:]], (a, a + c - b, c)

    def _turn(self, order: list[int], first: int) -> tuple[int, ...]:
        """Turn round the stretch from `first` whose turning gains most."""
        if not 0 <= first < len(order) - 1:
            return ()
        last = first + self._free_after(order, first)
        if last <= first:
            return ()
        stretch = np.array(order[first : last + 1])
        onward = np.cumsum(self._way(stretch[:-1], stretch[1:]))
        back = np.cumsum(self._way(stretch[1:], stretch[:-1]))
        came_from = order[first - 1] if first else -1
        change = back - onward + self._way(np.full(len(stretch) - 1, came_from), stretch[1:])
        change -= self._way([came_from], [order[first]])
        following = np.array(order[first + 2 : last + 2], dtype=np.intp)
        known = len(following)  # one less where the stretch reaches the end
        change[:known] += self._way(np.full(known, order[first]), following) - self._way(stretch[1:][:known], following)
        best = int(np.argmin(change))
        if change[best] >= -LEAST_GAIN:
            return ()
        end = first + best + 2
        order[first:end] = reversed(order[first:end])
        return first, end

    def _free_after(self, order: Sequence[int], first: int) -> int:
        """How many of the chains after `first` stand in no order to those between, it among them."""
        if self._any_order:
            return min(WINDOW, len(order) - first) - 1
        seen, count = 1 << order[first], 0
        for index in order[first + 1 : first + WINDOW]:
            if self._before[index] & seen:
                break
            seen |= 1 << index
            count += 1
        return count

    def _move(self, order: list[int], first: int, size: int) -> tuple[int, ...]:
        """Put the stretch of `size` chains from `first` where it lies best."""
        if not 0 <= first <= len(order) - size:
            return ()
        stop = first + size
        moved = order[first:stop]
        low, high = self._room(order, first, stop, moved)
        rest = [-1, *order[:first], *order[stop:]]
        gaps = np.arange(low, high + 1)  # the stretch goes after rest[gap]
        if len(gaps) < 2:
            return ()
        change = self._cost(rest, gaps, moved)
        best = int(np.argmin(change))
        if change[best] >= change[first - low] - LEAST_GAIN:
            return ()
        goal = low + best
        rest[goal + 1 : goal + 1] = moved
        order[:] = rest[1:]
        return first, stop, goal, goal + size

    def _room(self, order: Sequence[int], first: int, stop: int, moved: Sequence[int]) -> tuple[int, int]:
        """Between which gaps of the rest the stretch may go."""
        if self._any_order:
            return max(0, first - WINDOW), min(len(order), stop + WINDOW) - len(moved)
        bits, needed = _bits(moved), 0
        for index in moved:
            needed |= self._before[index]
        low = first
        while low > max(0, first - WINDOW) and not needed >> order[low - 1] & 1:
            low -= 1
        high = stop
        while high < min(len(order), stop + WINDOW) and not self._before[order[high]] & bits:
            high += 1
        return low, high - len(moved)

    def _cost(self, rest: Sequence[int], gaps: npt.NDArray[np.intp], moved: Sequence[int]) -> Ways:
        row = np.array(rest)
        before = row[gaps]
        cost = self._way(before, np.full(len(gaps), moved[0]))
        inner = gaps[gaps + 1 < len(row)]
        after = row[inner + 1]
        cost[: len(inner)] += self._way(np.full(len(inner), moved[-1]), after)
        cost[: len(inner)] -= self._way(before[: len(inner)], after)
        return cost


def _about(cuts: Iterable[int]) -> list[int]:
    return sorted({cut + i for cut in cuts for i in range(-NEAR, NEAR + 1)})


def _bits(chains: Sequence[int]) -> int:
    return sum(1 << i for i in chains)
