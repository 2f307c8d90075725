"""How far parts keep from a tall clamp: a collet nut that dips under its top beside the part's wall must pass it."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from cncpanel.geometry.area import Area
from cncpanel.geometry.region import region_of
from cncpanel.job.model import KeepOut, Stock
from cncpanel.machine.model import Machine
from cncpanel.operation.operation import (
    Bore,
    Clear,
    Drill,
    EdgeCut,
    Engrave,
    Operation,
    PanelPlan,
    Profile,
    SideKerf,
    SlotChannel,
    SlotCut,
)
from cncpanel.panel.panel import Panel

SPECK = 0.05  # mm; how wide the tool's way along a stroke is taken


@dataclass(frozen=True, slots=True)
class _Dip:
    """How far outside the finished wall the nut's rim comes, and how high over the sheet at its lowest, mm."""

    beside: float
    low: float


def with_nut_room(stock: Stock, plans: Iterable[PanelPlan], machine: Machine, gap: float, spare: float) -> Stock:
    """The stock with `clear` on those clamps and screws that ask for more than the gap. mm.

    `spare` is added to where a nut's rim comes at its farthest, for leads.
    """
    tops = [_top(keep, machine) for keep in (*stock.keep_out, *(k for size in stock.size for k in size.keep_out))]
    dips = list(_dips(plans, stock, machine, max(tops, default=0.0)))

    def cleared(keep: KeepOut) -> KeepOut:
        top = _top(keep, machine)
        room = max((dip.beside + spare for dip in dips if dip.low < top), default=0.0)
        return keep.model_copy(update={"clear": room}) if room > max(gap, keep.clear or 0.0) else keep

    sizes = tuple(
        size.model_copy(update={"keep_out": tuple(map(cleared, size.keep_out))}) if size.keep_out else size
        for size in stock.size
    )
    return stock.model_copy(update={"keep_out": tuple(map(cleared, stock.keep_out)), "size": sizes})


def _top(keep: KeepOut, machine: Machine) -> float:
    """How high it stands over the sheet; 0 where it lies in it."""
    if keep.kind not in ("clamp", "screw"):
        return 0.0
    return machine.table.top_of(keep.height)


def _dips(plans: Iterable[PanelPlan], stock: Stock, machine: Machine, tallest: float) -> Iterator[_Dip]:
    """Those that come under the tallest; zero and thickness may be out by as much as the machine cuts through."""
    over = machine.table.cut_through
    for plan in plans:
        for operation in plan.operations:
            tool = operation.tool
            low = tool.stick_out - (_depth(operation) or stock.thickest + over) - over
            if low < tallest:
                yield _Dip(_beside(operation, plan.panel) + tool.nut_diameter / 2, low)


def _depth(operation: Operation) -> float | None:
    """None: through the sheet."""
    return None if isinstance(operation, Profile) else operation.depth


def _beside(operation: Operation, panel: Panel) -> float:
    """How far outside the panel the tool's centre comes, mm; negative within it."""
    match operation:
        case Profile(side="outside", tool=tool):
            return tool.radius
        case EdgeCut(side="outside", layers=layers):
            return max(layer.offset for layer in layers)
        case SideKerf(edge=EdgeCut(side="outside"), tool=tool):
            return operation.reach - tool.radius
        case SlotCut(side="outside"):
            return operation.clear_offset
        case SlotChannel(slot=SlotCut(side="outside") as slot, tool=tool):
            return slot.room - tool.radius
    within = Area.of([region_of(panel.outline)]).outside.gap(_centres(operation))
    return -within if within > 0 else operation.tool.radius


def _centres(operation: Operation) -> Area:
    """Where the centre goes of what is made inside a panel, or a little more."""
    match operation:
        case Bore() | Drill():
            middle = operation.centre
            return Area.box((middle.x - SPECK, middle.y - SPECK, middle.x + SPECK, middle.y + SPECK))
        case Engrave():
            strokes = (*operation.strokes, *operation.mirrored_strokes)
            return Area.swept([stroke.segments for stroke in strokes], SPECK)
        case Clear():
            whole = Area.of([operation.open_region])
        case SideKerf():
            whole = Area.of([region_of(operation.edge.contour)])
        case SlotChannel():
            whole = Area.of([region_of(operation.slot.contour)])
        case _:
            whole = Area.of([region_of(operation.contour)])
    shrunk = whole.grown(-operation.tool.radius)
    return whole if shrunk.is_empty else shrunk
