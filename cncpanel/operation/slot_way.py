"""How a slot cutter of the rack makes a slot into a rim: from a channel in the scrap beside the finished wall.

The disc comes down in the channel clear of the wall and goes in sideways: the channel is as wide as that takes, and a
little deeper than the disc's lower side. Tabs stand under it: it goes over their tops or not at all.
"""

from math import ceil

from cncpanel.geometry.point import Point
from cncpanel.geometry.region import region_of
from cncpanel.machine.tool import Tool
from cncpanel.operation.operation import Clear, Profile, SlotChannel, SlotCut
from cncpanel.operation.rack import NUT_CLEAR, Bench
from cncpanel.operation.reach import inside, outside
from cncpanel.operation.way import ORDER, Need, Refusal, Way
from cncpanel.panel.edge import RimSlot
from cncpanel.panel.panel import Panel
from cncpanel.tooling.feeds import CuttingData, cutting_data
from cncpanel.tooling.materials import MATERIALS
from cncpanel.tooling.spindle_speed import usable_speeds

APART = 1.0  # mm off the wall where a disc comes down and lifts, and off the channel's other side; own choice
BESIDE_NECK = 0.5  # mm between neck or shank and the finished wall; own choice
UNDER_DISC = 0.5  # mm that the channel goes deeper than the disc, so that it rubs on nothing; own choice
SAME_WIDTH = 0.01  # mm; a disc this much thicker than the slot is as thick as it
COMMON = 0.1  # mm that a disc's heights have in common, so that no fin stays between them; own choice
STEP = 0.4  # of the diameter between the ways of the channel's tool: a little less than while clearing, for corners
AT_THE_BENCH = "or leave bench out: the slot is listed for the bench"


def slot_need(panel: Panel, slot: RimSlot, wall: Profile | Clear, bench: Bench) -> Need:
    """Every slot cutter's way; other tools are spoken of only where the rack has none."""
    tools = [tool for tool in bench.machine.tool if slot.tool in (None, tool.name)]
    able = [tool for tool in tools if tool.undercuts] or tools
    tried = [slot_way(panel, slot, wall, bench, tool) for tool in able]
    return Need(
        panel=panel.name,
        feature=slot.name,
        order=ORDER["slot"],
        place=slot.place,
        asked=slot.tool,
        ways=tuple(way for way in tried if isinstance(way, Way)),
        refusals=tuple(way for way in tried if isinstance(way, Refusal)),
    )


def slot_way(panel: Panel, slot: RimSlot, wall: Profile | Clear, bench: Bench, tool: Tool) -> Way | Refusal:
    """The channel by the wall's tool, where the wall is not an opening cleared whole, then the slot."""
    refused = _refused(slot, bench, tool)
    if refused:
        return Refusal(tool, refused)
    levels = slot_levels(slot, tool)
    cut = SlotCut(
        panel=panel.name,
        feature=slot.name,
        side="inside" if slot.inside else "outside",
        contour=slot.contour,
        stretch=slot.stretch,
        width=slot.form.width,
        into=slot.form.depth,
        levels=levels,
        apart=APART,
        why=_why(slot, tool, len(levels)),
        tool=tool,
    )
    refused = _does_not_go_along(cut, panel.drawn_at) or (
        _strikes_tabs(cut, bench) if isinstance(wall, Profile) else None
    )
    if refused:
        return Refusal(tool, refused)
    channel = SlotChannel(
        panel=panel.name,
        feature=f"channel for {slot.told}",
        slot=cut,
        depth=cut.depth + UNDER_DISC,
        tool=wall.tool,
    )
    first = channel if isinstance(wall, Profile) else None
    return Way(tool=tool, operation=cut, first=first, time_s=_time_s(cut, bench))


def slot_levels(slot: RimSlot, tool: Tool) -> tuple[float, ...]:
    """Depths of the disc's lower side, the deepest last: as few as its thickness allows, evenly spread."""
    thick, wide = tool.cutting_length, slot.form.width
    if thick >= wide - SAME_WIDTH:
        return (slot.bottom,)
    common = min(COMMON, thick / 2)
    count = ceil((wide - common) / (thick - common) - 1e-9)
    first = slot.top + thick
    return tuple(first + (slot.bottom - first) * number / (count - 1) for number in range(count))


