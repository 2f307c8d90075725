"""How far exact contours lie from polygons, and whether they cross themselves."""

from collections.abc import Sequence

import numpy as np
import shapely

from cncpanel.geometry.carrier import Floats
from cncpanel.geometry.contour import Contour
from cncpanel.geometry.meeting import contour_meetings
from cncpanel.geometry.point import Point
from cncpanel.geometry.segment import Segment

FINE = 1e-4  # mm; chord error of the polygon that stands for the exact contour when distances are taken to it


def worst_deviation(exact: Contour, flat_polygon_boundary: Sequence[tuple[float, float]]) -> float:
    """The greatest distance in mm between the contour and a closed polygon, whichever strays (Hausdorff).

    Taken at the corners and middles of both.
    """
    ring = np.array(flat_polygon_boundary, dtype=np.float64).reshape(-1, 2)
    there = _to_segments(_with_middles(ring), exact.segments)
    fine = shapely.points(_with_middles(np.array(exact.flattened(FINE))))
    back = shapely.distance(fine, shapely.LinearRing(ring))
    return max(float(there.max()), float(back.max()))


def crosses_itself(contour: Contour) -> Point | None:
    """A place where the contour crosses or touches itself, or doubles back; None where it is simple."""
    found = next(contour_meetings([contour]), None)
    return found.point if found else None


def _with_middles(ring: Floats) -> Floats:
    return np.concatenate((ring, (ring + np.roll(ring, -1, axis=0)) / 2))


def _to_segments(points: Floats, segments: Sequence[Segment]) -> Floats:
    """The distance of each point to the nearest segment."""
    nearest = np.full(len(points), np.inf)
    for segment in segments:
        np.minimum(nearest, _to_segment(points, segment), out=nearest)
    return nearest


def _to_segment(points: Floats, segment: Segment) -> Floats:
    start, end = np.array(segment.start), np.array(segment.end)
    if not segment.bulge:
        chord = end - start
        share = np.clip((points - start) @ chord / max(float(chord @ chord), 1e-300), 0.0, 1.0)
        return np.asarray(np.hypot(*(points - start - share[:, None] * chord).T))
    arms = points - np.array(segment.centre)
    ends = np.minimum(np.hypot(*(points - start).T), np.hypot(*(points - end).T))
    near = np.abs(np.hypot(*arms.T) - segment.radius)
    return np.asarray(np.where(_in_sector(arms, segment), near, ends))


def _in_sector(arms: Floats, segment: Segment) -> Floats:
    """Which rays from the centre meet the arc."""
    first = segment.start.minus(segment.centre)
    sign = 1.0 if segment.bulge > 0 else -1.0
    angle = np.arctan2(first.x * arms[:, 1] - first.y * arms[:, 0], first.x * arms[:, 0] + first.y * arms[:, 1])
    return np.asarray((sign * angle) % (2 * np.pi) <= abs(segment.sweep))
