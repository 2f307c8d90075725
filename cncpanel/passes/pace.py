"""One speed for a whole run, and the feed of each thing that happens in it at that speed."""

from dataclasses import dataclass
from math import floor

from cncpanel.machine.tool import Tool
from cncpanel.passes.shop import STEP_OVER, Shop
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
    slot = shop.data(tool, "slot", step, tool.cut_diameter)
    clear = shop.data(tool, "clear", step, STEP_OVER * tool.cut_diameter)
    width = max(shop.machine.cutting.finish_allowance, LEAST_FINISH)
    finish = shop.data(tool, "finish", finish_depth, width)
    rpm = min(slot.rpm, clear.rpm, finish.rpm)
    return Pace(
        rpm=rpm,
        slot=_at(slot.feed, slot, rpm),
        clear=_at(clear.feed, clear, rpm),
        finish=_at(finish.feed, finish, rpm),
        ramp=_at(slot.ramp_feed, slot, rpm),
        plunge=_at(slot.plunge_feed, slot, rpm),
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


def _at(feed: float, data: CuttingData, rpm: float) -> float:
    """The feed that keeps the chip at a slower speed, rounded down to whole mm/min."""
    slowed = feed * rpm / data.rpm
    return float(floor(slowed + 1e-6)) if slowed >= 1 else slowed
