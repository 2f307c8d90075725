"""Points with radii and through-points as edges: corners rounded by an arc that touches both sides.

The arc's centre lies where both sides, moved inwards by the radius, meet.
"""

from collections.abc import Sequence
from math import atan2, cos, hypot, pi, sin, sqrt

from cncpanel.job.model import Corner
from cncpanel.wanted.curve import Edge, Pair, arc_by_three

STRAIGHT = 1e-7  # sine; a corner flatter than this is none

Given = Pair | Corner
Moved = tuple[Pair, Pair] | tuple[Pair, float]  # a line's point and direction, or a circle's centre and radius


def loop(given: Sequence[Given]) -> list[Edge]:
    """The closed outline, corners rounded."""
    corners = [_corner(point) for point in given]
    edges = raw_edges(corners, closed=True)
    return rounded(edges, [corner.radius for corner in corners], closed=True)


def chain(given: Sequence[Given]) -> list[Edge]:
    """The open path, corners rounded."""
    corners = [_corner(point) for point in given]
    edges = raw_edges(corners, closed=False)
    return rounded(edges, [corner.radius for corner in corners], closed=False)


def unrounded(given: Sequence[Given]) -> list[Edge]:
    """The closed outline as drawn, before its corners are rounded."""
    return raw_edges([_corner(point) for point in given], closed=True)


def _corner(point: Given) -> Corner:
    return point if isinstance(point, Corner) else Corner.model_construct(to=point, radius=0.0, through=None)


def raw_edges(corners: Sequence[Corner], *, closed: bool) -> list[Edge]:
    """Edge n leads from corner n to the next; a corner's `through` bends the edge that leads to it."""
    ends = [*corners[1:], corners[0]] if closed else list(corners[1:])
    return [
        Edge(a.to, b.to) if b.through is None else arc_by_three(a.to, b.through, b.to)
        for a, b in zip(corners, ends, strict=False)
    ]


def rounded(edges: Sequence[Edge], radii: Sequence[float], *, closed: bool) -> list[Edge]:
    """The edges with radius n at the corner where edge n begins."""
    first, last = [0.0] * len(edges), [1.0] * len(edges)
    arcs: dict[int, Edge] = {}
    for n in range(0 if closed else 1, len(edges)):
        before, after = edges[n - 1], edges[n]
        if radii[n] <= 0 or abs(sin(_turn(before, after))) < STRAIGHT:
            continue
        arc = _touching(before, after, radii[n])
        last[n - 1], first[n] = _share(before, arc.start), _share(after, arc.end)
        arcs[n] = arc
    result: list[Edge] = []
    for n, edge in enumerate(edges):
        if n in arcs:
            result.append(arcs[n])
        if (last[n] - first[n]) * edge.length > 1e-7:
            result.append(edge.stretch(first[n], last[n]))
    return result


def direction(edge: Edge, *, at_end: bool) -> Pair:
    """The unit tangent at one end."""
    if edge.centre is None:
        return (edge.end[0] - edge.start[0]) / edge.length, (edge.end[1] - edge.start[1]) / edge.length
    point = edge.end if at_end else edge.start
    u, v = (point[0] - edge.centre[0]) / edge.radius, (point[1] - edge.centre[1]) / edge.radius
    return (-v, u) if edge.sweep > 0 else (v, -u)


def _turn(before: Edge, after: Edge) -> float:
    a, b = direction(before, at_end=True), direction(after, at_end=False)
    return atan2(a[0] * b[1] - a[1] * b[0], a[0] * b[0] + a[1] * b[1])


def _touching(before: Edge, after: Edge, radius: float) -> Edge:
    side = 1.0 if _turn(before, after) > 0 else -1.0
    centre = min(
        _meetings(_inward(before, side * radius), _inward(after, side * radius)),
        key=lambda p: hypot(p[0] - before.end[0], p[1] - before.end[1]),
    )
    start, end = _foot(before, centre), _foot(after, centre)
    first = atan2(start[1] - centre[1], start[0] - centre[0])
    last = atan2(end[1] - centre[1], end[0] - centre[0])
    sweep = side * ((side * (last - first)) % (2 * pi))
    return Edge(start, end, centre, sweep)


def _inward(edge: Edge, distance: float) -> Moved:
    """The endless line or whole circle `distance` to the left."""
    if edge.centre is None:
        dx, dy = direction(edge, at_end=False)
        return (edge.start[0] - dy * distance, edge.start[1] + dx * distance), (dx, dy)
    return edge.centre, edge.radius - distance if edge.sweep > 0 else edge.radius + distance


def _meetings(one: Moved, other: Moved) -> list[Pair]:
    (p, q), (r, s) = one, other
    if isinstance(q, tuple) and isinstance(s, tuple):
        cross = q[0] * s[1] - q[1] * s[0]
        along = ((r[0] - p[0]) * s[1] - (r[1] - p[1]) * s[0]) / cross
        return [(p[0] + q[0] * along, p[1] + q[1] * along)]
    if isinstance(q, tuple):
        assert isinstance(s, float)
        return _line_circle(p, q, r, s)
    if isinstance(s, tuple):
        return _line_circle(r, s, p, q)
    return _circles(p, q, r, s)


def _line_circle(point: Pair, along: Pair, centre: Pair, radius: float) -> list[Pair]:
    fx, fy = centre[0] - point[0], centre[1] - point[1]
    middle = fx * along[0] + fy * along[1]
    off = fx * along[1] - fy * along[0]
    half = sqrt(max(radius * radius - off * off, 0.0))
    return [(point[0] + along[0] * t, point[1] + along[1] * t) for t in (middle - half, middle + half)]


def _circles(a: Pair, ra: float, b: Pair, rb: float) -> list[Pair]:
    dx, dy = b[0] - a[0], b[1] - a[1]
    apart = hypot(dx, dy)
    along = (apart * apart + ra * ra - rb * rb) / (2 * apart)
    half = sqrt(max(ra * ra - along * along, 0.0))
    x, y = a[0] + dx / apart * along, a[1] + dy / apart * along
    return [(x - dy / apart * half, y + dx / apart * half), (x + dy / apart * half, y - dx / apart * half)]


def _foot(edge: Edge, point: Pair) -> Pair:
    """The nearest place on the edge's whole line or circle."""
    if edge.centre is None:
        dx, dy = direction(edge, at_end=False)
        along = (point[0] - edge.start[0]) * dx + (point[1] - edge.start[1]) * dy
        return edge.start[0] + dx * along, edge.start[1] + dy * along
    angle = atan2(point[1] - edge.centre[1], point[0] - edge.centre[0])
    return edge.centre[0] + edge.radius * cos(angle), edge.centre[1] + edge.radius * sin(angle)


def _share(edge: Edge, point: Pair) -> float:
    """How far along the edge a point of it lies."""
    if edge.centre is None:
        dx, dy = direction(edge, at_end=False)
        return ((point[0] - edge.start[0]) * dx + (point[1] - edge.start[1]) * dy) / edge.length
    begin = atan2(edge.start[1] - edge.centre[1], edge.start[0] - edge.centre[0])
    angle = atan2(point[1] - edge.centre[1], point[0] - edge.centre[0])
    sign = 1.0 if edge.sweep > 0 else -1.0
    turn = (sign * (angle - begin)) % (2 * pi)
    return turn / abs(edge.sweep) if turn < abs(edge.sweep) + 1e-6 else (turn - 2 * pi) / abs(edge.sweep)
