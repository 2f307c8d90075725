"""Where a part may lie beside others: forbidden positions as Minkowski sums, on shapely polygons.

A position is where the lower left of a part's box goes. `forbidden(placed, part)` is the open set of
positions at which `part` would come nearer than the gap to `placed`; its boundary is touching. Known as the
no-fit polygon in the cutting and packing literature (Burke et al., EJOR 179, 2007: from memory).
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
import numpy.typing as npt
import shapely

COARSER = 0.3  # mm; how far a curved side may be squared out while placing
MOST_PIECES = 30  # convex pieces of a shape while placing: their pairs are counted for every two parts
SHARPEST = 5.0  # mitre limit: corners sharper than about 23 degrees are cut off and then judged exactly
NEARLY_BOX = 0.02  # of the box; a shape that lacks no more of it is placed as its box
TOUCHING = 1e-6  # mm by which forbidden positions end before touching, so that an exactly fitting slot stays open

Numbers = npt.NDArray[np.float64]


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
def _corners(shape: shapely.Polygon) -> tuple[Numbers, ...]:
    """The corners of each convex piece."""
    return tuple(shapely.get_coordinates(piece)[:-1] for piece in convex_pieces(shape))


@lru_cache(maxsize=8192)
def is_box(shape: shapely.Polygon) -> bool:
    """Whether it is a rectangle along the axes."""
    left, low, right, high = shape.bounds
    return bool(shape.area >= (right - left) * (high - low) * (1 - 1e-12))


def forbidden(placed: shapely.Polygon, part: shapely.Polygon) -> shapely.Geometry:
    """Positions of `part` (its box's lower left at the origin) that overlap `placed`: placed + (-part)."""
    return shapely.union_all(forbidden_each([placed], part)[0].pieces)


@dataclass(frozen=True, slots=True, eq=False)
class Wall:
    """What one part (at the origin) or keep-out forbids to another part: convex pieces, and the box round them."""

    pieces: npt.NDArray[np.object_]
    box: Numbers


def forbidden_each(placed: Sequence[shapely.Polygon], part: shapely.Polygon) -> list[Wall]:
    """For each of `placed` its forbidden positions, all reckoned in one go.

    Between boxes they are shrunk by TOUCHING, so that a slot of exactly the part's size stays open.
    """
    sums = [_pair_sums(shape, part) for shape in placed]
    lengths = [len(points) for each in sums for points in each]
    index = np.repeat(np.arange(len(lengths)), lengths)
    lines = shapely.linestrings(np.vstack([points for each in sums for points in each]), indices=index)
    starts = np.cumsum([0, *(len(each) for each in sums[:-1])])
    boxes = shapely.bounds(lines)
    low, high = np.minimum.reduceat(boxes[:, :2], starts), np.maximum.reduceat(boxes[:, 2:], starts)
    hulls = np.split(shapely.convex_hull(lines), starts[1:])
    return [Wall(pieces, box) for pieces, box in zip(hulls, np.hstack([low, high]), strict=True)]


def _pair_sums(placed: shapely.Polygon, part: shapely.Polygon) -> list[Numbers]:
    """Points whose hulls are the sums of the convex pieces."""
    if is_box(placed) and is_box(part):
        (left, low, right, high), (_, _, width, height) = placed.bounds, part.bounds
        x, y = (left - width + TOUCHING, right - TOUCHING), (low - height + TOUCHING, high - TOUCHING)
        return [np.array([(x[0], y[0]), (x[1], y[0]), (x[1], y[1]), (x[0], y[1])])]
    ours, theirs = _corners(placed), _corners(part)
    return [(a[:, None, :] - b[None, :, :]).reshape(-1, 2) for a in ours for b in theirs]


def moved(shapes: npt.NDArray[np.object_], offsets: Numbers) -> npt.NDArray[np.object_]:
    """Every shape moved by its own offset, in one go."""
    coordinates, index = shapely.get_coordinates(shapes, return_index=True)
    return np.asarray(shapely.set_coordinates(shapes.copy(), coordinates + offsets[index]))


def free_positions(room: shapely.Geometry, walls: npt.NDArray[np.object_]) -> Numbers:
    """Touching positions inside `room` (a box, or its degenerate line or point) that no wall forbids; rows x, y."""
    corners = np.unique(_coordinates(room), axis=0)
    if not len(walls):
        return corners
    wall = shapely.union_all(walls)
    shapely.prepare(wall)
    touching = _coordinates(shapely.intersection(wall.boundary, room))
    return np.vstack([touching, corners[~shapely.contains_xy(wall, corners[:, 0], corners[:, 1])]])


def _coordinates(shape: shapely.Geometry) -> Numbers:
    return np.asarray(shapely.get_coordinates(shape)).reshape(-1, 2)
