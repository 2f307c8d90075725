"""Loops that are lines there and back: the path of a tool in a groove hardly wider than itself."""

from collections.abc import Sequence

from cncpanel.geometry.area import strays
from cncpanel.geometry.contour import Contour, contour_of
from cncpanel.geometry.ring import Ring
from cncpanel.geometry.segment import Segment


def one_line(ring: Ring, width: float) -> list[Segment]:
    """One side of a loop that is a line there and back; nothing where its sides are further than `width` mm apart."""
    corners = [segment.start for segment in ring.segments]
    pairs = [(round(-a.distance(b), 6), i, j) for i, a in enumerate(corners) for j, b in enumerate(corners) if i < j]
    _, first, last = min(pairs)
    there = ring.stretch(ring.start_of(first), ring.start_of(last))
    back = ring.stretch(ring.start_of(last), ring.start_of(first) + ring.length)
    if strays([_thin(back)], [_thin(there)], width):
        return []
    return [segment for segment in there if segment.length > width]


def _thin(chain: Sequence[Segment]) -> Contour:
    """A chain there and back, so that it may be compared as a loop."""
    return contour_of([*chain, *(segment.reversed() for segment in reversed(chain))])
