"""Every way to make each kind of feature with a given tool: a `Way`, or the `Refusal` that says why not."""

from typing import TypeVar

from cncpanel.geometry.area import Area
from cncpanel.geometry.combine import gap, intersection, union
from cncpanel.geometry.contour import Contour, circle
from cncpanel.geometry.offset import offset
from cncpanel.geometry.point import Point
from cncpanel.geometry.region import Region, region_of
from cncpanel.machine.tool import Tool
from cncpanel.operation.operation import Bore, Clear, Drill, Engrave, Operation, Profile
from cncpanel.operation.rack import Bench
from cncpanel.operation.reach import Reached, avoidable_area, inside, notches, outside, sharp_corners, slugs, total_area
from cncpanel.operation.way import Refusal, Way
from cncpanel.panel.panel import Hole, Mark, Opening, Panel, Recess
from cncpanel.tooling.drilling import BORE_RATIO, BORE_RATIO_NO_CENTRE
from cncpanel.tooling.step_down import CLEAR_WIDTH

_Round = TypeVar("_Round", Bore, Drill)

BORE_TO = 4.0  # tool diameters; wider holes are openings with a slug, or cleared
DRILL_MATCH = 0.05  # mm; a drill this near the drawn diameter makes the hole
SLUG_SIDE = 25.0  # mm; a slug narrower than this cannot be tabbed and is cut away whole (common practice)
SLUG_AREA = 2000.0  # mm2; so is a smaller one
RUN_OUT = 0.1  # mm; the tool's middle goes this far past a panel's edge where a recess runs out
MEETS = 0.01  # mm; an opening that is no farther from a recess is one that it ends at
LESS_MISSED = 1e-3  # mm2; going farther out for less would be for nothing


def outline_way(panel: Panel, bench: Bench, tool: Tool) -> Way | Refusal:
    """Round the outside; inside corners smaller than the tool stay standing."""
    refused = _flat_refused(tool, None, bench)
    if refused:
        return Refusal(tool, refused)
    gap = bench.settings.gap
    if gap is not None and tool.cut_diameter > gap + 1e-6:
        return Refusal(tool, f"{tool.cut_diameter:g} mm wide, the gap between parts is {gap:g} mm")
    missed = outside(panel.outline, tool.radius)
    operation = Profile(panel=panel.name, feature="outline", side="outside", contour=panel.outline, tool=tool)
    time = bench.time_s(tool, panel.outline.length, None, "profile")
    corners = notches(panel.outline)
    return Way(
        tool=tool,
        operation=operation,
        missed=missed,
        avoidable=avoidable_area(missed, corners, tool.radius),
        time_s=time,
        slender=bench.slender(tool, None),
        frays=bench.frays(tool, None, panel.face, skin=bench.settings.hold == "skin"),
    )


def opening_way(panel: Panel, opening: Opening, bench: Bench, tool: Tool) -> Way | Refusal:
    """Inside an opening: a slug held by tabs, or cleared whole where the slug is too small or no tab could stand."""
    return _through_way(panel, opening.name, opening.contour, bench, tool)


def _through_way(panel: Panel, feature: str, contour: Contour, bench: Bench, tool: Tool) -> Way | Refusal:
    refused = _flat_refused(tool, None, bench)
    if refused:
        return Refusal(tool, refused)
    region = region_of(contour)
    reached = inside(region, region, tool.radius, snug=tool.plunges)
    if not reached.shrunk:
        return Refusal(tool, _too_wide(tool, region))
    small = all(_too_small_to_hold(slug) for slug in slugs(region, tool.cut_diameter))
    whole = small or _is_undermined(panel, contour, bench)
    operation: Operation = (
        Clear(panel=panel.name, feature=feature, region=region, open_region=region, depth=None, tool=tool)
        if whole
        else Profile(panel=panel.name, feature=feature, side="inside", contour=contour, tool=tool)
    )
    length = region.area / (CLEAR_WIDTH * tool.cut_diameter) if whole else contour.length
    return Way(
        tool=tool,
        operation=operation,
        missed=reached.missed,
        avoidable=avoidable_area(reached.missed, sharp_corners(region), tool.radius),
        time_s=bench.time_s(tool, length, None, "clear" if whole else "profile"),
        slender=bench.slender(tool, None),
        frays=bench.frays(tool, None, panel.face),
    )


