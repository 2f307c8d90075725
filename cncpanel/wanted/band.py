"""Bands along paths: grooves by their middle line, rabbets by their edge. The author's own coordinates."""

from collections.abc import Iterator, Sequence
from itertools import pairwise
from math import atan2, ceil, cos, hypot, pi, sin

import shapely
from shapely.ops import substring

from cncpanel.job import model
from cncpanel.wanted.corner import chain, direction
from cncpanel.wanted.curve import FINE, Edge, Pair
from cncpanel.wanted.relief import corner_bite

_SIDE = {"centre": 0.0, "left": 0.5, "right": -0.5}  # of the width: from the path to the groove's middle, to the left


def band(points: Sequence[Pair], half: float) -> shapely.Geometry:
    """Everything within `half` of the path, ends square at the path's own."""
    pieces: list[shapely.Geometry] = []
    for a, b in pairwise(points):
        length = hypot(b[0] - a[0], b[1] - a[1])
        nx, ny = -(b[1] - a[1]) / length * half, (b[0] - a[0]) / length * half
        pieces.append(
            shapely.Polygon(
                [(a[0] - nx, a[1] - ny), (b[0] - nx, b[1] - ny), (b[0] + nx, b[1] + ny), (a[0] + nx, a[1] + ny)]
            )
        )
    for a, b, c in zip(points, points[1:], points[2:], strict=False):
        pieces += _wedge(a, b, c, half)
    return shapely.union_all(pieces)


def _wedge(a: Pair, b: Pair, c: Pair, half: float) -> list[shapely.Geometry]:
    """The outer side of a bend: a slice of a disc."""
    first, last = atan2(b[1] - a[1], b[0] - a[0]), atan2(c[1] - b[1], c[0] - b[0])
    turn = (last - first + pi) % (2 * pi) - pi
    if abs(turn) < 1e-9:
        return []
    begin = first - pi / 2 if turn > 0 else first + pi / 2
    count = max(ceil(abs(turn) / 0.02), 1)
    rim = [
        (b[0] + half * cos(begin + turn * i / count), b[1] + half * sin(begin + turn * i / count))
        for i in range(count + 1)
    ]
    return [shapely.Polygon([b, *rim])]


def groove_shape(
    groove: model.Groove, width: float, panel: shapely.Geometry, relief_radius: float = 0.0
) -> shapely.Geometry:
    """The groove's floor inside the panel; open ends run on straight until they leave it."""
    edges = chain(groove.path)
    points = _beside([p for edge in edges for p in edge.points(FINE / 4)] + [edges[-1].end], _SIDE[groove.wall] * width)
    ends = groove.ends if isinstance(groove.ends, tuple) else (groove.ends, groove.ends)
    points = _shortened(points, [width / 2 if end == "round" else 0.0 for end in ends])
    drawn = _capped(points, width / 2, ends)
    inner = shapely.buffer(panel, -FINE)
    blind = [
        "blind" if end == "square" and edge.centre is None and shapely.Point(point).within(inner) else end
        for end, edge, point in zip(ends, (edges[0], edges[-1]), (points[0], points[-1]), strict=True)
    ]
    bites = list(_end_bites(points, width, blind, groove.relief, min(relief_radius, width / 2), drawn.boundary))
    if "open" not in ends:
        return shapely.union_all([drawn, *bites])
    longer = _lengthened(points, edges, ends, panel)
    inside = shapely.intersection(_capped(longer, width / 2, ends), panel)
    kept = [piece for piece in shapely.get_parts(inside) if shapely.intersection(piece, drawn).area > 1e-6]
    return shapely.union_all([*kept, *bites])


def _end_bites(
    points: Sequence[Pair],
    width: float,
    ends: Sequence[str],
    relief: model.Relief,
    radius: float,
    rim: shapely.Geometry,
) -> Iterator[shapely.Geometry]:
    """At both corners of each blind square end, but for those that lie in another leg of the groove, off its rim.

    The groove lies to the left of walls run counter-clockwise.
    """
    if radius <= 0:
        return
    line = [*points]
    for end, way in zip(ends, (line, line[::-1]), strict=True):
        if end != "blind":
            continue
        (x, y), (nx, ny) = way[0], way[1]  # the groove goes from the end towards the next point
        length = hypot(nx - x, ny - y)
        ux, uy = (nx - x) / length, (ny - y) / length
        half = width / 2
        left, right = (x - uy * half, y + ux * half), (x + uy * half, y - ux * half)
        far_left = (left[0] + ux * length, left[1] + uy * length)
        far_right = (right[0] + ux * length, right[1] + uy * length)
        for before, corner, after in ((far_left, left, right), (left, right, far_right)):
            if rim.distance(shapely.Point(corner)) < FINE:
                yield from corner_bite(before, corner, after, relief, radius)


def _beside(points: Sequence[Pair], distance: float) -> list[Pair]:
    """The polyline moved to the left, corners mitred."""
    if not distance:
        return list(points)
    headings = [atan2(b[1] - a[1], b[0] - a[0]) for a, b in pairwise(points)]
    moved = []
    for n, (x, y) in enumerate(points):
        before, after = headings[max(n - 1, 0)], headings[min(n, len(headings) - 1)]
        half_turn = ((after - before + pi) % (2 * pi) - pi) / 2
        heading, reach = before + half_turn, distance / cos(half_turn)
        moved.append((x - sin(heading) * reach, y + cos(heading) * reach))
    return moved


def _shortened(points: Sequence[Pair], by: Sequence[float]) -> list[Pair]:
    if not any(by):
        return list(points)
    line = shapely.LineString(points)
    return list(substring(line, by[0], line.length - by[1]).coords)


def _capped(points: Sequence[Pair], half: float, ends: Sequence[str]) -> shapely.Geometry:
    pieces = [band(points, half)]
    for point, end in zip((points[0], points[-1]), ends, strict=True):
        if end == "round":
            pieces.append(shapely.buffer(shapely.Point(point), half, quad_segs=64))
    return shapely.union_all(pieces)


def _lengthened(
    points: Sequence[Pair], edges: Sequence[Edge], ends: Sequence[str], panel: shapely.Geometry
) -> list[Pair]:
    xmin, ymin, xmax, ymax = panel.bounds
    far = (xmax - xmin) + (ymax - ymin)
    longer = list(points)
    if ends[0] == "open":
        dx, dy = direction(edges[0], at_end=False)
        longer.insert(0, (points[0][0] - dx * far, points[0][1] - dy * far))
    if ends[1] == "open":
        dx, dy = direction(edges[-1], at_end=True)
        longer.append((points[-1][0] + dx * far, points[-1][1] + dy * far))
    return longer


def rabbet_shape(edge: Edge, rabbet: model.Rabbet, panel: shapely.Geometry) -> shapely.Geometry:
    """All of the panel within the rabbet's width of the edge, square at both ends; the edge runs counter-clockwise."""
    stop = edge.length if rabbet.stop is None else rabbet.stop
    part = edge.stretch(rabbet.start / edge.length, stop / edge.length)
    return shapely.intersection(band([*part.points(), part.end], rabbet.width), panel)
