"""Round holes by a drill of their diameter, straight down, coming up between pecks.

A blind hole's depth is the point's; a through hole goes deeper by the point, so that its full diameter comes through.
"""

from cncpanel.operation.operation import Drill
from cncpanel.passes.draft import Draft, Title, draft
from cncpanel.passes.entry import OVER_TOP
from cncpanel.passes.pace import plain_pace
from cncpanel.passes.shop import APPROACH, Shop
from cncpanel.passes.trail import Trail
from cncpanel.tooling.drilling import pecks, point_length

BACK_OFF = 0.5  # mm over the hole's last floor where drilling feed begins again: common practice


def drill(operation: Drill, title: Title, shop: Shop) -> Draft:
    """The hole; between pecks the drill comes up over the sheet, so that its flutes empty."""
    tool, top = operation.tool, -operation.top
    deepest = drill_depth(operation, shop)
    pace = plain_pace(shop.cut(tool, "drill", deepest - operation.top, tool.cut_diameter), shop)
    trail = Trail(operation.centre, APPROACH)
    floor = top + OVER_TOP
    for peck in pecks(deepest - operation.top, tool):
        if trail.steps:
            trail.to_height(APPROACH, pace.rise)
        trail.to_height(min(floor + BACK_OFF, APPROACH), pace.rise)
        floor = top - peck
        trail.to_height(floor, pace.plunge)
    return draft(title, trail, pace, through=operation.depth is None)


def drill_depth(operation: Drill, shop: Shop) -> float:
    """How far below the sheet's top the drill's point goes, mm."""
    point = point_length(operation.tool) if operation.depth is None else 0.0
    return shop.depth(operation.depth) + point
