"""The bites that relieved corners ask for, from the drawn edges. The author's own coordinates, edges run either way."""

from collections.abc import Iterator, Sequence
from math import atan2, hypot, pi, sin

import shapely

from cncpanel.job.model import Relief
from cncpanel.wanted.curve import Edge, Pair, turned_area

SQUARE = (pi / 6, 5 * pi / 6)  # how far the wall turns at a corner that something square goes into


def edge_bites(edges: Sequence[Edge], relief: Relief, radius: float) -> Iterator[shapely.Geometry]:
    """A disc for each sharp inside corner of the loop between straight edges."""
    if relief == "none":
        return
    run = list(edges) if turned_area(edges) > 0 else [edge.reversed() for edge in reversed(edges)]
    for before, after in zip(run[-1:] + run[:-1], run, strict=True):
        if before.centre is None and after.centre is None:
            yield from corner_bite(before.start, before.end, after.end, relief, radius)


def corner_bite(a: Pair, corner: Pair, b: Pair, relief: Relief, radius: float) -> Iterator[shapely.Geometry]:
    """The disc at the corner of the walls a-corner-b, which has the cut on its left; none where it is not square."""
    arrive = atan2(corner[1] - a[1], corner[0] - a[0])
    leave = atan2(b[1] - corner[1], b[0] - corner[0])
    turn = (leave - arrive + pi) % (2 * pi) - pi
    if relief == "none" or not SQUARE[0] - 1e-9 <= turn <= SQUARE[1] + 1e-9:
        return
    heading = _heading(arrive + pi, leave, hypot(corner[0] - a[0], corner[1] - a[1]), _length(corner, b), relief)
    x, y = corner[0] + radius * sin(pi / 2 - heading), corner[1] + radius * sin(heading)
    yield shapely.buffer(shapely.Point(x, y), radius, quad_segs=256)


def _length(a: Pair, b: Pair) -> float:
    return hypot(b[0] - a[0], b[1] - a[1])


def _heading(back: float, onward: float, first: float, second: float, relief: Relief) -> float:
    """Where the disc's middle lies, seen from the corner."""
    if relief == "corner":
        apart = (back - onward) % (2 * pi)  # the cut lies between onward and back, counter-clockwise
        return onward + apart / 2
    longer, shorter = (back, onward) if first >= second - 1e-9 else (onward, back)
    return longer if relief == "long" else shorter
