"""What the axes allow on each move: its top speed, its acceleration, and the directions in which it begins and ends."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from cncpanel.machine.model import Motion
from cncpanel.proof.lookahead import Floats
from cncpanel.proof.motion import Move

MINUTE = 60.0
_PLANES = {"xy": (0, 1, 2), "xz": (2, 0, 1), "yz": (1, 2, 0)}
LEAST_SHARE = 1e-12  # of 1; an axis that moves less than this limits nothing


@dataclass(frozen=True, slots=True, kw_only=True)
class Limits:
    """A row a move; lengths mm, speeds mm/s, accelerations mm/s2; `known` is False where a place is not known."""

    length: Floats
    speed: Floats
    acceleration: Floats
    begins: Floats
    ends: Floats
    rapid: npt.NDArray[np.bool_]
    known: npt.NDArray[np.bool_]


def limits_of(moves: Sequence[Move], motion: Motion) -> Limits:
    """Of every move; one without length, or from an unknown place, has length 0."""
    start, end = (np.array([move[side] for move in moves]).reshape(-1, 3) for side in (2, 3))
    known = np.isfinite(start).all(axis=1) & np.isfinite(end).all(axis=1)
    step = np.where(known[:, None], end - start, 0.0)
    length = np.sqrt((step * step).sum(axis=1))
    safe = np.where(length > 0, length, 1.0)[:, None]
    begins = step / safe
    ends, share = begins.copy(), np.abs(begins)
    radius = np.full(len(moves), np.inf)
    for plane, axes in _PLANES.items():
        rows = np.array([i for i, move in enumerate(moves) if move[8] is not None and move[11] == plane], dtype=np.intp)
        rows = rows[known[rows]]
        if len(rows):
            _turn([moves[i] for i in rows], rows, axes, (length, begins, ends, share, radius))
    rapid = np.array([move[1] == "rapid" for move in moves], dtype=np.bool_)
    feed = np.array([move[4] for move in moves], dtype=np.float64) / MINUTE
    speed = np.where(rapid, np.inf, np.where(feed > 0, feed, np.inf))
    tops = np.where(
        rapid[:, None],
        (motion.rapid_xy, motion.rapid_xy, motion.rapid_z),
        (motion.feed_xy_max, motion.feed_xy_max, motion.feed_z_max),
    )
    accelerations = np.array((motion.acceleration_xy, motion.acceleration_xy, motion.acceleration_z))
    part = np.maximum(share, LEAST_SHARE)
    acceleration = (accelerations / part).min(axis=1)
    speed = np.minimum(speed, (tops / MINUTE / part).min(axis=1))
    speed = np.minimum(speed, np.sqrt(acceleration * radius))
    return Limits(
        length=length, speed=speed, acceleration=acceleration, begins=begins, ends=ends, rapid=rapid, known=known
    )


def _turn(
    arcs: Sequence[Move], rows: npt.NDArray[np.intp], axes: tuple[int, int, int], out: tuple[Floats, ...]
) -> None:
    """Fill in the arcs of one plane: the worst direction on an arc is along an axis of its plane."""
    length, begins, ends, share, radius = out
    first, second, normal = axes
    start, centre, end = (np.array([move[side] for move in arcs]) for side in (2, 8, 3))
    turn, sweep = (np.array([move[side] for move in arcs], dtype=np.float64) for side in (9, 10))
    u, v = start[:, first] - centre[:, first], start[:, second] - centre[:, second]
    reach = np.hypot(u, v)
    way = reach * sweep
    rise = end[:, normal] - start[:, normal]
    whole = np.maximum(np.hypot(way, rise), 1e-300)
    level, steep = way / whole, rise / whole
    cos, sin = np.cos(turn * sweep), np.sin(turn * sweep)
    safe = np.where(reach > 0, reach, 1.0)
    for rows_of, x, y in ((begins, u, v), (ends, u * cos - v * sin, u * sin + v * cos)):
        rows_of[rows, first] = -turn * y / safe * level
        rows_of[rows, second] = turn * x / safe * level
        rows_of[rows, normal] = steep
    share[rows, first] = share[rows, second] = level
    share[rows, normal] = np.abs(steep)
    length[rows] = np.hypot(way, rise)
    radius[rows] = np.where(reach > 0, reach / np.maximum(level * level, LEAST_SHARE), np.inf)
