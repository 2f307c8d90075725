"""Arcs in a plane from their words, by the rules of NISTIR 6556 section 3.5.3, sharing no other arc code.

Coordinates are the plane's first and second axis, mm. Turn is +1 counter-clockwise, -1 clockwise.
"""

from dataclasses import dataclass
from math import atan2, hypot, pi, sqrt

RADIUS_MATCH = 0.002  # mm; start and end radius may differ by this much (section 3.5.3.2)
RADIUS_MATCH_INCH = 0.0002 * 25.4  # mm; the same in an inch program
TINY = 1e-12  # of the radius; a half chord this little too long still makes a half circle

Pair = tuple[float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class Arc:
    """A centre and a sweep (radians, 0 to a full turn); `mismatch` is end radius less start radius."""

    centre: Pair
    radius: float
    sweep: float
    mismatch: float = 0.0


@dataclass(frozen=True, slots=True)
class Wrong:
    """Why the words make no arc; `word` is the letter of the one that is to blame, where it is one."""

    kind: str
    text: str
    measure: float | None = None
    limit: float | None = None
    word: str = ""


def swept(start: Pair, end: Pair, centre: Pair, turn: int) -> float:
    """How far it turns from start to end; a full turn where both are one point."""
    if start == end:
        return 2 * pi
    first = atan2(start[1] - centre[1], start[0] - centre[0])
    last = atan2(end[1] - centre[1], end[0] - centre[0])
    angle = turn * (last - first)
    while angle <= 0:
        angle += 2 * pi
    return angle


def by_centre(start: Pair, end: Pair, offset: Pair, turn: int, tolerance: float = RADIUS_MATCH) -> Arc | Wrong:
    """The arc round `start` + `offset`."""
    centre = start[0] + offset[0], start[1] + offset[1]
    first = hypot(*offset)
    last = hypot(end[0] - centre[0], end[1] - centre[1])
    if first == 0 or last == 0:
        return Wrong("arc-zero-radius", "an arc of no radius")
    if abs(last - first) > tolerance:
        text = f"the radius to the arc's end is {last:.4f}, to its start {first:.4f}"
        return Wrong("arc-radius", text, abs(last - first), tolerance)
    return Arc(centre=centre, radius=first, sweep=swept(start, end, centre, turn), mismatch=last - first)


def by_radius(start: Pair, end: Pair, radius: float, turn: int) -> Arc | Wrong:
    """The arc of |radius|: up to half a turn where it is positive, more where negative."""
    if start == end:
        return Wrong("arc-same-point", "an arc by radius ends where it starts")
    dx, dy = end[0] - start[0], end[1] - start[1]
    half = hypot(dx, dy) / 2
    if radius == 0:
        return Wrong("arc-zero-radius", "an arc of no radius")
    if half / abs(radius) > 1 + TINY:
        return Wrong("arc-too-small", f"radius {abs(radius):g} does not reach the end", abs(radius), half, "r")
    height = 0.0 if half / abs(radius) > 1 - TINY else sqrt(radius * radius - half * half)
    side = turn if radius > 0 else -turn
    scale = side * height / (2 * half)
    centre = start[0] + dx / 2 - dy * scale, start[1] + dy / 2 + dx * scale
    sweep = pi if height == 0 else swept(start, end, centre, turn)
    return Arc(centre=centre, radius=abs(radius), sweep=sweep)
