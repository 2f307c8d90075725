"""A spline as lines and arcs: sampled until its chords are close enough, then fitted."""

from collections.abc import Callable, Sequence
from itertools import pairwise
from math import isfinite
from typing import Any

from cncpanel.geometry.point import Point
from cncpanel.geometry.segment import Segment
from cncpanel.geometry.tolerance import FLATTEN, SAME_POINT
from cncpanel.job.dxf_map import Map, fitted
from cncpanel.job.dxf_unusable import UnusableError, usable

MOST_POINTS = 100_000  # of one spline; a curve that needs more is no outline
MOST_FIT_POINTS = 3_000  # each more costs a row and a column of the equations that are solved for the curve: 70 MB then
PIECES = 4  # a knot span begins with: no cubic hides an S from the tests between them
DEEPEST = 14  # halvings of such a piece; a chord is then a ten-thousandth of it


def spline_segments(entity: Any, place: Map) -> tuple[list[Segment], bool]:
    """The spline's segments and whether it closes on itself; raises UnusableError for a damaged one."""
    curve = _curve(entity)
    evaluator = curve.evaluator  # made anew from all its knots each time that it is asked for
    points = sampled(lambda t: place.point(*_finite(evaluator.point(t))), _spans(curve))
    closed = len(points) > 2 and points[0].distance(points[-1]) <= SAME_POINT
    return fitted(points[:-1] if closed else points, closed), closed


def _curve(entity: Any) -> Any:
    """The entity's curve, after what would make nonsense of it was looked for."""
    controls, fits = list(entity.control_points), list(entity.fit_points)
    spots = [usable(point) for point in controls or fits]
    heights = [spot.z for spot in spots]
    if len(heights) < 2:
        raise UnusableError("has fewer than two points")
    if max(heights) - min(heights) > 1e-3:
        raise UnusableError(f"is not flat: its heights run from {min(heights):.4g} to {max(heights):.4g}")
    if controls:
        _check_knots(entity.knots, len(controls), entity.dxf.degree + 1)
        if not all(isfinite(w) and 0 < w < 1e9 for w in entity.weights):
            raise UnusableError("has a weight that is not above zero")
    elif len(spots) > MOST_FIT_POINTS:
        raise UnusableError(f"goes through {len(spots)} given points, more than {MOST_FIT_POINTS}")
    elif len(set(spots)) < 2:
        raise UnusableError("has all its points in one place")
    return entity.construction_tool()


def _check_knots(knots: Sequence[float], controls: int, order: int) -> None:
    if not 2 <= order <= min(controls, 26):
        raise UnusableError(f"has {controls} control points for degree {order - 1}")
    if not len(knots):
        return
    rising = all(isfinite(a) and a <= b for a, b in pairwise(knots)) and isfinite(knots[-1])
    if len(knots) != controls + order or not rising or knots[order - 1] >= knots[controls]:
        raise UnusableError("has knots that do not match its control points")


def _spans(curve: Any) -> list[float]:
    """The parameters between which the curve is one polynomial, the ends of its domain included."""
    knots = list(curve.knots())
    return sorted(set(knots[curve.order - 1 : curve.count + 1]))


def _finite(spot: Any) -> tuple[float, float]:
    if not (isfinite(spot.x) and isfinite(spot.y)):
        raise UnusableError("has a point that cannot be computed")
    return spot.x, spot.y


def sampled(curve: Callable[[float], Point], spans: Sequence[float]) -> list[Point]:
    """Points of the curve, both ends included; tested thrice a chord, none is further off than FLATTEN."""
    points = [curve(spans[0])]
    for first, last in pairwise(spans):
        step = (last - first) / PIECES
        for index in range(PIECES):
            begin = first + index * step
            _refine(curve, begin, last if index == PIECES - 1 else begin + step, points)
    return points


def _refine(curve: Callable[[float], Point], first: float, last: float, points: list[Point]) -> None:
    waiting = [(last, curve(last), 0)]
    begin, start = first, points[-1]
    while waiting:
        stop, end, depth = waiting[-1]
        inner = [curve(begin + (stop - begin) * share) for share in (0.25, 0.5, 0.75)]
        if depth < DEEPEST and any(_off(point, start, end) > FLATTEN for point in inner):
            waiting[-1] = (stop, end, depth + 1)
            waiting.append((begin + (stop - begin) / 2, inner[1], depth + 1))
            continue
        waiting.pop()
        points.append(end)
        begin, start = stop, end
        if len(points) > MOST_POINTS:
            raise UnusableError(f"needs more than {MOST_POINTS} points")


def _off(point: Point, start: Point, end: Point) -> float:
    """How far the point lies from the chord."""
    along, arm = end.minus(start), point.minus(start)
    squared = along.dot(along)
    share = min(max(arm.dot(along) / squared, 0.0), 1.0) if squared > 0 else 0.0
    return arm.minus(along.times(share)).norm
