"""An open chain of lines and arcs moved sideways, corners mitred: where a groove's wall is its path."""

from collections.abc import Sequence
from itertools import pairwise

from cncpanel.geometry.crossing import crossing
from cncpanel.geometry.point import Point
from cncpanel.geometry.segment import Segment
from cncpanel.panel.fillet import SMOOTH, alongside, arc_about, turn


def shifted(edges: Sequence[Segment], distance: float) -> tuple[Segment, ...] | None:
    """The chain `distance` to the left of itself; None where an edge has no place left there."""
    first, last = edges[0], edges[-1]
    joints = [first.start.plus(first.start_direction.left.times(distance))]
    for before, after in pairwise(edges):
        joint = _joint(before, after, distance)
        if joint is None:
            return None
        joints.append(joint)
    joints.append(last.end.plus(last.end_direction.left.times(distance)))
    moved = [_moved(edge, ends, distance) for edge, ends in zip(edges, pairwise(joints), strict=True)]
    kept = tuple(edge for edge in moved if edge is not None)
    return kept if len(kept) == len(moved) else None


def _joint(before: Segment, after: Segment, distance: float) -> Point | None:
    beside = before.end.plus(before.end_direction.left.times(distance))
    if abs(turn(before, after)) < SMOOTH:
        return beside
    first, second = alongside(before, distance), alongside(after, distance)
    met = crossing(first, second, *beside) if first and second else None
    return None if met is None else Point(*met)


def _moved(edge: Segment, ends: tuple[Point, Point], distance: float) -> Segment | None:
    """The edge between its new ends; None when it would run backwards or its arc has vanished."""
    start, end = ends
    if not edge.bulge:
        return Segment(start, end) if end.minus(start).dot(edge.end.minus(edge.start)) > 0 else None
    if alongside(edge, distance) is None:
        return None
    arc = arc_about(edge.centre, start, end, edge.bulge)
    return arc if abs(arc.sweep) < abs(edge.sweep) + 3 else None
