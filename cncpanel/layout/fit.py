"""Where a part may lie beside others: forbidden positions as Minkowski sums, on shapely polygons.

A position is where the lower left of a part's box goes. `forbidden(placed, part)` is the open set of
positions at which `part` would come nearer than the gap to `placed`; its boundary is touching. Known as the
no-fit polygon in the cutting and packing literature (Burke et al., EJOR 179, 2007: from memory).
"""

from collections.abc import Iterable
from functools import lru_cache

import numpy as np
import numpy.typing as npt
import shapely

COARSER = 0.3  # mm; how far a curved side may be squared out while placing
MOST_PIECES = 30  # convex pieces of a shape while placing: their pairs are counted for every two parts
SHARPEST = 5.0  # mitre limit: corners sharper than about 23 degrees are cut off and then judged exactly


def grown(shape: shapely.Polygon, gap: float) -> shapely.Polygon:
    """The shape with its corners squared out by `gap`: nothing nearer than the gap lies outside it."""
    return shapely.buffer(shape, gap, join_style="mitre", mitre_limit=SHARPEST) if gap else shape


def simplified(shape: shapely.Polygon) -> shapely.Polygon:
    """A shape with few corners that holds `shape` and has the same box: fine notches filled, arcs squared out.

    Its straight sides on the box stay where they are; elsewhere it is larger by about COARSER, or by a filled notch.
    """
    box = shapely.box(*shape.bounds)
    for fill in (0.0, 5.0, 20.0, 80.0):
        closed = grown(grown(shape, fill), -fill).simplify(COARSER)
        around = shapely.intersection(grown(closed, COARSER), box)
        if isinstance(around, shapely.Polygon) and len(convex_pieces(around)) <= MOST_PIECES and around.covers(shape):
            return shape if len(shape.exterior.coords) <= len(around.exterior.coords) else around
    return shapely.intersection(grown(shape.convex_hull.simplify(COARSER), COARSER), box)


@lru_cache(maxsize=4096)
def convex_pieces(shape: shapely.Polygon) -> tuple[shapely.Polygon, ...]:
    """Convex polygons that make up `shape`: itself when convex, else triangles."""
    hull = shapely.convex_hull(shape)
    if hull.area - shape.area < 1e-6:
        return (hull,)
    return tuple(shapely.constrained_delaunay_triangles(shape).geoms)


@lru_cache(maxsize=20000)
def forbidden(placed: shapely.Polygon, part: shapely.Polygon) -> shapely.Geometry:
    """Positions of `part` (its box's lower left at the origin) that overlap `placed`: placed + (-part)."""
    sums = [_pair_sum(a, b) for a in convex_pieces(placed) for b in convex_pieces(part)]
    return shapely.union_all(sums) if len(sums) > 1 else sums[0]


def _pair_sum(a: shapely.Polygon, b: shapely.Polygon) -> shapely.Polygon:
    first, second = shapely.get_coordinates(a)[:-1], shapely.get_coordinates(b)[:-1]
    points = (first[:, None, :] - second[None, :, :]).reshape(-1, 2)
    return shapely.convex_hull(shapely.multipoints(points))


def free_positions(
    room: shapely.Geometry, placed: Iterable[shapely.Polygon], part: shapely.Polygon
) -> list[tuple[float, float]]:
    """Touching positions inside `room` (a box, or its degenerate line or point) that nothing forbids."""
    blocked = [forbidden(other, part) for other in placed]
    if not blocked:
        return _corners(room)
    wall = shapely.union_all(blocked)
    inside = shapely.buffer(wall, -1e-6)
    marks = np.vstack([_coordinates(shapely.intersection(wall.boundary, room)), _coordinates(room)])
    marks = np.unique(np.round(marks, 9), axis=0)
    keep = ~shapely.contains_xy(inside, marks[:, 0], marks[:, 1])
    return [(float(x), float(y)) for x, y in marks[keep]]


def _coordinates(shape: shapely.Geometry) -> npt.NDArray[np.float64]:
    return np.asarray(shapely.get_coordinates(shape)).reshape(-1, 2)


def _corners(room: shapely.Geometry) -> list[tuple[float, float]]:
    return [(float(x), float(y)) for x, y in np.unique(_coordinates(room), axis=0)]