def _refused(slot: RimSlot, bench: Bench, tool: Tool) -> str | None:
    """What of the tool itself does not suit, or None."""
    if not tool.undercuts:
        return "only a slot-cutter cuts a slot under a face"
    if tool.cutting_length > slot.form.width + SAME_WIDTH:
        return f"its disc is {tool.cutting_length:g} mm thick, the slot {slot.form.width:g} mm"
    reach = tool.radius - _beside(slot, tool) - BESIDE_NECK
    if slot.form.depth > reach + 1e-6:
        beside = f"it goes {max(reach, 0.0):.2f} mm into a wall beside its neck and shank"
        return f"{beside}, the slot is {slot.form.depth:g} mm"
    deep = slot.bottom + NUT_CLEAR + bench.higher
    if tool.stick_out < deep - 1e-6:
        return f"it sticks out {tool.stick_out:g} mm, {deep:.2f} mm are needed"
    data = _data(slot, bench, tool)
    if data is None:
        return (
            f"it turns at most {tool.rpm_max or 0:g} rpm, the spindle no slower than {bench.machine.spindle.rpm_min:g}"
        )
    if data.power_w > data.power_available_w * 1.001:
        return f"it needs {data.power_w:.0f} W, the spindle gives {data.power_available_w:.0f}"
    if data.deflection_mm > bench.machine.cutting.deflection_max * 1.001:
        return f"it would bend {data.deflection_mm:.3f} mm"
    return None


def _beside(slot: RimSlot, tool: Tool) -> float:
    """The radius of what goes past the wall under the face: the neck, or a wider shank that comes down so far."""
    shank = tool.shank_diameter / 2
    if tool.neck_length is None or tool.cutting_length + tool.neck_length < slot.bottom:
        return max(tool.neck_radius, shank)
    return tool.neck_radius


def _data(slot: RimSlot, bench: Bench, tool: Tool) -> CuttingData | None:
    depth = min(tool.cutting_length, slot.form.width)
    if usable_speeds(tool, bench.machine) is None:
        return None
    material = MATERIALS[bench.stock.material]
    return cutting_data(tool, material, bench.machine, depth=depth, width=slot.form.depth, kind="profile")


def _does_not_go_along(cut: SlotCut, drawn_at: Point) -> str | None:
    """Corners, told where the author drew them, and ends that its disc is too large for; or None."""
    if cut.stretch is None:
        region = region_of(cut.contour)
        if cut.side == "outside":
            missed = outside(cut.contour, cut.offset)
        else:
            reached = inside(region, region, cut.clear_offset)
            if not reached.shrunk:
                return f"its disc, {cut.tool.cut_diameter:g} mm wide, finds no room within the rim"
            missed = inside(region, region, cut.offset).missed
        if missed:
            left, low, _, _ = min(missed, key=lambda one: one.bounds).bounds
            near = f"({left + drawn_at.x:.1f}, {low + drawn_at.y:.1f})"
            return (
                f"an inside corner near {near} is tighter than the {cut.offset:g} mm that its centre keeps off the wall"
            )
        return None
    closed = (cut.stretch.open_start, cut.stretch.open_stop).count(False)
    length, least = cut.stretch.stop - cut.stretch.start, closed * cut.half_chord
    if length > least + 1e-6:
        return None
    return f"the stretch, {length:.2f} mm long, is no longer than the round that its disc leaves there, {least:.2f} mm"


def _strikes_tabs(cut: SlotCut, bench: Bench) -> str | None:
    """The channel must stay over the tops of tabs, where any might be."""
    height = bench.settings.tab_height or bench.machine.cutting.tab_height
    tops, deep = bench.stock.thinnest - height, cut.depth + UNDER_DISC
    if deep > tops + 1e-6:
        least = bench.stock.thinnest - deep
        lower = (
            f"settings.tab_height of {least:.2f} mm at most" if least >= 1.0 else "a slot further from the lower face"
        )
        return f"its channel goes {deep:.2f} mm deep and would cut the tabs, whose tops are {tops:.2f} mm down: {lower}"
    return None


def _why(slot: RimSlot, tool: Tool, heights: int) -> str:
    thick = f"its disc, {tool.cutting_length:g} mm thick,"
    if heights == 1:
        return f"{thick} leaves the slot's width, {slot.form.width:g} mm, in one height"
    return f"{thick} leaves the slot's width, {slot.form.width:g} mm, in {heights} heights"


def _time_s(cut: SlotCut, bench: Bench) -> float:
    length = cut.contour.length if cut.stretch is None else cut.stretch.stop - cut.stretch.start
    data = cutting_data(
        cut.tool,
        MATERIALS[bench.stock.material],
        bench.machine,
        depth=min(cut.tool.cutting_length, cut.width),
        width=cut.into,
        kind="profile",
    )
    return 60.0 * length * len(cut.levels) / data.feed
