"""Loops that are lines there and back: the path of a tool in a groove hardly wider than itself."""

from collections.abc import Sequence

from cncpanel.geometry.area import strays
from cncpanel.geometry.contour import Contour, contour_of
from cncpanel.geometry.point import Point
from cncpanel.geometry.ring import SHORT, Ring
from cncpanel.geometry.segment import Segment

AHEAD = 0.8  # cosine


def one_line(ring: Ring, width: float) -> Sequence[Segment]:
    """One side of a loop that is a line there and back; nothing where its sides are further than `width` mm apart."""
    corners = [segment.start for segment in ring.segments]
    pairs = [(round(-a.distance(b), 6), i, j) for i, a in enumerate(corners) for j, b in enumerate(corners) if i < j]
    _, first, last = min(pairs)
    there = ring.stretch(ring.start_of(first), ring.start_of(last))
    back = ring.stretch(ring.start_of(last), ring.start_of(first) + ring.length)
    if strays([_thin(back)], [_thin(there)], width):
        return []
    line = _without_start(_without_start(there, width)[::-1], width)[::-1]
    return _to_tips(line, there[0].start, there[-1].end) if line else []


def _to_tips(line: Sequence[Segment], first: Point, last: Point) -> Sequence[Segment]:
    """The line on to the loop's own ends where those lie ahead of it: a loop that tapers ends in short segments."""
    begin, end = line[0].start.minus(first), last.minus(line[-1].end)
    before = [Segment(first, line[0].start)] if begin.norm > SHORT and _is_ahead(begin, line[0].start_direction) else []
    after = [Segment(line[-1].end, last)] if end.norm > SHORT and _is_ahead(end, line[-1].end_direction) else []
    return [*before, *line, *after]


def _is_ahead(way: Point, direction: Point) -> bool:
    return way.unit.dot(direction) > AHEAD


def _without_start(chain: Sequence[Segment], width: float) -> Sequence[Segment]:
    """The chain without its first segments that are no longer than `width` together."""
    gone = 0.0
    for number, segment in enumerate(chain):
        gone += segment.length
        if gone > width:
            return chain[number:]
    return []


def _thin(chain: Sequence[Segment]) -> Contour:
    """A chain there and back, so that it may be compared as a loop."""
    return contour_of([*chain, *(segment.reversed() for segment in reversed(chain))])
