"""Round holes by a flat tool: down a helix, wider rounds inside out, a full turn at depth, away from the wall."""

from math import ceil

from cncpanel.geometry.point import Point
from cncpanel.geometry.ring import SHORT
from cncpanel.geometry.segment import Segment
from cncpanel.operation.operation import Bore
from cncpanel.passes.draft import Draft, Title, draft
from cncpanel.passes.entry import OVER_TOP, circle_from, helix
from cncpanel.passes.pace import Pace, plain_pace
from cncpanel.passes.shop import APPROACH, STEP_OVER, Shop
from cncpanel.passes.trail import Trail
from cncpanel.tooling.feeds import CuttingData

CORELESS = 0.95  # of the tool's radius: a helix of no more leaves no core standing, 1 would leave a thread of it
LEAST_HELIX = 0.05  # mm; a hole that is wider than its tool by less is its tool's own


def bore(operation: Bore, title: Title, shop: Shop) -> Draft:
    """The hole, climb all the way (counter-clockwise inside), level by level where it is wide."""
    tool, depth = operation.tool, shop.depth(operation.depth)
    radii = _radii(operation.diameter / 2 - tool.radius, tool.radius)
    wide = len(radii) > 1
    depths = _depths(operation, shop, depth) if wide else (depth,)
    pace = plain_pace(_data(operation, shop, radii, depths), shop)
    begin = Point(operation.centre.x + radii[0], operation.centre.y)
    trail = Trail(begin, APPROACH - operation.top)
    trail.to_height(OVER_TOP - operation.top, pace.plunge)
    for level in depths:
        _level(trail, operation.centre, radii, -level, pace, shop)
    _away(trail, operation.centre, pace.slot)
    return draft(title, trail, pace, through=operation.depth is None)


def _radii(widest: float, tool_radius: float) -> tuple[float, ...]:
    """Radii of the tool centre's rounds, inside out."""
    if widest < LEAST_HELIX:
        return (0.0,)
    first = min(widest, CORELESS * tool_radius)
    count = ceil((widest - first) / (2 * STEP_OVER * tool_radius) - 1e-9)
    return tuple(first + (widest - first) * i / count for i in range(count + 1)) if count else (widest,)


def _depths(operation: Bore, shop: Shop, depth: float) -> tuple[float, ...]:
    steps = shop.step_depths(operation.tool, "clear", depth - operation.top)
    return tuple(operation.top + step for step in steps)


def _data(operation: Bore, shop: Shop, radii: tuple[float, ...], depths: tuple[float, ...]) -> CuttingData:
    tool = operation.tool
    if radii[-1] == 0.0:
        return shop.cut(tool, "slot", depths[0] - operation.top, tool.cut_diameter)
    if len(radii) > 1:
        return shop.cut(tool, "clear", depths[0] - operation.top, STEP_OVER * tool.cut_diameter)
    pitch = shop.bore_pitch(tool, operation.diameter)
    return shop.cut(tool, "bore", pitch, operation.diameter)


def _level(trail: Trail, centre: Point, radii: tuple[float, ...], z: float, pace: Pace, shop: Shop) -> None:
    if radii[0] == 0.0:
        trail.to_height(z, pace.plunge)
        return
    trail.straight(Point(centre.x + radii[0], centre.y), pace.slot)
    slope = pace.slot if len(radii) == 1 else pace.ramp
    helix(trail, centre, z, shop.ramp_deg, slope, clockwise=False)
    for radius in radii:
        trail.straight(Point(centre.x + radius, centre.y), pace.slot)
        trail.along(circle_from(trail.point, centre, clockwise=False), pace.slot)


def _away(trail: Trail, centre: Point, feed: float) -> None:
    """Half round towards the middle, so that no mark stays on the wall."""
    if trail.point.distance(centre) > SHORT:
        trail.along([Segment(trail.point, centre, 1.0)], feed)
