"""Corner reliefs: small round bites at inside corners, so that what is square goes in though the cutter is round.

A bite's circle runs through the corner. `corner`: its centre lies on the bisector, so both walls give way a little: a
right angle loses (pi / 2 - 1) r2 beyond its walls. `long`, `short`: its centre lies on that wall; it alone gives way.
"""

from collections.abc import Callable, Iterator, Sequence
from math import cos, pi

from cncpanel.geometry.combine import union
from cncpanel.geometry.contour import circle
from cncpanel.geometry.point import Point
from cncpanel.geometry.region import Region
from cncpanel.geometry.segment import Segment
from cncpanel.job.model import Relief

LEAST_TURN, MOST_TURN = pi / 6, 5 * pi / 6  # of the wall at a corner that is relieved; others are no square thing's
THROUGH = 0.002  # mm that a bite's circle goes past the corner: both kernels' rounding, so that no burr stays in it


def relieved(
    regions: Sequence[Region], relief: Relief, radius: float, wanted: Callable[[Point], bool] = lambda corner: True
) -> tuple[Region, ...]:
    """The regions with a bite at each sharp inside corner between straight walls that is `wanted`."""
    if relief == "none":
        return tuple(regions)
    bites = [bite for region in regions for bite in _bites(region, relief, radius, wanted)]
    return union([*regions, *bites]) if bites else tuple(regions)


def _bites(region: Region, relief: Relief, radius: float, wanted: Callable[[Point], bool]) -> Iterator[Region]:
    for contour in region.contours:
        segments = contour.segments
        for before, after in zip(segments[-1:] + segments[:-1], segments, strict=True):
            if _is_square(before, after) and wanted(after.start):
                yield Region(circle(_centre(before, after, relief, radius), radius))


def _is_square(before: Segment, after: Segment) -> bool:
    if before.is_arc or after.is_arc:
        return False
    a, b = before.end_direction, after.start_direction
    return a.cross(b) > 0 and cos(MOST_TURN) <= a.dot(b) <= cos(LEAST_TURN)


def _centre(before: Segment, after: Segment, relief: Relief, radius: float) -> Point:
    back, onward = before.end_direction.times(-1), after.start_direction
    if relief == "corner":
        along = back.plus(onward).unit
    else:
        longer, shorter = (back, onward) if before.length >= after.length - 1e-9 else (onward, back)
        along = longer if relief == "long" else shorter
    return after.start.plus(along.times(radius - THROUGH))
