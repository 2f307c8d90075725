"""The slots that a sheet's programs cut into rims: where, with which disc, in how many heights, from what channel."""

from collections.abc import Iterable

from cncpanel.drawing.edge_list import when
from cncpanel.drawing.measures import Measures
from cncpanel.drawing.paper import Cautions, Heading, Piece, Sentence, Table
from cncpanel.operation.operation import PanelPlan, SlotChannel, SlotCut

NOTE = (
    "Beside each wall the programs open a channel in the scrap; the disc comes down in it clear of the wall, goes in "
    "sideways, along and out again. Its diameter makes the slot's depth, its thickness the width: measure both on the "
    "cutter, and try the moulding in a slot in an offcut of the same board first."
)
# Common practice, no source.
UNDER_WOOD = (
    "While the disc is in a slot wood stands over it: after a stop never lift it or jog it up there. Go back out "
    "sideways into the channel, then up; or let the program run on.",
    "Keep chips out of the channels: a full one throws them at the disc. No higher rpm than the cutter is marked with; "
    "the maker's manual and local rules come before this sheet.",
)


def slot_list(plans: Iterable[PanelPlan], measures: Measures) -> list[Piece]:
    """Nothing where the programs cut no slot."""
    plans = tuple(plans)
    rows = tuple(_row(one, plan, measures) for plan in plans for one in plan.operations if isinstance(one, SlotCut))
    if not rows:
        return []
    head = ("Panel", "Edge", "Slot", "Under the face", "Tool", "Channel wide, deep", "Why this tool")
    table = Table(head=head, rows=rows, shares=(24, 24, 28, 24, 12, 28, 40))
    return [
        Heading("Slots made by the programs"),
        Sentence(f"{when(plans)} {NOTE}"),
        table,
        Cautions(UNDER_WOOD),
    ]


def _row(slot: SlotCut, plan: PanelPlan, measures: Measures) -> tuple[str, ...]:
    channel = next((one for one in plan.operations if isinstance(one, SlotChannel) and one.slot == slot), None)
    told = measures.length
    return (
        slot.panel,
        slot.feature,
        f"{told(slot.width)}, {told(slot.into)} deep",
        f"{told(round(slot.depth - slot.width, 3))} to {told(round(slot.depth, 3))}",
        f"T{slot.tool.number}",
        "none: the opening is cleared whole" if channel is None else f"{told(slot.room)}, {told(channel.depth)}",
        measures.told(slot.why),
    )
