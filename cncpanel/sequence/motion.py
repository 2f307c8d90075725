"""How long a move takes: even acceleration, corners as fast as a small deviation allows, looking ahead.

Speeds mm/s, accelerations mm/s2, lengths mm. The trapezoid is textbook kinematics; the corner rule fits a
circle tangent to both moves that passes the corner at `deviation` (geometry of Kunz and Stilman, RSS VIII
2012).
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import sqrt

Direction = tuple[float, float, float]
STRAIGHT = 1e-9  # of 1; a corner flatter than this limits nothing


@dataclass(frozen=True, slots=True, kw_only=True)
class Motion:
    """One move: length, top speed, acceleration, and the unit directions in which it begins and ends."""

    length: float
    speed: float
    acceleration: float
    begins: Direction
    ends: Direction


def move_time(length: float, speed: float, acceleration: float, entry: float = 0.0, leave: float = 0.0) -> float:
    """Seconds for one move that enters and leaves at these speeds and may reach `speed` between."""
    peak = sqrt((2 * acceleration * length + entry**2 + leave**2) / 2)
    top = max(min(peak, speed), entry, leave)
    ramps = (2 * top**2 - entry**2 - leave**2) / (2 * acceleration)
    cruise = max(length - ramps, 0.0) / top if top else 0.0
    return (2 * top - entry - leave) / acceleration + cruise


def corner_speed(ends: Direction, begins: Direction, acceleration: float, deviation: float) -> float:
    """The fastest way round a corner without leaving it by more than `deviation`; 0 for a full reversal."""
    cosine = -sum(a * b for a, b in zip(ends, begins, strict=True))
    half_sine = sqrt(max((1 - cosine) / 2, 0.0))
    if half_sine > 1 - STRAIGHT:
        return float("inf")
    return sqrt(acceleration * deviation * half_sine / (1 - half_sine))


def times(moves: Sequence[Motion], deviation: float) -> list[float]:
    """Seconds for each of moves that follow without a stop; the first starts and the last ends at rest."""
    speeds = [0.0, *(_joint(a, b, deviation) for a, b in pairwise(moves)), 0.0]
    for index in range(len(moves) - 1, -1, -1):
        speeds[index] = min(speeds[index], _reached(speeds[index + 1], moves[index]))
    for index, move in enumerate(moves):
        speeds[index + 1] = min(speeds[index + 1], _reached(speeds[index], move))
    return [
        move_time(move.length, move.speed, move.acceleration, *speeds[index : index + 2])
        for index, move in enumerate(moves)
    ]


def _joint(one: Motion, other: Motion, deviation: float) -> float:
    acceleration = min(one.acceleration, other.acceleration)
    corner = corner_speed(one.ends, other.begins, acceleration, deviation)
    return min(one.speed, other.speed, corner)


def _reached(speed: float, move: Motion) -> float:
    return sqrt(speed**2 + 2 * move.acceleration * move.length)
