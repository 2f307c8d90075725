"""How a tool moves out from what is cleared onto a loop beside it: over some length, never straight out."""

from itertools import pairwise
from math import ceil

from cncpanel.geometry.cleared import Cleared
from cncpanel.geometry.ring import SHORT, Ring
from cncpanel.geometry.segment import Segment
from cncpanel.passes.lead import touching

LINES = 8  # of which that way is made beside an arc, at least
TURN = 0.2  # radians that it turns from line to line, at most: a tool that heads out of an arc cuts wider


def onto(ring: Ring, s: float, goal: float, cleared: Cleared) -> list[Segment]:
    """From beside `s` of the ring to `goal` (mm along it): an arc beside a line, else lines, ever farther out."""
    along = ring.stretch(s, goal)
    if len(along) == 1 and not along[0].is_arc:
        back = touching(ring.point(goal), ring.direction(goal).times(-1.0), cleared.nearest(ring.point(s)))
        return [one.reversed() for one in reversed(back)]
    return onto_by_lines(ring, s, goal, cleared)


def onto_by_lines(ring: Ring, s: float, goal: float, cleared: Cleared) -> list[Segment]:
    """The same by lines alone, which follow the ring however far it turns."""
    turn = sum(abs(segment.sweep) for segment in ring.stretch(s, goal))
    count = max(LINES, ceil(turn / TURN))
    places = [cleared.nearest(ring.point(s))]
    for number in range(1, count + 1):
        share = number / count
        rim = ring.point(s + (goal - s) * share)
        inner = cleared.nearest(rim)
        places.append(inner.plus(rim.minus(inner).times(share)))
    return [Segment(a, b) for a, b in pairwise(places) if a.distance(b) > SHORT]
