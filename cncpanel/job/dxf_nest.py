"""Contours become shapes: one inside another is its hole, one inside that hole a shape of its own."""

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
    """The smallest contour round each: of the larger ones whose box holds its box, the first that holds a point."""
    order = _by_size(contours)
    columns = np.array([contours[i].bounds for i in order]).reshape(-1, 4).T.copy()
    polygons: dict[int, Corners] = {}
    result: list[int | None] = [None] * len(contours)
    for place, index in enumerate(order):
        (left, low, right, high), (xmin, ymin, xmax, ymax) = columns[:, :place], columns[:, place]
        holds = (left <= xmin) & (low <= ymin) & (right >= xmax) & (high >= ymax)
        for outer in np.flatnonzero(holds)[::-1].tolist():
            if outer not in polygons:
                polygons[outer] = _corners(contours[order[outer]])
            if _inside(polygons[outer], contours[index].vertices[0].point):
                result[index] = order[outer]
                break
    return result


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
