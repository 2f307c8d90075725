"""How a tool moves out from what is cleared onto a loop beside it: over some length, never straight out."""

from collections.abc import Iterator, Sequence
from math import ceil

from cncpanel.geometry.cleared import Cleared
from cncpanel.geometry.point import Point
from cncpanel.geometry.ring import SHORT, Ring
from cncpanel.geometry.segment import Segment
from cncpanel.geometry.shape import arc_through
from cncpanel.passes.bends import turn_of
from cncpanel.passes.lead import touching

PLACES = 8  # that such a way leads by beside an arc, at least
TURN = 0.2  # radians that it turns from place to place, at most
SMOOTH = 1.0  # radians; where it turns more by one place, that is a corner


def onto(ring: Ring, s: float, goal: float, cleared: Cleared) -> list[Segment]:
    """From beside `s` of the ring to `goal` (mm along it): an arc beside a line, else a spiral, ever farther out."""
    along = ring.stretch(s, goal)
    if len(along) == 1 and not along[0].is_arc:
        back = touching(ring.point(goal), ring.direction(goal).times(-1.0), cleared.nearest(ring.point(s)))
        return [one.reversed() for one in reversed(back)]
    return spiral(ring, s, goal, cleared)


def spiral(ring: Ring, s: float, goal: float, cleared: Cleared) -> list[Segment]:
    """The same by arcs through places that follow the ring however far it turns.

    Lines would head out of its bends, and a tool that heads out cuts wider.
    """
    turn = sum(abs(segment.sweep) for segment in ring.stretch(s, goal))
    count = max(PLACES, 2 * ceil(turn / TURN / 2))
    places = [cleared.nearest(ring.point(s))]
    for number in range(1, count + 1):
        share = number / count
        rim = ring.point(s + (goal - s) * share)
        inner = cleared.nearest(rim)
        place = inner.plus(rim.minus(inner).times(share))
        if place.distance(places[-1]) > SHORT:
            places.append(place)
    return list(_through(places))


def _through(places: Sequence[Point]) -> Iterator[Segment]:
    """Arcs, each by way of a place between its ends; lines where the way has a corner, and to a last place alone."""
    for a, b, c in zip(places[:-2:2], places[1:-1:2], places[2::2], strict=True):
        there, on = Segment(a, b), Segment(b, c)
        if abs(turn_of(there, on)) > SMOOTH:
            yield from (there, on)
        else:
            yield arc_through(a, b, c)
    if len(places) % 2 == 0:
        yield Segment(places[-2], places[-1])
