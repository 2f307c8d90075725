"""Where a part may lie beside others: forbidden positions as Minkowski sums, on shapely polygons.

A position is where the lower left of a part's box goes. `forbidden(placed, part)` is the open set of
positions at which `part` would come nearer than the gap to `placed`; its boundary is touching. Known as the
no-fit polygon in the cutting and packing literature (Burke et al., EJOR 179, 2007: from memory).
"""

from collections.abc import Sequence
from functools import lru_cache
from itertools import accumulate, pairwise

import numpy as np
import numpy.typing as npt
import shapely

COARSER = 0.3  # mm; how far a curved side may be squared out while placing
MOST_PIECES = 30  # convex pieces of a shape while placing: their pairs are counted for every two parts
SHARPEST = 1.5  # mitre limit: a corner sharper than about 84 degrees is cut off so many gaps before it
NEARLY_BOX = 0.02  # of the box; a shape that lacks no more of it is placed as its box
TOUCHING = 1e-6  # mm by which forbidden positions end before touching, so that an exactly fitting slot stays open

Numbers = npt.NDArray[np.float64]
Pieces = npt.NDArray[np.object_]
Facts = tuple[tuple[float, float, float, float], bool, tuple[Numbers, ...]]


def grown(shape: shapely.Polygon, gap: float) -> shapely.Polygon:
    """The shape with its corners squared out by `gap`: nothing nearer than the gap lies outside it."""
    return shapely.buffer(shape, gap, join_style="mitre", mitre_limit=SHARPEST) if gap else shape


def simplified(shape: shapely.Polygon) -> shapely.Polygon:
    """A shape with few corners that holds `shape` and has the same box: fine notches filled, arcs squared out.

    Its straight sides on the box stay where they are; elsewhere it is larger by about COARSER, or by a filled notch.
    """
    box = shapely.box(*shape.bounds)
    if box.area - shape.area <= NEARLY_BOX * box.area:
        return box
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


@lru_cache(maxsize=8192)
def _facts(shape: shapely.Polygon) -> Facts:
    """Its bounds, whether it is a rectangle along the axes, and the corners of each convex piece."""
    left, low, right, high = shape.bounds
    box = bool(shape.area >= (right - left) * (high - low) * (1 - 1e-12))
    corners = tuple(shapely.get_coordinates(piece)[:-1] for piece in convex_pieces(shape))
    return (left, low, right, high), box, corners


def forbidden(placed: shapely.Polygon, part: shapely.Polygon) -> shapely.Geometry:
    """Positions of `part` (its box's lower left at the origin) that overlap `placed`: placed + (-part)."""
    return shapely.union_all(forbidden_each([placed], part)[0])


def forbidden_each(placed: Sequence[shapely.Polygon], part: shapely.Polygon) -> list[Pieces]:
    """For each of `placed` its forbidden positions as convex pieces, all reckoned in one go.

    Between boxes they are shrunk by TOUCHING, so that a slot of exactly the part's size stays open.
    """
    theirs = _facts(part)
    sums = [points for shape in placed for points in _pair_sums(_facts(shape), theirs)]
    index = np.repeat(np.arange(len(sums)), [len(points) for points in sums])
    hulls = shapely.convex_hull(shapely.linestrings(np.vstack(sums), indices=index))
    ends = list(accumulate(_pairs(_facts(shape), theirs) for shape in placed))
    return [hulls[start:end] for start, end in pairwise([0, *ends])]


def _pairs(placed: Facts, part: Facts) -> int:
    """How many pieces the sum has."""
    return 1 if placed[1] and part[1] else len(placed[2]) * len(part[2])


def _pair_sums(placed: Facts, part: Facts) -> list[Numbers]:
    """Points whose hulls are the sums of the convex pieces."""
    if placed[1] and part[1]:
        (left, low, right, high), (_, _, width, height) = placed[0], part[0]
        x, y = (left - width + TOUCHING, right - TOUCHING), (low - height + TOUCHING, high - TOUCHING)
        return [np.array([(x[0], y[0]), (x[1], y[0]), (x[1], y[1]), (x[0], y[1])])]
    return [(a[:, None, :] - b[None, :, :]).reshape(-1, 2) for a in placed[2] for b in part[2]]


def moved(shapes: Pieces, offsets: Numbers) -> Pieces:
    """Every shape moved by its own offset, in one go."""
    coordinates, index = shapely.get_coordinates(shapes, return_index=True)
    return np.asarray(shapely.set_coordinates(shapes.copy(), coordinates + offsets[index]))


def free_positions(room: shapely.Geometry, walls: Pieces) -> Numbers:
    """Touching positions inside `room` (a box, or its degenerate line or point) that no wall forbids; rows x, y."""
    corners = np.array(sorted(set(map(tuple, _coordinates(room).tolist()))))
    if not len(walls):
        return corners
    wall = shapely.union_all(walls)
    shapely.prepare(wall)
    touching = _coordinates(shapely.intersection(wall.boundary, room))
    return np.vstack([touching, corners[~shapely.contains_xy(wall, corners[:, 0], corners[:, 1])]])


def _coordinates(shape: shapely.Geometry) -> Numbers:
    return np.asarray(shapely.get_coordinates(shape)).reshape(-1, 2)
