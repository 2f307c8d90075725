"""Words beside a full-size drawing's lines: of the places that would do, those that cross no line are tried first."""

from collections.abc import Iterable, Sequence
from functools import lru_cache
from itertools import pairwise
from math import ceil

from cncpanel.drawing.page import Line, meet
from cncpanel.drawing.words import Wish, label_box
from cncpanel.geometry.contour import joined_bounds
from cncpanel.geometry.segment import Bounds, Segment

Boxed = tuple[Bounds, Segment]
PIECE = 2.0  # mm; an arc or a slanting line is tried in boxes of this length


def clear_first(wishes: Iterable[Wish], lines: Iterable[Line]) -> tuple[Wish, ...]:
    """The wishes, each with its places clear of all lines first, those beyond the lines' box last."""
    segments = boxed(lines)
    whole = joined_bounds(bounds for bounds, _ in segments)
    return tuple(_sorted(wish, segments, whole) for wish in wishes)


def boxed(lines: Iterable[Line]) -> list[Boxed]:
    """All segments of the lines with their boxes."""
    return [(segment.bounds, segment) for line in lines for segment in line.shape.segments]


def meeting(box: Bounds, segments: Iterable[Boxed]) -> list[Boxed]:
    """Those whose boxes meet a box."""
    left, low, right, high = box
    return [
        (bounds, segment)
        for bounds, segment in segments
        if bounds[0] <= right and left <= bounds[2] and bounds[1] <= high and low <= bounds[3]
    ]


def crossed(box: Bounds, segments: Iterable[Boxed]) -> bool:
    """Whether one of the segments goes through the box."""
    return any(_crosses(box, bounds, segment) for bounds, segment in segments)


def _sorted(wish: Wish, segments: Sequence[Boxed], whole: Bounds) -> Wish:
    boxes = [label_box(place) for place in wish.places]
    around = joined_bounds(boxes)
    near = meeting(around, segments)
    crossing = [crossed(box, near) for box in boxes]
    beyond = [joined_bounds([whole, box]) != whole for box in boxes]
    order = sorted(range(len(boxes)), key=lambda number: (beyond[number], crossing[number]))
    alike = sum(not (beyond[number] or crossing[number]) for number in order)
    return Wish(tuple(wish.places[number] for number in order), needed=wish.needed, alike=alike)


def _crosses(box: Bounds, bounds: Bounds, segment: Segment) -> bool:
    if not meet(box, bounds):
        return False
    if not segment.is_arc and (bounds[0] == bounds[2] or bounds[1] == bounds[3]):
        return True
    return any(meet(box, piece) for piece in _pieces(segment))


@lru_cache(maxsize=512)  # many places are tried beside one line; the next panel has others
def _pieces(segment: Segment) -> tuple[Bounds, ...]:
    count = ceil(segment.length / PIECE)
    points = [segment.point_at(number / count) for number in range(count + 1)]
    return tuple((min(x, x2), min(y, y2), max(x, x2), max(y, y2)) for (x, y), (x2, y2) in pairwise(points))