def _is_undermined(panel: Panel, contour: Contour, bench: Bench) -> bool:
    """Whether what was cut from the other face leaves no place for a tab along the opening's rim."""
    if panel.reverse is None:
        return False
    width = bench.settings.tab_width or bench.machine.cutting.tab_width
    blind = [hole for hole in panel.reverse.holes if hole.depth is not None]
    floors = [
        *(recess.region for recess in panel.reverse.recesses),
        *(region_of(circle(one.centre, one.diameter / 2)) for one in blind),
    ]
    beneath = Area.of(floors).grown(width)
    return Area.swept([contour.segments], RUN_OUT).minus(beneath).is_empty


def recess_way(panel: Panel, recess: Recess, bench: Bench, tool: Tool) -> Way | Refusal:
    """Clear a flat floor, running out over the rim and over deeper floors beside it."""
    refused = _flat_refused(tool, recess.depth, bench)
    if refused:
        return Refusal(tool, refused)
    room, reached = _room_reached(panel, recess, tool)
    if not reached.shrunk:
        return Refusal(tool, _too_wide(tool, recess.region))
    operation = Clear(
        panel=panel.name,
        feature=recess.name,
        region=recess.region,
        open_region=room,
        depth=recess.depth,
        tool=tool,
        lines=recess.lines,
    )
    corners = sharp_corners(room)
    return Way(
        tool=tool,
        operation=operation,
        missed=reached.missed,
        avoidable=avoidable_area(reached.missed, corners, tool.radius),
        time_s=bench.time_s(tool, recess.region.area / (CLEAR_WIDTH * tool.cut_diameter), recess.depth, "clear"),
        slender=bench.slender(tool, recess.depth),
        frays=bench.frays(tool, recess.depth, panel.face),
    )


def _room_reached(panel: Panel, recess: Recess, tool: Tool) -> tuple[Region, Reached]:
    """Where the tool may be and what it reaches: its widest part on the rim, wholly beyond it where that reaches more.

    Where a wall meets the rim aslant, only from beyond does a round tool come into the corner between them.
    """
    radius = tool.radius
    room = recess_room(panel, recess, radius, RUN_OUT)
    reached = inside(recess.region, room, radius, snug=tool.plunges)
    if reached.missed and room != recess.region:
        wide = recess_room(panel, recess, radius, radius + RUN_OUT)
        more = inside(recess.region, wide, radius, snug=tool.plunges)
        if more.shrunk and total_area(more.missed) < total_area(reached.missed) - LESS_MISSED:
            return wide, more
    return room, reached


def recess_room(panel: Panel, recess: Recess, radius: float, beyond: float) -> Region:
    """Where a tool of `radius` may be while it clears the recess: its region, what lies deeper beside it, and as much
    beyond the rim, and in an opening that it ends at, as lets its middle go `beyond` it, mm."""
    deeper = [other.region for other in panel.recesses if other.depth > recess.depth]
    beside = [region for opening in panel.openings if gap(region := region_of(opening.contour), recess.region) < MEETS]
    if beside:
        deeper += intersection(beside, offset((recess.region,), radius + beyond))
    rooms = union([recess.region, recess.open_region, *deeper]) if deeper else (recess.open_region,)
    if recess.open_region != recess.region or deeper:
        limit = offset((Region(panel.outline),), radius + beyond)
        rooms = intersection(rooms, limit)
    return rooms[0] if len(rooms) == 1 else max(rooms, key=lambda room: _shared(room, recess.region))


def _shared(room: Region, region: Region) -> float:
    return sum(piece.area for piece in intersection((room,), (region,)))


