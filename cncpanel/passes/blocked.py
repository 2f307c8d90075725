"""Where on a sheet no tool may go, and where an earlier job left nothing."""

from collections.abc import Callable, Container, Iterable

from cncpanel.geometry.area import Area
from cncpanel.job.model import KeepOut
from cncpanel.layout.layout import Sheet
from cncpanel.machine.model import Machine
from cncpanel.machine.tool import Tool

HOLDING = ("clamp", "screw")
AWAY = 2.0  # mm that tools keep from what is set by hand, which stands a little off its place; no source


def blocked(sheet: Sheet) -> Area | None:
    """Clamps and screws; None where there are none."""
    return _together(sheet.stock.keep_out)


def used(sheet: Sheet) -> Area | None:
    """What an earlier job cut away; None where the sheet is whole."""
    return _together(sheet.stock.keep_out, kinds=("used",))


def widest_under(tool: Tool, lowest: float, top: float) -> float:
    """The radius of the widest of cutter, shank and nut that comes under `top` where the tip goes down to `lowest`."""
    layers = ((tool.shank_diameter / 2, tool.cutting_length), (tool.nut_diameter / 2, tool.stick_out))
    return max((tool.radius, *(radius for radius, height in layers if lowest + height < top)))


def blocked_beside(sheet: Sheet, tool: Tool, lowest: float, machine: Machine) -> Area | None:
    """Clamps and screws, as wide as the cutter must keep off for its shank and its nut; None where there are none."""
    return _together(sheet.stock.keep_out, lambda keep: _reach(keep, tool, lowest, machine) - tool.radius)


def too_near(keep_outs: Iterable[KeepOut], tool: Tool, lowest: float, machine: Machine) -> Area:
    """Where a hole that the tool makes has no room for all of the tool beside a clamp or a screw."""
    return _together(keep_outs, lambda keep: _reach(keep, tool, lowest, machine) + AWAY) or Area.of(())


def _reach(keep: KeepOut, tool: Tool, lowest: float, machine: Machine) -> float:
    """The widest of the tool that comes beside it, mm: lower by as much as the machine cuts through."""
    table = machine.table
    return widest_under(tool, lowest - table.cut_through, table.top_of(keep.height))


def _together(
    keep_outs: Iterable[KeepOut], more: Callable[[KeepOut], float] = lambda _: 0.0, kinds: Container[str] = HOLDING
) -> Area | None:
    """Those of the kinds, each `more` mm wider all round; None where there is none."""
    area: Area | None = None
    for keep in keep_outs:
        if keep.kind in kinds:
            box = _box(keep).grown(wider) if (wider := more(keep)) > 0 else _box(keep)
            area = box if area is None else area.plus(box)
    return area


def _box(keep: KeepOut) -> Area:
    (x, y), (width, height) = keep.at, keep.size
    return Area.box((x, y, x + width, y + height))
