"""How far parts keep from a tall clamp: a collet nut that dips under its top beside the part's wall must pass it."""

from collections.abc import Iterable

from cncpanel.job.model import KeepOut, Stock
from cncpanel.machine.model import Machine
from cncpanel.operation.operation import EdgeCut, Operation, PanelPlan, Profile, SlotChannel, SlotCut


def with_nut_room(stock: Stock, plans: Iterable[PanelPlan], machine: Machine, gap: float, spare: float) -> Stock:
    """The stock with `clear` on those clamps and screws that ask for more than the gap. mm.

    `spare` is added to where a nut's rim comes at its farthest, for leads.
    """
    dips = [dip for plan in plans for operation in plan.operations if (dip := _dip(operation, stock, machine))]

    def cleared(keep: KeepOut) -> KeepOut:
        if keep.kind not in ("clamp", "screw"):
            return keep
        height = machine.table.clamp_height if keep.height is None else keep.height
        room = max((wide + spare for wide, over in dips if over < height), default=0.0)
        return keep.model_copy(update={"clear": room}) if room > max(gap, keep.clear or 0.0) else keep

    sizes = tuple(
        size.model_copy(update={"keep_out": tuple(map(cleared, size.keep_out))}) if size.keep_out else size
        for size in stock.size
    )
    return stock.model_copy(update={"keep_out": tuple(map(cleared, stock.keep_out)), "size": sizes})


def _dip(operation: Operation, stock: Stock, machine: Machine) -> tuple[float, float] | None:
    """How far outside the finished wall the nut's rim comes, and how high over the sheet at its lowest."""
    through = stock.thickest + machine.table.cut_through
    match operation:
        case Profile(side="outside", tool=tool):
            beside, deep = tool.cut_diameter / 2, through
        case EdgeCut(side="outside", tool=tool, layers=layers):
            beside, deep = max(layer.offset for layer in layers), operation.depth
        case SlotCut(side="outside", tool=tool):
            beside, deep = operation.clear_offset, operation.depth
        case SlotChannel(slot=SlotCut(side="outside") as slot, tool=tool, depth=deep):
            beside = slot.room - tool.radius
        case _:
            return None
    low = tool.stick_out - deep - machine.table.cut_through  # zero and thickness may be out by as much
    return beside + tool.nut_diameter / 2, low
