"""Marking where cleats go: each panel that carries some, seen from the face they lie on, with running dimensions."""

from collections.abc import Iterator, Sequence
from itertools import product
from typing import Literal

from cncpanel.drawing.dimension import Dimensioning
from cncpanel.drawing.letter_widths import text_width
from cncpanel.drawing.paper import Bullets, Heading, Label, Picture, Piece, Stroke, Table, Together
from cncpanel.drawing.running import OVERHANG, Mark, gutter, running
from cncpanel.drawing.scale import scale_words, scales
from cncpanel.drawing.scaled import Scaled
from cncpanel.drawing.seen import Seen
from cncpanel.drawing.words import BELOW
from cncpanel.geometry.contour import circle
from cncpanel.geometry.point import Point
from cncpanel.job.model import Face
from cncpanel.panel.panel import Panel
from cncpanel.panel.placed_cleat import PlacedCleat

TALLEST = 110.0  # mm; two panels a page
AIR = OVERHANG + 2.0  # mm kept right of the panel and over it
NUMBER = 2.2  # mm capitals
CLEAR = 0.6  # mm between a number and a line
FACES: tuple[Face, Face] = ("show", "back")
EDGE = Stroke(points=(), width=0.5)
CUT = Stroke(points=(), width=0.25)
HOUSED = Stroke(points=(), width=0.18, dash=1.0)
STRIP = Stroke(points=(), width=0.35, shade=0.88)
DATUM = Stroke(points=(), width=0.18)


def cleat_pieces(
    panels: Sequence[Panel], cleats: Sequence[PlacedCleat], told: Dimensioning, width: float
) -> Iterator[Piece]:
    """A picture and a table for every panel and face that carries cleats."""
    for panel, face in product(panels, FACES):
        own = [cleat for cleat in cleats if cleat.panel == panel.index and cleat.face == face]
        if own:
            yield Together(tuple(_pieces(Seen(panel=panel, edges=(), face=face), own, told, width)))


def _pieces(seen: Seen, own: Sequence[PlacedCleat], told: Dimensioning, width: float) -> Iterator[Piece]:
    picture, scale = cleat_picture(seen, own, told, width)
    yield Heading(f"Cleats on {seen.panel.name}, {seen.face} face, {scale}")
    notes = [f"X and Y from the lower left corner as one looks at the {seen.face.upper()} face."]
    if seen.panel.mirrored:
        notes.append("Mirrored copies: the same from their lower RIGHT corner.")
    yield picture
    yield Bullets(tuple(notes))
    head = ("Cleat", "Section", "Length", "Corners: X", "Corners: Y")
    rows = tuple(_row(cleat, seen, told) for cleat in own)
    yield Table(head=head, rows=rows, shares=(14, 30, 22, 60, 60))


def _row(cleat: PlacedCleat, seen: Seen, told: Dimensioning) -> tuple[str, ...]:
    section = " x ".join(map(told.told, cleat.cleat.size))
    return (cleat.number, section, told.told(cleat.cleat.length), *_corners(cleat, seen, told))


def _corners(cleat: PlacedCleat, seen: Seen, told: Dimensioning) -> tuple[str, str]:
    points = [seen.place.point(vertex.point) for vertex in cleat.contour.vertices]
    left, low, right, high = seen.place.contour(cleat.contour).bounds
    if cleat.direction_deg % 90 == 0:
        return f"{told.told(left)} to {told.told(right)}", f"{told.told(low)} to {told.told(high)}"
    xs, ys = (", ".join(told.told(point[axis]) for point in points) for axis in (0, 1))
    return xs, ys


def cleat_picture(seen: Seen, own: Sequence[PlacedCleat], told: Dimensioning, width: float) -> tuple[Picture, str]:
    """The panel with its cleats at the largest standard scale that fits, and that scale in words."""
    _, _, right, high = seen.outline.bounds
    over, up = _marks(seen, own, 0), _marks(seen, own, 1)
    beside, below = gutter(up, told), gutter(over, told)
    fitting = (s for s in scales() if right * s <= width - beside - AIR and high * s <= TALLEST - below - AIR)
    scale = next(fitting, list(scales())[-1])
    view = Scaled(Point(max(beside, OVERHANG), max(below, OVERHANG)), float(scale))
    numbers = running("x", right, over, view, told), running("y", high, up, view, told)
    items = (*_lines(seen, own, view), *numbers[0].items, *numbers[1].items, *_names(seen, own, view))
    size = view.at.x + right * view.factor + AIR, view.at.y + high * view.factor + AIR
    return Picture(width=size[0], height=size[1], items=items), scale_words(scale)


def _marks(seen: Seen, own: Sequence[PlacedCleat], axis: int) -> list[tuple[str, list[Mark]]]:
    """The panel's ends, then the cleats' corners, along an axis."""
    ends = [Mark(0.0, 0.0), Mark(seen.outline.bounds[axis + 2], 0.0)]
    points = [seen.place.point(vertex.point) for cleat in own for vertex in cleat.contour.vertices]
    return [("the panel's size", ends), ("cleats", [Mark(point[axis], point[1 - axis]) for point in points])]


def _lines(seen: Seen, own: Sequence[PlacedCleat], view: Scaled) -> Iterator[Stroke]:
    yield view.stroke(seen.outline, EDGE)
    yield view.stroke(circle(Point(0.0, 0.0), 1.0 / view.factor), DATUM)
    for cleat in own:
        yield view.stroke(seen.place.contour(cleat.contour), STRIP)
    for opening in seen.panel.openings:
        yield view.stroke(seen.place.contour(opening.contour), CUT)
    for side in seen.sides:
        for contour in (contour for recess in side.panel.recesses for contour in recess.region.contours):
            yield view.stroke(seen.place.contour(contour), HOUSED if side.worked_behind else CUT)


def _names(seen: Seen, own: Sequence[PlacedCleat], view: Scaled) -> Iterator[Label]:
    """Each cleat's number in its middle, or beside a narrow one, towards the panel's middle."""
    panel = seen.outline.bounds
    for cleat in own:
        left, low, right, high = seen.place.contour(cleat.contour).bounds
        room = (right - left) * view.factor, (high - low) * view.factor
        wide = text_width(cleat.number, NUMBER) + 2 * CLEAR
        anchor: Literal["left", "middle", "right"] = "middle"
        x, y = view.point(((left + right) / 2, (low + high) / 2))
        if room[0] < wide <= room[1]:
            inward = 1 if left + right < panel[0] + panel[2] else -1
            x += inward * (room[0] / 2 + CLEAR)
            anchor = "left" if inward > 0 else "right"
        elif room[1] < NUMBER + 2 * CLEAR:
            inward = 1 if low + high < panel[1] + panel[3] else -1
            y += inward * (room[1] / 2 + CLEAR + NUMBER / 2)
        yield Label(x=x, y=y - NUMBER / 2 + BELOW, text=cleat.number, size=NUMBER, anchor=anchor, bold=True)
