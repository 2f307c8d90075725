"""One speed for a whole run, and the feed of each thing that happens in it at that speed."""

from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass

from cncpanel.geometry.segment import Segment
from cncpanel.machine.tool import Tool
from cncpanel.passes.along import BEFORE, BENDS, Bend, before_corners, bend_share, bend_width, fed
from cncpanel.passes.run import CutUsed
from cncpanel.passes.shop import ENGAGEMENT, Shop
from cncpanel.passes.trail import Trail
from cncpanel.tooling.cut import Kind
from cncpanel.tooling.feeds import CuttingData

LEAST_FINISH = 0.1  # mm wide; a finish pass of less rubs


@dataclass(frozen=True, slots=True, kw_only=True)
class Pace:
    """rpm, and feeds in mm/min: full width, stepped over, finish, down a slope, straight down, up and through air.

    `clear_bends` and `finish_bends`: the feeds in inside bends, widest first. `left`: 1 where the finish climbs
    and inside bends turn left, else -1. `offers`: the cuts that a run may make at this pace.
    """

    rpm: float
    slot: float
    clear: float
    finish: float
    ramp: float
    plunge: float
    rise: float
    clear_bends: tuple[Bend, ...] = ()
    finish_bends: tuple[Bend, ...] = ()
    left: float = 1.0
    offers: tuple[CutUsed, ...] = ()

    def cuts(self, kind: Kind, feeds: Collection[float] = ()) -> Iterator[CutUsed]:
        """The offers of that kind that a run makes: the plain one, and those in bends that go at one of the feeds."""
        return (one for one in self.offers if one.kind == kind and (one.share == 1.0 or one.data.feed in feeds))

    def along_wall(self, chain: Sequence[Segment], tool_radius: float) -> Iterator[tuple[Segment, float]]:
        """A finish cut with its feeds: slower before inside corners and in inside bends."""
        least = self.finish_bends[-1].feed if self.finish_bends else self.finish
        for segment, is_corner in before_corners(chain, BEFORE * tool_radius, self.left):
            if is_corner:
                yield segment, min(self.slot, self.finish)
            else:
                yield from fed([segment], self.finish, self.finish_bends, least, self.left)


def pace(shop: Shop, tool: Tool, step: float, finish_depth: float) -> Pace:
    """For flat tools: `step` deep roughing and a finish `finish_depth` deep, at the slowest speed that any wants."""
    width = max(shop.wall_allowance, LEAST_FINISH)
    kinds: tuple[tuple[Kind, float, float], ...] = (
        ("slot", step, tool.cut_diameter),
        ("clear", step, ENGAGEMENT * tool.cut_diameter),
        ("finish", finish_depth, width),
    )
    rpm = min(shop.data(tool, *kind).rpm for kind in kinds)
    slot, clear, finish = (shop.offer(tool, *kind, rpm) for kind in kinds)
    clearing = [(bend, shop.offer(tool, *kinds[1], rpm, bend_share(bend))) for bend in BENDS]
    wider = [(bend, bend_width(width, bend, tool.radius)) for bend in BENDS]
    finishing = [(bend, shop.offer(tool, "finish", finish_depth, wide, rpm, bend_share(bend))) for bend, wide in wider]
    return Pace(
        clear_bends=tuple(Bend(bend * tool.radius, cut.data.feed) for bend, cut in clearing),
        finish_bends=tuple(Bend(bend * tool.radius, cut.data.feed) for bend, cut in finishing),
        rpm=rpm,
        slot=slot.data.feed,
        clear=clear.data.feed,
        finish=finish.data.feed,
        ramp=slot.data.ramp_feed,
        plunge=slot.data.plunge_feed,
        rise=shop.machine.motion.feed_z_max,
        left=1.0 if shop.finish_direction == "climb" else -1.0,
        offers=(slot, clear, *(cut for _, cut in clearing), finish, *(cut for _, cut in finishing)),
    )


def stepped_over(trail: Trail, chain: Sequence[Segment], pace: Pace, shop: Shop, left: float) -> None:
    """Along a cut beside open ground, slower in bends, and noted for the feeds sheet; `left` as in `fed`."""
    cut = list(fed(chain, pace.clear, pace.clear_bends, pace.clear_bends[-1].feed, left))
    shop.note(*pace.cuts("clear", {feed for _, feed in cut}))
    for segment, feed in cut:
        trail.along([segment], feed)


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
