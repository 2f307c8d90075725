"""What a bench hand needs to know of slots along edges: which cutter, how deep, how high, and which way to feed."""

from collections.abc import Iterable

from cncpanel.drawing.measures import Measures
from cncpanel.drawing.paper import Cautions, Piece, Sentence, Table
from cncpanel.panel.edge import DrawnRim, Slot
from cncpanel.panel.panel import Panel

NOTE = (
    "Slots for T-moulding: a slot cutter whose disc is no thicker than the slot (a thinner one makes it in two "
    "heights), its reach set by the bearing or by the table's fence, the show face always against the router's base or "
    "the table. The dashed line on the template is the slot's floor: no screw or dowel crosses it. Try the moulding in "
    "a slot in an offcut of the same board first."
)
# Common practice of hand-held and table routers, no source.
FEED = (
    "Feed against the cutter's turn: a hand-held router goes round a panel counter-clockwise and round an opening "
    "clockwise, seen from above; on a router table the panel goes past from right to left. Fed with its turn a disc "
    "pulls itself along and throws the work or the router.",
    "Into the edge and out of it sideways, from beyond a corner or on a starting pin; never up or down while the disc "
    "is in the wood: it tears the face off. Let the spindle stand still before the router is lifted away.",
    "No higher rpm than the cutter is marked with, guards on, small parts clamped and never held by hand. The maker's "
    "manual and local rules come before this sheet.",
)


def slot_pieces(panels: Iterable[Panel], measures: Measures) -> list[Piece]:
    """Nothing where no rim has a slot that is cut by hand."""
    found = [(panel, one) for panel in panels for one in panel.rims if isinstance(one.form, Slot) and one.bench]
    rows = tuple(dict.fromkeys(_row(panel, drawn, measures) for panel, drawn in found))
    if not rows:
        return []
    head = ("Panel", "Rim of", "Disc, at most thick", "Reach into the edge", "Show face to slot")
    return [Sentence(NOTE), Table(head=head, rows=rows, shares=(40, 30, 36, 36, 38)), Cautions(FEED)]


def _row(panel: Panel, drawn: DrawnRim, measures: Measures) -> tuple[str, ...]:
    assert isinstance(drawn.form, Slot)
    thickness = (panel.stock.thinnest + panel.stock.thickest) / 2
    lengths = drawn.form.width, drawn.form.depth, drawn.form.under_show_face(thickness)
    return panel.name, "an opening" if drawn.inside else "the panel", *(measures.length(one) for one in lengths)
