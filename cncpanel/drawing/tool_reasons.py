"""Why each flat tool was chosen for what it cuts on a sheet: its flutes, and what else the rack offered."""

from collections.abc import Iterable, Iterator, Sequence

from cncpanel.drawing.paper import Bullets, Heading, Piece, Sentence
from cncpanel.job.model import Face, Stock
from cncpanel.machine.model import Machine
from cncpanel.operation.flutes import SPLINTERS, manner
from cncpanel.operation.operation import Clear, Operation, PanelPlan, Profile
from cncpanel.tooling.materials import MATERIALS

MOST = 4  # features named of one reason; the rest is counted


def reason_pieces(plans: Iterable[PanelPlan], stock: Stock, machine: Machine, *, skin: bool = False) -> list[Piece]:
    """A line for each tool and reason; nothing where no flat tool cuts. `skin`: outlines leave one until the end."""
    through = stock.thickest + machine.table.cut_through
    found: dict[tuple[int, str, str], list[str]] = {}
    for plan in plans:
        for operation in plan.operations:
            for number, name, why in _keys(operation, plan.panel.face, through, skin=skin):
                key = number, name, f"{why}{_share(operation, plan.operations)}"
                found.setdefault(key, []).append(f"{plan.panel.name} {operation.feature}")
    if not found:
        return []
    points = tuple(f"T{n} {name}, for {_listed(what)}: {why}." for (n, name, why), what in sorted(found.items()))
    return [Heading("Why these tools"), Sentence(_rule(stock)), Bullets(points)]


def _keys(operation: Operation, face: Face, through: float, *, skin: bool) -> Iterator[tuple[int, str, str]]:
    if isinstance(operation, Profile | Clear) and operation.tool.is_flat:
        depth = operation.depth if isinstance(operation, Clear) else None
        on_skin = skin and isinstance(operation, Profile) and operation.side == "outside"
        told = manner(operation.tool, through if depth is None else depth, face, through=depth is None, skin=on_skin)
        yield operation.tool.number, operation.tool.name, told.why


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
