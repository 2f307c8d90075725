"""How wide a tool is engaged along a path: what it newly sweeps, in cells, over each tenth of its diameter of way."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import ceil, hypot

import numpy as np

CELL = 0.02  # of the limit: the cells' side over the width that is allowed
PER_STEP = 0.1  # of the diameter: the stretch of way over which a width is the mean

XY = tuple[float, float]


@dataclass(frozen=True)
class Engaged:
    """The width over one stretch of way, mm, where it ended and what was said of the stretch."""

    width: float
    at: XY
    label: object


class Wood:
    """Uncut cells of a rectangle."""

    def __init__(self, bounds: tuple[float, float, float, float], radius: float, limit: float) -> None:
        self.radius, self.cell = radius, CELL * limit
        self.x0, self.y0 = bounds[0] - radius - 1, bounds[1] - radius - 1
        size = (bounds[2] - self.x0 + radius + 1, bounds[3] - self.y0 + radius + 1)
        shape = [ceil(length / self.cell) for length in size]
        self.uncut = np.ones(shape, dtype=bool)
        self.xs = self.x0 + (np.arange(shape[0]) + 0.5) * self.cell
        self.ys = self.y0 + (np.arange(shape[1]) + 0.5) * self.cell

    def take(self, a: XY, b: XY) -> float:
        """mm2 newly taken on the straight way from a to b."""
        r = self.radius
        i0, i1 = np.searchsorted(self.xs, (min(a[0], b[0]) - r, max(a[0], b[0]) + r))
        j0, j1 = np.searchsorted(self.ys, (min(a[1], b[1]) - r, max(a[1], b[1]) + r))
        x, y = self.xs[i0:i1, None], self.ys[None, j0:j1]
        dx, dy = b[0] - a[0], b[1] - a[1]
        squared = dx * dx + dy * dy
        along = np.clip(((x - a[0]) * dx + (y - a[1]) * dy) / squared, 0, 1) if squared else np.zeros_like(x + y)
        hit = (x - a[0] - along * dx) ** 2 + (y - a[1] - along * dy) ** 2 <= r * r
        window = self.uncut[i0:i1, j0:j1]
        count = int(np.count_nonzero(window & hit))
        window &= ~hit
        return count * self.cell**2


def engaged(ways: Iterable[tuple[Sequence[XY], object]], wood: Wood) -> Iterator[Engaged]:
    """The width over every stretch of the polylines, each with its label; the tool goes straight from way to way."""
    step = PER_STEP * 2 * wood.radius
    for way, label in ways:
        taken = gone = 0.0
        for a, b in pairwise(way):
            count = max(ceil(hypot(b[0] - a[0], b[1] - a[1]) / (step / 2)), 1)
            places = [(a[0] + (b[0] - a[0]) * i / count, a[1] + (b[1] - a[1]) * i / count) for i in range(count + 1)]
            for p, q in pairwise(places):
                taken, gone = taken + wood.take(p, q), gone + hypot(q[0] - p[0], q[1] - p[1])
                if gone >= step * 0.999:
                    yield Engaged(taken / gone, q, label)
                    taken = gone = 0.0