def hole_way(panel: Panel, hole: Hole, bench: Bench, tool: Tool) -> Way | Refusal:
    """Drilled where the spindle is slow enough, else bored by helix; wide ones are openings or recesses."""
    if tool.kind == "drill":
        return _drill_way(panel, hole, tool, bench)
    refused = _flat_refused(tool, hole.depth, bench)
    if refused:
        return Refusal(tool, refused)
    least = (BORE_RATIO if tool.plunges else BORE_RATIO_NO_CENTRE) * tool.cut_diameter
    if hole.diameter < least - 1e-9:
        return Refusal(
            tool, f"too wide, it bores holes from {round(least, 3):g} mm, this one is {round(hole.diameter, 3):g} mm"
        )
    if hole.diameter > BORE_TO * tool.cut_diameter:
        return _wide_hole_way(panel, hole, tool, bench)
    operation = _round(Bore, panel, hole, tool)
    turn = 3.1416 * hole.diameter
    return Way(
        tool=tool,
        operation=operation,
        time_s=bench.time_s(tool, turn * 2, hole.depth, "bore"),
        slender=bench.slender(tool, hole.depth),
    )


def _round(kind: type[_Round], panel: Panel, hole: Hole, tool: Tool) -> _Round:
    return kind(
        panel=panel.name,
        feature=hole.name,
        centre=hole.centre,
        diameter=hole.diameter,
        top=hole.top,
        depth=hole.depth,
        tool=tool,
    )


def _wide_hole_way(panel: Panel, hole: Hole, tool: Tool, bench: Bench) -> Way | Refusal:
    contour = circle(hole.centre, hole.diameter / 2)
    if hole.depth is None:
        return _through_way(panel, hole.name, contour, bench, tool)
    region = region_of(contour)
    operation = Clear(
        panel=panel.name, feature=hole.name, region=region, open_region=region, depth=hole.depth, tool=tool
    )
    length = region.area / (CLEAR_WIDTH * tool.cut_diameter)
    return Way(
        tool=tool,
        operation=operation,
        time_s=bench.time_s(tool, length, hole.depth, "clear"),
        slender=bench.slender(tool, hole.depth),
    )


def _drill_way(panel: Panel, hole: Hole, tool: Tool, bench: Bench) -> Way | Refusal:
    refused = bench.drill_refused(tool) or bench.refused(tool, hole.depth)
    if refused:
        return Refusal(tool, refused)
    if abs(tool.cut_diameter - hole.diameter) > DRILL_MATCH:
        return Refusal(tool, f"drills {tool.cut_diameter:g} mm, this hole is {hole.diameter:g} mm")
    return Way(tool=tool, operation=_round(Drill, panel, hole, tool), time_s=3.0)


def mark_way(panel: Panel, mark: Mark, bench: Bench, tool: Tool) -> Way | Refusal:
    """Follow the strokes; a v-bit for choice, else a ball or a thin flat tool."""
    if tool.kind not in ("v-bit", "ball") and not (tool.is_flat and tool.cut_diameter <= 3.2):
        return Refusal(tool, "too wide or of the wrong form for lettering")
    if not tool.plunges:
        return Refusal(tool, "its end does not cut, it cannot start a stroke")
    refused = bench.refused(tool, mark.depth)
    if refused:
        return Refusal(tool, refused)
    operation = Engrave(
        panel=panel.name,
        feature=mark.name,
        face=panel.face,
        strokes=mark.strokes,
        mirrored_strokes=mark.mirrored_strokes,
        depth=mark.depth,
        tool=tool,
    )
    length = sum(stroke.length for stroke in mark.strokes)
    coarse = 0.0 if tool.kind == "v-bit" else tool.cut_diameter
    return Way(
        tool=tool,
        operation=operation,
        time_s=bench.time_s(tool, length, mark.depth, "mark") + coarse,
    )


def _flat_refused(tool: Tool, depth: float | None, bench: Bench) -> str | None:
    if not tool.is_flat:
        return f"a {tool.kind} leaves no straight wall and flat floor"
    return bench.refused(tool, depth) or bench.overloaded(tool, depth, "slot")


def _too_small_to_hold(slug: Region) -> bool:
    left, low, right, high = slug.bounds
    return min(right - left, high - low) < SLUG_SIDE or slug.area < SLUG_AREA


def _too_wide(tool: Tool, region: Region) -> str:
    wide, widest = tool.cut_diameter, Area.of([region]).widest
    return f"{wide:g} mm does not go into {widest:.2f} mm" if wide > widest else f"{wide:g} mm reaches hardly any of it"


def centre_of(region: Region) -> Point:
    """The middle of a region's box."""
    left, low, right, high = region.bounds
    return Point((left + right) / 2, (low + high) / 2)
