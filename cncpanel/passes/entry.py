"""How a flat tool gets into material: down a slope along its own path, or round a small circle."""

from collections.abc import Sequence
from math import ceil, pi, radians, tan

from cncpanel.geometry.point import Point
from cncpanel.geometry.ring import Ring
from cncpanel.geometry.segment import Segment
from cncpanel.passes.trail import Trail

OVER_TOP = 0.3  # mm over the sheet's nominal top where a slope begins: touch-off and thickness are out by less


def slope_length(drop: float, ramp_deg: float) -> float:
    """How far a slope of that angle goes to come down by `drop` mm."""
    return drop / tan(radians(ramp_deg))


def ramp_round(trail: Trail, ring: Ring, s: float, z: float, ramp_deg: float, feed: float) -> float:
    """Down to `z` along the ring from the place `s`, round it more than once if need be; where that ends."""
    length = slope_length(trail.z - z, ramp_deg)
    if length <= 0:
        return s
    trail.along(ring.stretch(s, s + length), feed, z)
    return s + length


def descent(length: float, depths: Sequence[float], ramp_deg: float) -> list[tuple[float, float]]:
    """For each depth how far a loop of that length goes down a slope, and then flat.

    A slope lies over the one before it, so that it is as deep a cut as the rounds are; only the last is passed again.
    """
    found: list[tuple[float, float]] = []
    height = OVER_TOP
    for depth in depths:
        sloped, within = slope_length(height + depth, ramp_deg), slope_length(min(height, 0.0) + depth, ramp_deg)
        again = depth == depths[-1] or within >= length
        found.append((sloped, length if again else length - within))
        height = -depth
    return found


def rounds_down(
    trail: Trail, ring: Ring, s: float, depths: Sequence[float], ramp_deg: float, feeds: tuple[float, float]
) -> float:
    """Round a loop at every depth from the place `s`; `feeds`: down slopes and flat. Returns where it ends."""
    for depth, (sloped, flat) in zip(depths, descent(ring.length, depths, ramp_deg), strict=True):
        trail.along(ring.stretch(s, s + sloped), feeds[0], -depth)
        trail.along(ring.stretch(s + sloped, s + sloped + flat), feeds[1])
        s += sloped + flat
    return s


def zigzag(trail: Trail, chain: Sequence[Segment], z: float, ramp_deg: float, feed: float) -> None:
    """Down to `z` to and fro along the chain; ends where it began. The chain must have a length."""
    room = sum(segment.length for segment in chain)
    pairs = max(ceil(slope_length(trail.z - z, ramp_deg) / (2 * room) - 1e-9), 1)
    leg = slope_length(trail.z - z, ramp_deg) / (2 * pairs)
    there = cut_to(chain, leg)
    back = [segment.reversed() for segment in reversed(there)]
    drop = (trail.z - z) / (2 * pairs)
    for turn in range(pairs):
        trail.along(there, feed, trail.z - drop)
        trail.along(back, feed, z if turn == pairs - 1 else trail.z - drop)


def cut_to(chain: Sequence[Segment], length: float) -> list[Segment]:
    """The first `length` mm of the chain."""
    found: list[Segment] = []
    for segment in chain:
        if segment.length >= length - 1e-9:
            return [*found, segment.part(0.0, min(length / segment.length, 1.0))]
        found.append(segment)
        length -= segment.length
    return found


def helix(trail: Trail, centre: Point, z: float, ramp_deg: float, feed: float, *, clockwise: bool) -> None:
    """Down to `z` in whole turns about `centre`, from where the tool is, even pitch."""
    turn = circle_from(trail.point, centre, clockwise=clockwise)
    round_length = 2 * pi * trail.point.distance(centre)
    turns = ceil(slope_length(trail.z - z, ramp_deg) / round_length - 1e-9)
    if turns > 0:
        trail.along(list(turn) * turns, feed, z)


def circle_from(start: Point, centre: Point, *, clockwise: bool) -> tuple[Segment, Segment]:
    """Once round `centre`, beginning and ending at `start`, in two halves."""
    across = centre.plus(centre.minus(start))
    bulge = -1.0 if clockwise else 1.0
    return Segment(start, across, bulge), Segment(across, start, bulge)
