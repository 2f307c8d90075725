"""Why each tool was chosen for what it cuts on a sheet: its flutes or its form, and what else the rack offered.

Edges and slots into rims have tables of their own, with their reasons.
"""

from collections.abc import Iterable, Sequence

from cncpanel.drawing.measures import Measures
from cncpanel.drawing.paper import Bullets, Heading, Piece, Sentence
from cncpanel.job.model import Face, Stock
from cncpanel.machine.model import Machine
from cncpanel.machine.tool import Tool
from cncpanel.operation.flutes import SPLINTERS, manner
from cncpanel.operation.operation import (
    Bore,
    Clear,
    Drill,
    Engrave,
    Operation,
    PanelPlan,
    Profile,
    SideKerf,
    SlotChannel,
)
from cncpanel.passes.dowel import DOWELS
from cncpanel.passes.run import Run
from cncpanel.passes.screws import SCREWS
from cncpanel.tooling.materials import MATERIALS

MOST = 4  # features named of one reason; the rest is counted
OF_THE_SHEET = {DOWELS: "the dowels' holes", SCREWS: "the screws' holes"}
DRILLED = "a drill of the hole's own diameter"
BORED = "it bores by a helix, and clears the hole to its middle"


def reason_pieces(
    plans: Iterable[PanelPlan],
    stock: Stock,
    machine: Machine,
    measures: Measures,
    *,
    skin: bool = False,
    runs: Iterable[Run] = (),
) -> list[Piece]:
    """A line for each tool and reason; nothing where only edges are cut.

    `skin`: outlines leave one until the end. Of `runs` those are told that belong to no panel.
    """
    through = stock.thickest + machine.table.cut_through
    found: dict[tuple[int, str, str], list[str]] = {}
    for plan in plans:
        for operation in plan.operations:
            why = _why(operation, plan.panel.face, through, skin=skin)
            if why:
                key = operation.tool.number, operation.tool.name, f"{why}{_share(operation, plan.operations)}"
                found.setdefault(key, []).append(f"{plan.panel.name} {operation.feature}")
    for run in runs:
        if run.part in OF_THE_SHEET:
            key = run.tool.number, run.tool.name, _round(run.tool)
            found.setdefault(key, []).append(OF_THE_SHEET[run.part])
    if not found:
        return []
    points = tuple(
        f"T{n} {name}, for {_listed(what)}: {measures.told(why)}." for (n, name, why), what in sorted(found.items())
    )
    return [Heading("Why these tools"), Sentence(_rule(stock)), Bullets(points)]


def _why(operation: Operation, face: Face, through: float, *, skin: bool) -> str | None:
    match operation:
        case Profile() | Clear():
            depth = operation.depth if isinstance(operation, Clear) else None
            on_skin = skin and isinstance(operation, Profile) and operation.side == "outside"
            deep = through if depth is None else depth
            return manner(operation.tool, deep, face, through=depth is None, skin=on_skin).why
        case SideKerf():
            return "it cuts that wall after the turn, so that rim and wall follow corners of one radius"
        case SlotChannel():
            return "it has cut the wall that the channel lies beside, so no other tool is fitted for scrap"
        case Drill() | Bore():
            return _round(operation.tool)
        case Engrave():
            return _lettered(operation.tool)
    return None


def _round(tool: Tool) -> str:
    return DRILLED if tool.kind == "drill" else BORED


def _lettered(tool: Tool) -> str:
    return "its point draws a fine line" if tool.kind == "v-bit" else "its end is thin enough to draw letters with"


def _share(operation: Operation, beside: Sequence[Operation]) -> str:
    """Where two tools clear one recess: which of them takes what."""
    if not isinstance(operation, Clear):
        return ""
    if operation.after is not None:
        first = operation.after.tool
        return f"; it takes only what T{first.number} {first.name} leaves in corners and necks that it does not reach"
    rest = next((one.tool for one in beside if isinstance(one, Clear) and one.after == operation), None)
    if rest is None:
        return ""
    return f"; it is wider and clears what it reaches sooner, before T{rest.number} {rest.name} takes the rest"


def _rule(stock: Stock) -> str:
    splinters = f"then those whose flutes suit its faces, since {MATERIALS[stock.material].title.lower()} splinters, "
    flutes = splinters if stock.material in SPLINTERS else ""
    return (
        f"Of the tools that fit, the fewest that make all panels of this stock, {flutes}then the quickest; none goes "
        "deeper than four of its diameters where a sturdier one fits."
    )


def _listed(what: list[str]) -> str:
    names = list(dict.fromkeys(what))
    more = f" and {len(names) - MOST} more" if len(names) > MOST else ""
    return ", ".join(names[:MOST]) + more
