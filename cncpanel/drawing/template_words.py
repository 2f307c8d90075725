"""The words of a template that belong to no single feature: name, face, top; lengths and rims along its sides."""

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import product
from math import atan2, degrees, hypot

from cncpanel.drawing.check_points import taped
from cncpanel.drawing.letter_widths import text_width
from cncpanel.drawing.page import Line, Pen
from cncpanel.drawing.paper import Label
from cncpanel.drawing.rounding import edge_words, straights
from cncpanel.drawing.seen import Seen
from cncpanel.drawing.words import BELOW, Wish
from cncpanel.geometry.area import Area
from cncpanel.geometry.contour import Contour, circle, polygon
from cncpanel.geometry.point import Point
from cncpanel.geometry.region import region_of
from cncpanel.geometry.segment import Segment
from cncpanel.panel.edge import DrawnRim, Slot
from cncpanel.units import DimensionUnit

SIZES = (8.0, 6.0, 4.0, 3.0, 2.0, 1.5)  # mm capitals of the name
PLACES = 7  # tried across and along the panel
TEXT = 2.5  # mm capitals along sides
INSIDE = 3.0  # mm from a side to its words
FACES = {"show": "SHOW FACE", "back": "BACK FACE"}
ARROW = Pen(width=0.0)


@dataclass(frozen=True, slots=True)
class TitleBlock:
    """Name and face, with the arrow that points to the top."""

    lines: tuple[Line, ...]
    labels: tuple[Label, ...]


def title_block(seen: Seen) -> TitleBlock:
    """As large as it fits free of every cut; small and in the middle where nothing is free."""
    words = (seen.title, FACES[seen.face], "TOP")
    outline = seen.outline
    rim = _rim_width(seen)
    room = Area.of([region_of(outline)]).minus(_cuts(seen)).grown(-rim)
    left, low, right, high = outline.bounds
    left, low, right, high = left + rim, low + rim, right - rim, high - rim
    for size in SIZES:
        width, height = _block_width(words, size) + 2 * size, 7 * size
        free = right - left - width, high - low - height
        if min(free) < 0:
            continue
        shares = [i / (PLACES - 1) for i in range(PLACES)]
        for x, y in sorted(product(shares, shares), key=lambda s: (hypot(s[0] - 0.5, s[1] - 0.5), s)):
            corner = Point(left + x * free[0], low + y * free[1])
            box = (corner.x, corner.y, corner.x + width, corner.y + height)
            if room.holds_box(box):
                return _block(words, size, Point(corner.x + width / 2, corner.y + size))
    size = SIZES[-1]
    return _block(words, size, Point((left + right) / 2, (low + high) / 2 - 3 * size))


def _rim_width(seen: Seen) -> float:
    """How far what has a line along a rim reaches from it: roundings, bevels, slots."""
    forms = [drawn.form for drawn in seen.panel.rims]
    return max((form.depth if isinstance(form, Slot) else form.width for form in forms), default=0.0)


def _cuts(seen: Seen) -> Area:
    """Everything that is cut, through or part way."""
    shapes = [region_of(seen.place.contour(opening.contour)) for opening in seen.panel.openings]
    for side in seen.panel.sides:
        shapes += [recess.region.placed(seen.place) for recess in side.recesses]
        shapes += [region_of(circle(seen.place.point(hole.centre), hole.diameter / 2)) for hole in side.holes]
    return Area.of(shapes)


def _block_width(words: tuple[str, str, str], size: float) -> float:
    name, face, _ = words
    return max(text_width(name, size), text_width(face, 0.6 * size))


def _block(words: tuple[str, str, str], size: float, foot: Point) -> TitleBlock:
    """From below: the face, the name, TOP with its arrow."""
    name, face, top = words
    x, y = foot
    labels = (
        Label(x=x, y=y, text=face, size=0.6 * size, anchor="middle"),
        Label(x=x, y=y + 1.2 * size, text=name, size=size, anchor="middle", bold=True),
        Label(x=x, y=y + 2.9 * size, text=top, size=0.6 * size, anchor="middle"),
    )
    tip, base, half = y + 5.2 * size, y + 3.8 * size, 0.6 * size
    arrow = polygon([(x - half, base), (x + half, base), (x, tip)])
    return TitleBlock((Line(shape=arrow, pen=ARROW, layer="NAME", fill=0.0),), labels)


def side_wishes(seen: Seen, unit: DimensionUnit, ahead: float) -> Iterator[Wish]:
    """What each rim gets, then the length of every straight side that has room for its figure.

    They stand further inside than the lines that run along the sides: roundings, and one `ahead` mm from the edge.
    """
    inside = INSIDE + max(_rim_width(seen), ahead)
    for drawn in seen.panel.rims:
        yield from _edge_wishes(seen, drawn, unit, inside)
    for segment in seen.outline.counter_clockwise.segments:
        text = taped(segment.length, unit)
        if not segment.bulge and segment.length > text_width(text, TEXT) + 2 * INSIDE:
            yield Wish(tuple(_along(segment, text, inside)))


def _edge_wishes(seen: Seen, drawn: DrawnRim, unit: DimensionUnit, inside: float) -> Iterator[Wish]:
    """The edge's words along the two longest straight pieces of its rim, else over or under it."""
    told = edge_words(drawn, unit)
    if drawn.stretch is None and not drawn.inside:
        told = f"all edges: {told}"
    straight = straights(seen, drawn)
    if straight:
        yield Wish(tuple(place for piece in straight[:2] for place in _along(piece, told, inside)))
    else:
        yield Wish(tuple(_over_and_under(seen.place.contour(drawn.contour), f"rim: {told}" if drawn.inside else told)))


def _over_and_under(rim: Contour, text: str) -> Iterator[Label]:
    """Places for a rim without a straight piece: over and under its middle, beyond its rounding and within."""
    left, low, right, high = rim.bounds
    x = (left + right) / 2
    for off in (INSIDE, 4 * TEXT, 7 * TEXT):
        for y in (high + off, low - off - TEXT, high - off - TEXT, low + off):
            yield Label(x=x, y=y, text=text, size=TEXT, anchor="middle")


def _along(side: Segment, text: str, inside: float) -> Iterator[Label]:
    """Places inside a side, along it, readable from below or from the right."""
    along = side.end.minus(side.start).unit
    angle = degrees(atan2(along.y, along.x))
    upside = not -90.0 < angle <= 90.0
    turn = round(angle + 180.0 if upside else angle, 6) % 360.0
    for depth in (0.0, 2 * TEXT, 4 * TEXT):
        for share in (0.5, 0.3, 0.7, 0.15, 0.85):
            rise = inside + depth + (TEXT if upside else BELOW * TEXT)
            at = side.point_at(share).plus(along.left.times(rise))
            if min(share, 1 - share) * side.length * 2 >= text_width(text, TEXT):
                yield Label(x=at.x, y=at.y, text=text, size=TEXT, anchor="middle", turn_deg=turn)
    at = side.point_at(0.5).plus(along.left.times(inside + (TEXT if upside else BELOW * TEXT)))
    yield Label(x=at.x, y=at.y, text=text, size=TEXT, anchor="middle", turn_deg=turn)
