"""Where rims are rounded or bevelled: the line on the face at which the round begins."""

from collections.abc import Iterator

from cncpanel.drawing.page import Line, Pen
from cncpanel.drawing.seen import Seen
from cncpanel.geometry.contour import Contour, path_of
from cncpanel.geometry.offset import offset_contour
from cncpanel.geometry.segment import Segment
from cncpanel.geometry.tolerance import PATH
from cncpanel.job.model import Edge, Side

SHORTEST = 1.0  # mm; a shorter stretch of a side shows nothing


def rounding_lines(seen: Seen, pen: Pen, layer: str) -> Iterator[Line]:
    """A line `radius` inside the rim for every rounding on the face that is seen."""
    for edge in seen.edges:
        if edge.round is None or edge.faces not in (seen.face, "both"):
            continue
        for contour in offset_contour(seen.outline, -edge.round) if edge.side is None else ():
            yield Line(shape=contour, pen=pen, layer=layer)
        for stretch in rim(seen, edge.side) if edge.side else ():
            inward = stretch.end.minus(stretch.start).unit.left.times(edge.round)
            moved = Segment(stretch.start.plus(inward), stretch.end.plus(inward))
            yield Line(shape=path_of([moved]), pen=pen, layer=layer)


def rim(seen: Seen, side: Side) -> list[Segment]:
    """The straight stretches of the view's outline that lie on a side of its box, as the job names the side."""
    return rim_of(seen.outline, seen.side(side))


def rim_of(outline: Contour, side: Side) -> list[Segment]:
    """The straight stretches of a counter-clockwise outline that lie on a side of its box."""
    left, low, right, high = outline.bounds
    axis, at = {"left": (0, left), "bottom": (1, low), "right": (0, right), "top": (1, high)}[side]
    return [
        segment
        for segment in outline.counter_clockwise.segments
        if not segment.bulge
        and segment.length >= SHORTEST
        and abs(segment.start[axis] - at) <= PATH
        and abs(segment.end[axis] - at) <= PATH
    ]


def edge_words(edge: Edge, told: str) -> str:
    """`round 6 mm, both faces`; `told` is the radius with its unit."""
    faces = "both faces" if edge.faces == "both" else f"{edge.faces} face"
    return f"round {told}, {faces}" if edge.round is not None else f"bevel {edge.bevel_deg:g} deg, {faces}"
