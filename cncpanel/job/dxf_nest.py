"""Contours become shapes: one inside another is its hole, one inside that hole a shape of its own."""

from bisect import insort
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from cncpanel.geometry.contour import Contour
from cncpanel.geometry.point import Point
from cncpanel.geometry.tolerance import FLATTEN

Corners = npt.NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class DxfShape:
    """One piece of material as drawn: its outer contour and the holes in it, mm."""

    outer: Contour
    holes: tuple[Contour, ...]


def nested(contours: Sequence[Contour]) -> tuple[DxfShape, ...]:
    """Shapes of contours that neither cross nor touch, in the order of their outer contours."""
    around = _parents(contours)
    depth = _depths(contours, around)
    holes: dict[int, list[Contour]] = {i: [] for i in range(len(contours)) if depth[i] % 2 == 0}
    for index, parent in enumerate(around):
        if parent is not None and depth[index] % 2:
            holes[parent].append(contours[index].counter_clockwise)
    return tuple(DxfShape(contours[i].counter_clockwise, tuple(inner)) for i, inner in holes.items())


def _by_size(contours: Sequence[Contour]) -> list[int]:
    areas = [abs(contour.area) for contour in contours]
    return sorted(range(len(contours)), key=lambda i: -areas[i])


def _depths(contours: Sequence[Contour], around: Sequence[int | None]) -> list[int]:
    """How many contours lie round each; the larger ones, which can only be outside, are settled first."""
    depth = [0] * len(contours)
    for index in _by_size(contours):
        parent = around[index]
        depth[index] = 0 if parent is None else depth[parent] + 1
    return depth


def _parents(contours: Sequence[Contour]) -> list[int | None]:
    """The smallest contour round each, by a line swept along X that knows which contours it is crossing."""
    rank = {index: place for place, index in enumerate(_by_size(contours))}
    boxes = [contour.bounds for contour in contours]
    polygons = [_corners(contour) for contour in contours]
    result: list[int | None] = [None] * len(contours)
    crossed: list[int] = []  # ranks, the largest contour first
    order = sorted(rank, key=lambda i: (boxes[i][0], rank[i]))
    numbered = {place: index for index, place in rank.items()}
    for index in order:
        crossed = [r for r in crossed if boxes[numbered[r]][2] >= boxes[index][0]]
        point = contours[index].vertices[0].point
        for place in reversed(crossed):
            outer = numbered[place]
            near = place < rank[index] and _box_holds(boxes[outer], boxes[index])
            if near and _inside(polygons[outer], point):
                result[index] = outer
                break
        insort(crossed, rank[index])
    return result


def _box_holds(outer: tuple[float, ...], inner: tuple[float, ...]) -> bool:
    return outer[0] <= inner[0] and outer[1] <= inner[1] and outer[2] >= inner[2] and outer[3] >= inner[3]


def _corners(contour: Contour) -> Corners:
    return np.array(contour.flattened(FLATTEN), dtype=np.float64)


def _inside(corners: Corners, point: Point) -> bool:
    """Whether a ray to the right of the point crosses the polygon an odd number of times."""
    x, y = corners[:, 0], corners[:, 1]
    next_x, next_y = np.roll(x, -1), np.roll(y, -1)
    passes = (y > point.y) != (next_y > point.y)
    rise = np.where(passes, next_y - y, 1.0)
    at = x + (point.y - y) / rise * (next_x - x)
    return bool(np.count_nonzero(passes & (at > point.x)) % 2)
