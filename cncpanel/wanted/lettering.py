"""A mark's strokes as lines: the job's own text, placed, and mirrored within its box where the part lies mirrored."""

from itertools import pairwise
from math import atan, cos, radians, sin, tan

import shapely

from cncpanel.job import model
from cncpanel.job.letters import ADVANCE, HEIGHT, STROKES, WIDTH, mark_text
from cncpanel.wanted.curve import Edge, Pair

STRAIGHT = 1e-9  # of a bulge


def strokes(mark: model.Mark, panel: str, *, mirrored: bool) -> shapely.MultiLineString:
    """In the author's coordinates. `mirrored` strokes read right once the part itself is mirrored."""
    if mark.at is None:
        return _crosses(mark)
    text, scale = mark_text(mark.text, panel), mark.height / HEIGHT
    width = (len(text) - 1) * ADVANCE + WIDTH
    (x, y), angle = mark.at, radians(mark.turn_deg)

    def placed(u: float, v: float) -> Pair:
        across, up = (width - u if mirrored else u) * scale, v * scale
        return x + across * cos(angle) - up * sin(angle), y + across * sin(angle) + up * cos(angle)

    return shapely.MultiLineString(
        [
            [placed(u + number * ADVANCE, v) for u, v in _points(stroke, scale)]
            for number, character in enumerate(text)
            for stroke in STROKES[character.upper()]
        ]
    )


def _crosses(mark: model.Mark) -> shapely.MultiLineString:
    reach, angle = mark.height / 2, radians(mark.turn_deg)
    along = (reach * cos(angle), reach * sin(angle))
    across = (-along[1], along[0])
    return shapely.MultiLineString(
        [[(x - u, y - v), (x + u, y + v)] for x, y in mark.centres for u, v in (along, across)]
    )


def _points(stroke: tuple[tuple[float, ...], ...], scale: float) -> list[Pair]:
    """Along one stroke, in grid units; chords are as fine as they must be at `scale` mm a unit."""
    found: list[Pair] = []
    for first, second in pairwise(stroke):
        begin, end = (first[0], first[1]), (second[0], second[1])
        edge = _edge(begin, end, first[2] if len(first) > 2 else 0.0)
        found += edge.points(0.001 / scale)
    return [*found, (stroke[-1][0], stroke[-1][1])]


def _edge(begin: Pair, end: Pair, bulge: float) -> Edge:
    """A bulge is the tangent of a quarter of the sweep; the centre stands off the chord's middle."""
    if abs(bulge) < STRAIGHT:
        return Edge(begin, end)
    sweep = 4 * atan(bulge)
    dx, dy = end[0] - begin[0], end[1] - begin[1]
    off = 0.5 / tan(sweep / 2)
    return Edge(begin, end, ((begin[0] + end[0]) / 2 - dy * off, (begin[1] + end[1]) / 2 + dx * off), sweep)
