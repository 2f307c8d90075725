"""A flat piece of the plane as convex polygons: what solids are built from."""

from collections.abc import Iterable, Iterator, Sequence

import numpy as np
import shapely

from cncpanel.geometry.carrier import Floats
from cncpanel.geometry.region import Region, flat, flat_all

NEARLY_CONVEX = 1e-6  # of the area; a piece that differs less from its hull is convex
SLIVER = 1e-3  # mm2; smaller pieces are rounding


def convex_parts(whole: Region, cuts: Iterable[Region], chord_error: float) -> list[Floats]:
    """Convex polygons (rows x, y, counter-clockwise) that cover `whole` without `cuts`; arcs as chords."""
    rest = shapely.difference(flat(whole, chord_error), flat_all(cuts, chord_error), grid_size=1e-6)
    return [part for piece in shapely.get_parts(rest) if piece.area > SLIVER for part in _parts(piece)]


def _parts(piece: shapely.Polygon) -> Iterator[Floats]:
    if piece.convex_hull.area - piece.area <= NEARLY_CONVEX * piece.area:
        yield _ring(piece.convex_hull)
        return
    triangles = [t for t in shapely.get_parts(shapely.constrained_delaunay_triangles(piece)) if t.area > 1e-9]
    yield from joined([_ring(triangle) for triangle in triangles])


def _ring(polygon: shapely.Polygon) -> Floats:
    return np.asarray(shapely.orient_polygons(polygon).exterior.coords)[:-1]


def joined(triangles: Sequence[Floats]) -> list[Floats]:
    """Neighbours put together as long as the result is convex: fewer pieces, the same area."""
    polygons: list[list[tuple[float, float]]] = [[(float(x), float(y)) for x, y in t] for t in triangles]
    owner: dict[tuple[tuple[float, float], tuple[float, float]], int] = {}
    for number, polygon in enumerate(polygons):
        owner.update(dict.fromkeys(_edges(polygon), number))
    for edge in list(owner):
        first, second = owner.get(edge), owner.get((edge[1], edge[0]))
        if first is None or second is None or first == second:
            continue
        together = _spliced(polygons[first], polygons[second], edge)
        if _is_convex(together):
            polygons[first], polygons[second] = together, []
            owner.pop(edge), owner.pop((edge[1], edge[0]))
            owner.update(dict.fromkeys(_edges(together), first))
    return [np.array(polygon) for polygon in polygons if polygon]


def _edges(polygon: list[tuple[float, float]]) -> Iterator[tuple[tuple[float, float], tuple[float, float]]]:
    return zip(polygon, (*polygon[1:], polygon[0]), strict=True)


def _spliced(
    first: list[tuple[float, float]],
    second: list[tuple[float, float]],
    edge: tuple[tuple[float, float], tuple[float, float]],
) -> list[tuple[float, float]]:
    """One loop round both, which share `edge` (run forwards in the first)."""
    begin, end = first.index(edge[1]), second.index(edge[0])
    return [*first[begin:], *first[:begin], *(second[end:] + second[:end])[1:-1]]


def _is_convex(polygon: list[tuple[float, float]]) -> bool:
    corners = (*polygon, *polygon[:2])
    return all(
        (bx - ax) * (cy - by) - (by - ay) * (cx - bx) >= -1e-9
        for (ax, ay), (bx, by), (cx, cy) in zip(corners, corners[1:], corners[2:], strict=False)
    )
