"""One speed for a whole run, and the feed of each thing that happens in it at that speed."""

from dataclasses import dataclass

from cncpanel.machine.tool import Tool
from cncpanel.passes.shop import ENGAGEMENT, Shop
from cncpanel.tooling.cut import Kind
from cncpanel.tooling.feeds import CuttingData

LEAST_FINISH = 0.1  # mm wide; a finish pass of less rubs


@dataclass(frozen=True, slots=True, kw_only=True)
class Pace:
    """rpm, and feeds in mm/min: full width, stepped over, finish, down a slope, straight down, up and through air."""

    rpm: float
    slot: float
    clear: float
    finish: float
    ramp: float
    plunge: float
    rise: float


def pace(shop: Shop, tool: Tool, step: float, finish_depth: float) -> Pace:
    """For flat tools: `step` deep roughing and a finish `finish_depth` deep, at the slowest speed that any wants."""
    width = max(shop.machine.cutting.finish_allowance, LEAST_FINISH)
    kinds: tuple[tuple[Kind, float, float], ...] = (
        ("slot", step, tool.cut_diameter),
        ("clear", step, ENGAGEMENT * tool.cut_diameter),
        ("finish", finish_depth, width),
    )
    rpm = min(shop.data(tool, *kind).rpm for kind in kinds)
    slot, clear, finish = (shop.cut(tool, *kind, rpm) for kind in kinds)
    return Pace(
        rpm=rpm,
        slot=slot.feed,
        clear=clear.feed,
        finish=finish.feed,
        ramp=slot.ramp_feed,
        plunge=slot.plunge_feed,
        rise=shop.machine.motion.feed_z_max,
    )


def plain_pace(data: CuttingData, shop: Shop) -> Pace:
    """All of a run by one cut's data."""
    return Pace(
        rpm=data.rpm,
        slot=data.feed,
        clear=data.feed,
        finish=data.feed,
        ramp=data.ramp_feed,
        plunge=data.plunge_feed,
        rise=shop.machine.motion.feed_z_max,
    )
