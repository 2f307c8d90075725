"""Where rims are rounded or bevelled: the line on the face at which the round begins."""

from collections.abc import Iterator

from cncpanel.drawing.page import Line, Pen
from cncpanel.drawing.seen import Seen
from cncpanel.geometry.contour import Contour, Path, path_of
from cncpanel.geometry.offset import offset_contour
from cncpanel.geometry.point import Point
from cncpanel.geometry.ring import Ring, ring_of
from cncpanel.geometry.segment import Segment
from cncpanel.geometry.tolerance import PATH
from cncpanel.job.model import Edge, Side
from cncpanel.panel.edge import Edge as RimEdge
from cncpanel.panel.edge import Round

INTO = 1e-4  # mm from a corner, on the stretch's side of it
SHORTEST = 1.0  # mm; a shorter stretch of a side shows nothing


def rounding_lines(seen: Seen, pen: Pen, layer: str) -> Iterator[Line]:
    """A line as far inside the rim as its rounding reaches, for every rounding on the face that is seen."""
    for drawn in seen.panel.rims:
        if isinstance(drawn.edge.form, Round) and drawn.faces in (seen.face, "both"):
            for shape in _inside(seen, drawn.edge):
                yield Line(shape=shape, pen=pen, layer=layer)


def _inside(seen: Seen, edge: RimEdge) -> Iterator[Contour | Path]:
    """Where the edge's form meets the face, in the view: all round, or beside its stretch."""
    width = edge.form.width if edge.inside else -edge.form.width
    loops = offset_contour(edge.contour.counter_clockwise, width)
    if edge.stretch is None or not loops:
        yield from (seen.place.contour(loop) for loop in loops)
        return
    wall, stretch = ring_of(edge.contour), edge.stretch
    middle = wall.point((stretch.start + stretch.stop) / 2)
    ring = min((ring_of(loop) for loop in loops), key=lambda one: one.nearest(middle)[1])
    begin = _beside(wall, stretch.start, INTO, -width)
    end = _beside(wall, stretch.stop, -INTO, -width)
    first, last = ring.nearest(begin)[0], ring.nearest(end)[0]
    chain = ring.stretch(first, last if last > first else last + ring.length)
    ends = (begin, *([chain[0].start, chain[-1].end] if chain else []), end)
    chain = [Segment(ends[0], ends[1]), *chain, Segment(ends[-2], ends[-1])]
    yield seen.place.path(path_of([segment for segment in chain if segment.length > PATH]))


def _beside(wall: Ring, s: float, into: float, distance: float) -> Point:
    """`distance` mm to the left of the wall at the place `s`, where the stretch runs `into` from it."""
    return wall.point(s).plus(wall.direction(s + into).left.times(distance))


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
