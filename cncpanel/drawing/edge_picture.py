"""The section across an edge: the board grey, the form bold, and the tool's outline at each of its levels."""

from collections.abc import Iterator, Sequence
from math import cos, pi, sin

from cncpanel.drawing.paper import Label, Picture, Stroke
from cncpanel.operation.edge_layer import radius_over_tip
from cncpanel.operation.operation import EdgeCut
from cncpanel.panel.edge import Round

SIDE = 38.0  # mm of paper that the drawing may be high and a figure wide
APART = 6.0  # mm of paper between figures
WORDS = 2.2  # mm, the height of what stands under a figure
ARC = 24  # chords of a quarter circle: a line's width at this scale
BEYOND = 1.6  # of the form's size: how much board is shown round it

Point = tuple[float, float]


def edge_picture(edges: Sequence[EdgeCut], width: float) -> Picture | None:
    """One figure for each tool and form, as many as fit side by side; None for none."""
    kinds = list({(edge.tool.number, edge.form): edge for edge in edges}.values())
    shown = kinds[: max(int((width + APART) / (SIDE + APART)), 1)]
    if not shown:
        return None
    items: list[Stroke | Label] = []
    for number, edge in enumerate(shown):
        items += _figure(edge, number * (SIDE + APART))
    return Picture(width=len(shown) * (SIDE + APART) - APART, height=SIDE + 3 * WORDS, items=tuple(items))


def _figure(edge: EdgeCut, left: float) -> Iterator[Stroke | Label]:
    """The section with the wall at x = 0, the board to its left, the face at y = 0."""
    size = max(edge.depth, edge.form.width) * BEYOND
    reach = max(layer.offset + radius_over_tip(edge.tool, -layer.z) for layer in edge.layers)
    scale = SIDE / (size + reach)

    def on_paper(points: Sequence[Point]) -> tuple[Point, ...]:
        return tuple((left + (x + size) * scale, 3 * WORDS + (y + size) * scale) for x, y in points)

    form = _form(edge)
    board = [(-size, 0.0), *reversed(form), (0.0, -size), (-size, -size)]
    yield Stroke(points=on_paper(board), closed=True, width=0.1, shade=0.85)
    for layer in edge.layers:
        outline = _outline(edge, layer.z)
        yield Stroke(points=on_paper([(layer.offset + x, y) for x, y in outline]), width=0.1)
    yield Stroke(points=on_paper(form), width=0.5)
    words = f"T{edge.tool.number}, {len(edge.layers)} levels"
    yield Label(x=left, y=WORDS * 0.5, text=words, size=WORDS)


def _form(edge: EdgeCut) -> list[Point]:
    """The finished edge from the wall up to the face."""
    form = edge.form
    if not isinstance(form, Round):
        return [(0.0, -form.depth), (-form.width, 0.0)]
    turns = [number * pi / 2 / ARC for number in range(ARC + 1)]
    return [(-form.radius + form.radius * cos(turn), -form.radius + form.radius * sin(turn)) for turn in turns]


def _outline(edge: EdgeCut, tip: float) -> list[Point]:
    """The tool from the face on its left side down, and up again, about its axis."""
    heights = [-tip * number / (2 * ARC) for number in range(2 * ARC + 1)]
    side = [(radius_over_tip(edge.tool, height), tip + height) for height in heights]
    return [*((-x, y) for x, y in reversed(side)), *side]
