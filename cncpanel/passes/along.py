"""The feed along a path: slower where an inside bend or corner has the tool meet more, or its teeth bite farther.

Climb cuts have the material on their right, so inside bends turn left; conventional ones the other way round.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import atan2

from cncpanel.geometry.segment import Segment
from cncpanel.tooling.chip import inside_arc_feed_factor

# Radii of the centre's path over the tool's radius, at which the feed is worked out anew; tighter ones have the last's.
BENDS = (4.0, 2.0, 1.0, 0.5, 0.25, 0.1)
CORNER = 0.2  # radians; a sharper turn is a corner
BEFORE = 0.7  # of the tool's radius before an inside corner where the wall ahead is met


@dataclass(frozen=True, slots=True)
class Bend:
    """The feed in bends whose radius is this or more, mm and mm/min."""

    radius: float
    feed: float


def bend_share(bend: float) -> float:
    """Of the feed, for the teeth at the wall to bite no farther; `bend` over the tool's radius."""
    return inside_arc_feed_factor(bend + 1.0, 1.0)


def bend_width(width: float, bend: float, tool_radius: float) -> float:
    """What a tool takes for each mm of its centre's way where it runs `width` deep into a bend's wall: geometry."""
    radius = bend * tool_radius
    return min(width * (1 + (tool_radius - width / 2) / radius), 2 * tool_radius)


def fed(
    chain: Sequence[Segment], feed: float, bends: Sequence[Bend], least: float, left: float = 1.0
) -> Iterator[tuple[Segment, float]]:
    """The segments with their feeds; `least` in the tightest bends. `left`: 1 where inside bends turn left, else -1."""
    for segment in chain:
        yield segment, _in_bend(segment, feed, bends, least, left)


def _in_bend(segment: Segment, feed: float, bends: Sequence[Bend], least: float, left: float) -> float:
    if segment.bulge * left <= 0 or not bends:
        return feed
    radius = segment.radius
    if radius > 2 * bends[0].radius:
        return feed
    return next((bend.feed for bend in bends if radius >= bend.radius * 0.999), least)


def before_corners(chain: Sequence[Segment], zone: float, left: float = 1.0) -> Iterator[tuple[Segment, bool]]:
    """The segments of a cut along a wall, cut where an inside corner comes up; whether it does. `left` as in `fed`."""
    for number, segment in enumerate(chain):
        after = chain[number + 1] if number + 1 < len(chain) else None
        if after is None or left * _turn(segment, after) < CORNER:
            yield segment, False
        elif segment.length <= zone:
            yield segment, True
        else:
            share = 1 - zone / segment.length
            yield segment.part(0.0, share), False
            yield segment.part(share, 1.0), True


def _turn(before: Segment, after: Segment) -> float:
    a, b = before.end_direction, after.start_direction
    return atan2(a.cross(b), a.dot(b))
