"""Moves as columns of numbers: what the height map's arithmetic works on, thousands at a time."""

from collections.abc import Sequence
from dataclasses import dataclass, fields
from itertools import chain
from operator import itemgetter

import numpy as np
import numpy.typing as npt

from cncpanel.proof.motion import Move, Point3
from cncpanel.proof.sweep import straightened

Floats = npt.NDArray[np.float64]
Whole = npt.NDArray[np.int64]
LEVEL = 1e-9  # mm; a move whose ends differ less in depth is level
STILL = 1e-9  # mm; a move that goes less far seen from above goes straight up or down
_PLACES = tuple(map(Move._fields.index, ("start", "end", "centre", "turn", "sweep")))
SAME_WAY = 1e5  # a mm holds so many steps within which two ways are the same: a tenth of a program's last decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class Ways:
    """One row a way: ends, depths under the sheet's top, an arc's centre, radius and signed sweep (0 for a line).

    `number` is the move's place in the order; a straightened arc has many rows with one number.
    """

    x0: Floats
    y0: Floats
    d0: Floats
    x1: Floats
    y1: Floats
    d1: Floats
    cx: Floats
    cy: Floats
    radius: Floats
    sweep: Floats
    number: Whole

    def __len__(self) -> int:
        """How many."""
        return len(self.x0)

    def chosen(self, rows: npt.NDArray[np.bool_] | npt.NDArray[np.intp] | slice) -> "Ways":
        """The rows that a mask or a list of places names."""
        return Ways(**{field.name: getattr(self, field.name)[rows] for field in fields(self)})

    @property
    def deep(self) -> Floats:
        """The greatest depth of each."""
        return np.maximum(self.d0, self.d1)

    @property
    def is_arc(self) -> npt.NDArray[np.bool_]:
        """Which turn."""
        return np.not_equal(self.sweep, 0.0)

    @property
    def is_level(self) -> npt.NDArray[np.bool_]:
        """Which keep their depth."""
        rise: Floats = np.abs(self.d1 - self.d0)
        return rise <= LEVEL

    @property
    def across(self) -> Floats:
        """The length seen from above."""
        line = np.hypot(self.x1 - self.x0, self.y1 - self.y0)
        return np.where(self.is_arc, self.radius * np.abs(self.sweep), line)


def joined(parts: Sequence[Ways]) -> Ways:
    """All rows, one after another."""
    return Ways(**{f.name: np.concatenate([getattr(part, f.name) for part in parts]) for f in fields(Ways)})


def ways_of(moves: Sequence[Move], top: float, first: int = 0) -> Ways:
    """The moves whose tip goes under program Z `top`, numbered from `first`.

    Moves from or to an unknown place are left out. A straight plunge counts as a stay at its lower end, an arc of
    a standing plane as lines along it.
    """
    number: Whole = np.arange(first, first + len(moves))
    if any(plane != "xy" for plane in {move[11] for move in moves}):
        number, moves = _straight(moves, first)
    starts, ends, centres, turns, sweeps = _columns(moves)
    (x0, y0, z0), (x1, y1, z1) = starts.T, ends.T
    arcs = np.not_equal(turns, 0)
    cx, cy = np.zeros((2, len(moves)))
    cx[arcs], cy[arcs] = _points([centre for centre in centres if centre is not None])[:, :2].T
    radius = np.where(arcs, np.hypot(x0 - cx, y0 - cy), 0.0)
    d0, d1 = top - z0, top - z1
    still = (np.hypot(x1 - x0, y1 - y0) < STILL) & ~arcs
    deep = np.maximum(d0, d1)
    d0, d1 = np.where(still, deep, d0), np.where(still, deep, d1)
    x1, y1 = np.where(still, x0, x1), np.where(still, y0, y1)
    sweep = turns * sweeps
    ways = Ways(x0=x0, y0=y0, d0=d0, x1=x1, y1=y1, d1=d1, cx=cx, cy=cy, radius=radius, sweep=sweep, number=number)
    return ways.chosen((deep > 0) & np.isfinite(starts.sum(axis=1) + ends.sum(axis=1)))


def _columns(moves: Sequence[Move]) -> tuple[Floats, Floats, list[Point3 | None], Floats, Floats]:
    """Starts, ends, centres, turns and sweeps."""
    starts, ends, centres, turns, sweeps = (list(map(itemgetter(place), moves)) for place in _PLACES)
    return (
        _points(starts),
        _points(ends),
        centres,
        np.array(turns, dtype=np.float64),
        np.array(sweeps, dtype=np.float64),
    )


def _points(places: Sequence[Point3]) -> Floats:
    return np.fromiter(chain.from_iterable(places), np.float64, 3 * len(places)).reshape(-1, 3)


def _straight(moves: Sequence[Move], first: int) -> tuple[Whole, list[Move]]:
    """With the arcs of standing planes as lines, and the number of each move's own."""
    found = [(number, piece) for number, move in enumerate(moves, first) for piece in straightened(move)]
    return np.array([number for number, _ in found], dtype=np.int64), [piece for _, piece in found]


def distinct(ways: Ways) -> Ways:
    """Without those that another covers as deep: the same way, either way round, with a level pass below.

    For tools of one radius whose ends are flat: what they leave is the same.
    """
    if not len(ways):
        return ways
    key = _keys(ways)
    mark = key @ _MULTIPLIERS
    order = np.lexsort((-np.where(ways.is_level, ways.deep, -1.0), mark))
    key, sorted_ways = key[order], ways.chosen(order)
    begins = np.ones(len(order), dtype=np.bool_)
    begins[1:] = (key[1:] != key[:-1]).any(axis=1)
    leader = np.maximum.accumulate(np.where(begins, np.arange(len(order)), 0))
    is_level, deep = sorted_ways.is_level, sorted_ways.deep
    covered = ~begins & is_level[leader] & (deep <= deep[leader])
    kept = sorted_ways.chosen(~covered)
    return kept.chosen(np.argsort(kept.number, kind="stable"))


_MULTIPLIERS = np.array([0x9E3779B1, 0x85EBCA77, 0xC2B2AE3D, 0x27D4EB2F, 0x165667B1, 0xD3A2646D, 0xFD7046C5])


def _keys(ways: Ways) -> Whole:
    """Equal rows for ways that look the same from above; a turned one is turned back."""
    one = np.round(np.stack((ways.x0, ways.y0)) * SAME_WAY).astype(np.int64)
    other = np.round(np.stack((ways.x1, ways.y1)) * SAME_WAY).astype(np.int64)
    swap = (one[0] > other[0]) | ((one[0] == other[0]) & (one[1] > other[1]))
    low, high = np.where(swap, other, one), np.where(swap, one, other)
    centre = np.round(np.stack((ways.cx, ways.cy)) * SAME_WAY).astype(np.int64)
    turned = np.where(swap, -ways.sweep, ways.sweep)
    turn = np.round(turned * 1e6).astype(np.int64)
    return np.column_stack((*low, *high, *centre, turn))
