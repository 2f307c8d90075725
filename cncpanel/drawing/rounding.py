"""What rims get, as lines on the face: where a round or a bevel begins, how far in a slot under the face goes."""

from collections.abc import Iterator
from dataclasses import replace

from cncpanel.drawing.page import Line, Pen
from cncpanel.drawing.seen import Seen
from cncpanel.geometry.contour import Contour, Path, path_of
from cncpanel.geometry.offset import offset_contour
from cncpanel.geometry.point import Point
from cncpanel.geometry.ring import Ring, ring_of
from cncpanel.geometry.segment import Segment
from cncpanel.geometry.tolerance import PATH
from cncpanel.panel.edge import Bevel, DrawnRim, Round, Slot
from cncpanel.units import DimensionUnit, shown

INTO = 1e-4  # mm from a corner, on the stretch's side of it
HIDDEN = (3.0, 1.5)  # dashes of what lies under the face
SHORTEST = 1.0  # mm; a shorter stretch of a side shows nothing


def rounding_lines(seen: Seen, pen: Pen, layer: str) -> Iterator[Line]:
    """A line as far inside the rim as its form reaches: roundings and bevels on the face that is seen, slots dashed."""
    for drawn in seen.panel.rims:
        if isinstance(drawn.form, Slot):
            for shape in _inside(seen, drawn, drawn.form.depth):
                yield Line(shape=shape, pen=replace(pen, dash=HIDDEN), layer=f"{layer}_T_SLOT")
        elif drawn.faces in (seen.face, "both"):
            for shape in _inside(seen, drawn, drawn.form.width):
                yield Line(
                    shape=shape, pen=pen, layer=f"{layer}_{'ROUND' if isinstance(drawn.form, Round) else 'BEVEL'}"
                )


def _inside(seen: Seen, edge: DrawnRim, reach: float) -> Iterator[Contour | Path]:
    """How far in the edge's form goes, in the view: all round, or beside its stretch."""
    width = reach if edge.inside else -reach
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


def straights(seen: Seen, drawn: DrawnRim) -> list[Segment]:
    """The straight pieces of the edge's rim in the view, the longest first, the panel's material on their left."""
    ring = ring_of(drawn.contour)
    stretch = drawn.stretch
    chain = list(ring.segments) if stretch is None else ring.stretch(stretch.start, stretch.stop)
    placed = [seen.place.path(path_of([piece])).segments[0] for piece in chain if not piece.is_arc]
    turned = [piece.reversed() if seen.flipped != drawn.inside else piece for piece in placed]
    return sorted((piece for piece in turned if piece.length >= SHORTEST), key=lambda piece: -piece.length)


def edge_words(drawn: DrawnRim, unit: DimensionUnit) -> str:
    """`round 6 mm, both faces`."""
    faces = "both faces" if drawn.faces == "both" else f"{drawn.faces} face"
    if isinstance(drawn.form, Round):
        return f"round {shown(drawn.form.radius, unit)}, {faces}"
    if isinstance(drawn.form, Bevel):
        return f"bevel {drawn.form.angle_deg:g} deg, {shown(round(drawn.form.width, 3), unit)} wide, {faces}"
    middle = drawn.form.middle
    where = "mid-thickness" if middle is None else f"middle {shown(middle, unit)} under the show face"
    where = where if drawn.bench else f"{where}, cut on the machine"
    return f"slot {shown(drawn.form.width, unit)} x {shown(drawn.form.depth, unit)} deep for T-moulding, {where}"
