"""Curves that a drawing program wrote as many short lines, given back as arcs: fewer, smoother motions."""

from itertools import groupby

from cncpanel.geometry.contour import Contour, contour_of
from cncpanel.geometry.fit import fit
from cncpanel.geometry.segment import Segment
from cncpanel.geometry.tolerance import FIT

SHORT = 0.5  # mm; nobody draws a contour's straight edge this short, and no router cuts one
FEWEST = 4  # short lines in a row; fewer are a chamfer or a notch


def smoothed(contour: Contour) -> Contour:
    """The contour with every row of short lines fitted within FIT; the rest as it was."""
    segments = list(contour.segments)
    if all(map(_short, segments)):
        return _whole(contour) if len(segments) >= FEWEST else contour
    first = next(i for i, segment in enumerate(segments) if not _short(segment))
    rows = groupby(segments[first:] + segments[:first], key=_short)
    return contour_of(piece for short, row in rows for piece in _fitted(list(row), short))


def _whole(contour: Contour) -> Contour:
    pieces = fit([vertex.point for vertex in contour.vertices], FIT, True)
    return contour_of(pieces) if len(pieces) > 1 else contour


def _short(segment: Segment) -> bool:
    return not segment.bulge and segment.chord < SHORT


def _fitted(row: list[Segment], short: bool) -> list[Segment]:
    if not short or len(row) < FEWEST:
        return row
    return fit([row[0].start, *(segment.end for segment in row)], FIT, False)
