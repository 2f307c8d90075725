"""Rims for which two edge tables ask: the same form twice is a mistake, two forms are warned of."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations
from typing import Literal

from cncpanel.panel.edge import Edge, Stretch

COMMON = 1.0  # mm along a rim; stretches that share less only meet at a corner

Faces = Literal["show", "back", "both"]


@dataclass(frozen=True, slots=True)
class Taken:
    """An edge that the machine makes, on which faces, by the number of its table."""

    edge: Edge
    faces: Faces
    table: int


def asked_twice(taken: Sequence[Taken]) -> Iterator[tuple[Taken, Taken, bool]]:
    """The earlier and the later of two tables that share a rim, once a pair, and whether their form is the same."""
    told: set[tuple[int, int]] = set()
    for first, second in combinations(taken, 2):
        pair = first.table, second.table
        if pair[0] != pair[1] and pair not in told and _share_faces(first, second) and _common(first.edge, second.edge):
            told.add(pair)
            yield first, second, first.edge.form == second.edge.form


def _share_faces(first: Taken, second: Taken) -> bool:
    return first.faces == second.faces or "both" in (first.faces, second.faces)


def _common(first: Edge, second: Edge) -> bool:
    """Whether a stretch of some length of one rim belongs to both."""
    if first.rim != second.rim or first.contour != second.contour:
        return False
    long = first.contour.length
    spans = [(0.0, long) if stretch is None else _span(stretch) for stretch in (first.stretch, second.stretch)]
    (a, b), (c, d) = spans
    return any(min(b, d + turn) - max(a, c + turn) > COMMON for turn in (-long, 0.0, long))


def _span(stretch: Stretch) -> tuple[float, float]:
    return stretch.start, stretch.stop
