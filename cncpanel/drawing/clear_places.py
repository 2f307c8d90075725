"""Places for words on a drawing full of lines: clear of everything if that can be, at worst clear of other words."""

from collections.abc import Iterable, Iterator, Sequence
from itertools import pairwise
from math import ceil

from cncpanel.drawing.paper import Label, Stroke
from cncpanel.drawing.words import Wish, label_box, settle
from cncpanel.geometry.segment import Bounds

PIECE = 1.5  # mm; a slanting line is so many boxes of this size
MOST_BOXES = 4000  # a drawing with more lines keeps words clear of words only


def settled_clear(
    wishes: Iterable[Wish],
    words: Iterable[Bounds],
    lines: Sequence[Stroke],
    thin: Sequence[Stroke],
    size: tuple[float, float],
) -> tuple[Label, ...]:
    """Each wish clear of `words` and all lines; else crossing `thin` ones; else any lines; else left out.

    None leaves the picture of `size` (width, height).
    """
    taken = list(words)
    heavy, light = _boxes(lines), _boxes(thin)
    labels: list[Label] = []
    for wish in wishes:
        inside = Wish(tuple(place for place in wish.places if _is_inside(label_box(place), size)))
        if not inside.places:
            continue
        tried = (settle([inside], [*taken, *crossed]) for crossed in ([*heavy, *light], heavy, []))
        found = next((labels for labels in tried if labels), ())
        labels += found
        taken += map(label_box, found)
    return tuple(labels)


def _is_inside(box: Bounds, size: tuple[float, float]) -> bool:
    return box[0] >= 0 and box[1] >= 0 and box[2] <= size[0] and box[3] <= size[1]


def _boxes(strokes: Sequence[Stroke]) -> list[Bounds]:
    found: list[Bounds] = []
    for stroke in strokes:
        found += _stroke_boxes(stroke)
        if len(found) > MOST_BOXES:
            return []
    return found


def _stroke_boxes(stroke: Stroke) -> Iterator[Bounds]:
    points = (*stroke.points, stroke.points[0]) if stroke.closed else stroke.points
    for (x, y), (x2, y2) in pairwise(points):
        pieces = max(ceil(min(abs(x2 - x), abs(y2 - y)) / PIECE), 1)
        for i in range(pieces):
            a, b = (x + (x2 - x) * i / pieces, y + (y2 - y) * i / pieces)
            c, d = (x + (x2 - x) * (i + 1) / pieces, y + (y2 - y) * (i + 1) / pieces)
            yield min(a, c), min(b, d), max(a, c), max(b, d)
