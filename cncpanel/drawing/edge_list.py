"""The edges that a sheet's programs make: which tool, in how many levels, and why that tool."""

from collections.abc import Iterable

from cncpanel.drawing.edge_picture import edge_picture
from cncpanel.drawing.measures import Measures
from cncpanel.drawing.paper import Heading, Picture, Piece, Sentence, Table, Together
from cncpanel.operation.operation import EdgeCut, PanelPlan
from cncpanel.panel.edge import Round


def edge_pieces(plans: Iterable[PanelPlan], measures: Measures, width: float, directions: str) -> list[Piece]:
    """Nothing where the programs make no edge; the page is `width` mm wide. `directions`: which way tools go."""
    plans = tuple(plans)
    edges = [one for plan in plans for one in plan.operations if isinstance(one, EdgeCut)]
    rows, picture = tuple(_row(one, measures) for one in edges), edge_picture(edges, width)
    if not rows:
        return []
    return [
        Heading("Edges made by the programs"),
        Sentence(
            f"{when(plans)} A form tool roughs beside the wall, then takes a light pass. {directions} Try tool and "
            "depth on scrap first: too deep leaves a step in the face, too near one in the wall."
        ),
        Table(
            head=("Panel", "Edge", "Form", "Tool", "Levels", "Tip under the face", "Why this tool"),
            rows=rows,
            shares=(26, 24, 30, 14, 14, 24, 48),
        ),
        *_drawn(picture),
    ]


def when(plans: Iterable[PanelPlan]) -> str:
    """When the edges are cut: before the turn nothing goes through."""
    if any(plan.panel.first for plan in plans):
        return "In a kerf that goes part of the way down: the walls follow after the turn."
    return "After the walls, while tabs, a skin or the vacuum still hold the parts."


def _drawn(picture: Picture | None) -> list[Piece]:
    words = "Across each kind of edge: the board grey, its form bold, the tool at each level thin."
    return [Together((Sentence(words), picture))] if picture else []


def _row(edge: EdgeCut, measures: Measures) -> tuple[str, ...]:
    form = edge.form
    if isinstance(form, Round):
        words = f"round {measures.length(form.radius)}"
    else:
        words = f"bevel {form.angle_deg:g} deg, {measures.length(form.width)} wide"
    deep = measures.length(edge.depth)
    return edge.panel, edge.feature, words, f"T{edge.tool.number}", str(len(edge.layers)), deep, measures.told(edge.why)
