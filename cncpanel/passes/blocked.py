"""Where on a sheet no tool may go, and where an earlier job left nothing."""

from collections.abc import Iterable

from cncpanel.geometry.area import Area
from cncpanel.job.model import KeepOut
from cncpanel.layout.layout import Sheet
from cncpanel.machine.model import Machine
from cncpanel.machine.tool import Tool

AWAY = 2.0  # mm that tools keep from what is set by hand, which stands a little off its place; no source


def blocked(sheet: Sheet) -> Area | None:
    """Clamps and screws; None where there are none."""
    return _together([keep for keep in sheet.stock.keep_out if keep.kind in ("clamp", "screw")])


def used(sheet: Sheet) -> Area | None:
    """What an earlier job cut away; None where the sheet is whole."""
    return _together([keep for keep in sheet.stock.keep_out if keep.kind == "used"])


def widest_under(tool: Tool, lowest: float, top: float) -> float:
    """The radius of the widest of cutter, shank and nut that comes under `top` where the tip goes down to `lowest`."""
    layers = ((tool.shank_diameter / 2, tool.cutting_length), (tool.nut_diameter / 2, tool.stick_out))
    return max((tool.radius, *(radius for radius, height in layers if lowest + height < top)))


def blocked_beside(sheet: Sheet, tool: Tool, lowest: float, machine: Machine) -> Area | None:
    """Clamps and screws, as wide as the cutter must keep off for its shank and its nut; None where there are none."""
    area: Area | None = None
    for keep in sheet.stock.keep_out:
        if keep.kind in ("clamp", "screw"):
            more = widest_under(tool, lowest - machine.table.cut_through, _top(keep, machine)) - tool.radius
            box = _box(keep).grown(more) if more > 0 else _box(keep)
            area = box if area is None else area.plus(box)
    return area


def too_near(keep_outs: Iterable[KeepOut], tool: Tool, lowest: float, machine: Machine) -> Area:
    """Where a hole that the tool makes has no room for all of the tool beside a clamp or a screw, mm.

    The zero and the thickness may be out by as much as the machine cuts through.
    """
    area = Area.of(())
    for keep in keep_outs:
        if keep.kind in ("clamp", "screw"):
            far = widest_under(tool, lowest - machine.table.cut_through, _top(keep, machine))
            area = area.plus(_box(keep).grown(far + AWAY))
    return area


def _top(keep: KeepOut, machine: Machine) -> float:
    return machine.table.clamp_height if keep.height is None else keep.height


def _together(keep_outs: list[KeepOut]) -> Area | None:
    area: Area | None = None
    for keep in keep_outs:
        area = _box(keep) if area is None else area.plus(_box(keep))
    return area


def _box(keep: KeepOut) -> Area:
    (x, y), (width, height) = keep.at, keep.size
    return Area.box((x, y, x + width, y + height))
