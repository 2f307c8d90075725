"""A panel drawn to measure by: from its show face, at a standard scale, with running dimensions, letters and radii."""

from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import groupby, pairwise
from math import inf

from cncpanel.drawing.clear_places import settled_clear
from cncpanel.drawing.dimension import Dimension, Dimensioning
from cncpanel.drawing.letter_widths import text_width
from cncpanel.drawing.lettered import Lettered, LetteredCut, LetteredHole, is_circle, is_rectangle, lettered
from cncpanel.drawing.page import Pen
from cncpanel.drawing.paper import Label, Picture, Stroke
from cncpanel.drawing.rounding import rounding_lines
from cncpanel.drawing.running import OVERHANG, Mark, Running, gutter, running
from cncpanel.drawing.scale import scales
from cncpanel.drawing.scaled import Scaled
from cncpanel.drawing.seen import Seen
from cncpanel.drawing.words import BELOW, Wish, label_box
from cncpanel.geometry.contour import Contour, Path, circle, joined_bounds, path_of
from cncpanel.geometry.point import Point
from cncpanel.geometry.segment import Bounds, Segment
from cncpanel.geometry.tolerance import PATH

TALLEST = 205.0  # mm; leaves room for the title and the notes on a Letter page
AIR = OVERHANG + 2.0  # mm kept right of the panel and over it
LETTER = 2.0  # mm capitals of holes' and cuts' letters
CORNER = 1.6  # mm capitals of corners' names
MOST_NAMED = 24  # corners that are named on the drawing
NEAR = (0.8, 1.6, 2.6)  # mm from a feature to its letter
FEW = 4  # holes of a pattern have each their letter, dense or not
MOST_RADII = 4  # different ones told on the drawing; a free-form outline has more, in its table
ARM, CROSSED = 1.5, 1.0  # mm on paper: how far a cross reaches past its hole; smaller holes' crosses are shorter

FINISHED = Stroke(points=(), width=0.5)
THROUGH = Stroke(points=(), width=0.35)
PART_WAY = Stroke(points=(), width=0.25)
BEHIND = Stroke(points=(), width=0.25, dash=1.2)
CROSS = Stroke(points=(), width=0.13)
ROUNDED = Stroke(points=(), width=0.13, dash=0.6)
MARKED = Stroke(points=(), width=0.18)
MARKED_BEHIND = Stroke(points=(), width=0.18, dash=0.5)
DATUM = 1.0  # mm; radius of the circle round the corner that all is measured from (ISO 129-1, running dimensions)


@dataclass(frozen=True, slots=True, kw_only=True)
class PanelDrawing:
    """The picture, its scale, every dimension in it; what is told in the tables only, and letters without room."""

    seen: Seen
    lettered: Lettered
    picture: Picture
    scale: Fraction
    dimensions: tuple[Dimension, ...]
    left_out: tuple[str, ...]
    without_letter: tuple[str, ...]


def panel_drawing(seen: Seen, told: Dimensioning, width: float) -> PanelDrawing:
    """The drawing in a picture of at most `width` mm, as large as a standard scale lets it be."""
    named = lettered(seen.panel)
    _, _, right, high = seen.outline.bounds
    over, up = _classes(seen, named, "x"), _classes(seen, named, "y")
    beside, below = gutter(up, told), gutter(over, told)
    scale = _scale(right, high, width - beside - AIR, TALLEST - below - AIR)
    view = Scaled(Point(max(beside, OVERHANG), max(below, OVERHANG)), float(scale))
    across = running("x", right, over, view, told)
    along = running("y", high, up, view, told)
    lines = tuple(_lines(seen, named, view))
    rounds = list(_rounds(seen, view, told))
    beside_it = (*across.items, *along.items)
    taken = [label_box(item) for item in beside_it if isinstance(item, Label)]
    taken += [_bounds(view, circle(h.hole.centre, h.hole.diameter / 2)) for h in named.holes]
    extensions = [item for item in beside_it if isinstance(item, Stroke)]
    size = view.at.x + right * view.factor + AIR, view.at.y + high * view.factor + AIR
    wishes = [*_wishes(named, view), *(wish for wish, _ in rounds)]
    words = settled_clear(wishes, taken, lines, extensions, size)
    said = {word.text for word in words}
    return PanelDrawing(
        seen=seen,
        lettered=named,
        picture=Picture(width=size[0], height=size[1], items=(*lines, *beside_it, *words)),
        scale=scale,
        dimensions=(*across.dimensions, *along.dimensions, *(d for wish, d in rounds if wish.places[0].text in said)),
        left_out=_left_out(across, along),
        without_letter=_without_letter(wishes, said),
    )


def _scale(across: float, along: float, width: float, height: float) -> Fraction:
    """The largest standard scale at which a panel of that size fits; the smallest where none does."""
    fitting = (s for s in scales() if across * float(s) <= width and along * float(s) <= height)
    return next(fitting, list(scales())[-1])


def _left_out(across: Running, along: Running) -> tuple[str, ...]:
    return tuple(dict.fromkeys((*across.left_out, *along.left_out)))


def _without_letter(wishes: Sequence[Wish], said: Collection[str]) -> tuple[str, ...]:
    """Letters of holes, cuts and fields that stand nowhere; corners are told where they are."""
    texts = dict.fromkeys(wish.places[0].text for wish in wishes)
    return tuple(text for text in texts if text not in said and not text.startswith(("P", "R", "\u00d8")))


def _classes(seen: Seen, named: Lettered, axis: str) -> list[tuple[str, list[Mark]]]:
    """What is told along an axis, the most needed first."""
    first, other = (0, 1) if axis == "x" else (1, 0)
    cuts = [mark for cut in named.cuts for mark in _ends(cut.contour, first)]
    cuts += [Mark(field.bounds[first + end], field.bounds[other]) for field in named.fields for end in (0, 2)]
    corners = [Mark(s.start[first], s.start[other]) for s in seen.outline.segments]
    holes = [Mark(h.hole.centre[first], h.hole.centre[other]) for h in named.holes]
    ends = [Mark(0.0, 0.0), _ends(seen.outline, first)[1]]
    return [("the panel's size", ends), ("cuts", cuts), ("holes", holes), ("corners", corners)]


def _ends(contour: Contour, first: int) -> tuple[Mark, Mark]:
    """Where a contour begins and ends along an axis, each at its point nearest to the axis."""
    low, high = contour.bounds[first], contour.bounds[first + 2]
    begins = [s.bounds for s in contour.segments if s.bounds[first] <= low + PATH]
    ends = [s.bounds for s in contour.segments if s.bounds[first + 2] >= high - PATH]
    return Mark(low, min(box[1 - first] for box in begins)), Mark(high, min(box[1 - first] for box in ends))


def _lines(seen: Seen, named: Lettered, view: Scaled) -> Iterator[Stroke]:
    yield view.stroke(seen.outline, FINISHED)
    yield view.stroke(circle(Point(0.0, 0.0), DATUM / view.factor), MARKED)
    for opening in seen.panel.openings:
        yield view.stroke(opening.contour, THROUGH)
    for side in seen.sides:
        yield from _part_way(side, view)
    for lettered_hole in named.holes:
        yield from _cross(lettered_hole, view)
    for side in seen.sides:
        for stroke in (stroke for mark in side.panel.marks for stroke in mark.strokes):
            yield view.stroke(stroke, MARKED_BEHIND if side.worked_behind else MARKED)
    for line in rounding_lines(seen, Pen(width=0.13), ""):
        yield view.stroke(line.shape, ROUNDED)


def _part_way(side: Seen, view: Scaled) -> Iterator[Stroke]:
    part_way = BEHIND if side.worked_behind else PART_WAY
    for recess in side.panel.recesses:
        for contour in recess.region.contours:
            yield view.stroke(contour, part_way)
    for hole in side.panel.holes:
        yield view.stroke(circle(hole.centre, hole.diameter / 2), THROUGH if hole.depth is None else part_way)


def _cross(lettered_hole: LetteredHole, view: Scaled) -> Iterator[Stroke]:
    hole = lettered_hole.hole
    radius = hole.diameter / 2 * view.factor
    arm = (radius + min(ARM, max(radius, CROSSED))) / view.factor
    for way in (Point(arm, 0.0), Point(0.0, arm)):
        yield view.stroke(path_of([Segment(hole.centre.minus(way), hole.centre.plus(way))]), CROSS)


def _bounds(view: Scaled, shape: Contour | Path) -> Bounds:
    points = view.stroke(shape, FINISHED).points
    xs, ys = [x for x, _ in points], [y for _, y in points]
    return min(xs), min(ys), max(xs), max(ys)


def _wishes(named: Lettered, view: Scaled) -> Iterator[Wish]:
    for text, holes in _told_together(named.holes, view):
        boxes = [_bounds(view, circle(hole.hole.centre, hole.hole.diameter / 2)) for hole in holes]
        yield Wish(tuple(_round_about(joined_bounds(boxes), text)))
    for cut in named.cuts:
        yield Wish(tuple(_inside_or_about(_bounds(view, cut.contour), _cut_letter(cut))))
    for field in named.fields:
        left, low, right, high = field.bounds
        corner, far = view.point((left, low)), view.point((right, high))
        yield Wish(tuple(_round_about((corner.x, corner.y, far.x, far.y), field.letter)))
    if len(named.corners) <= MOST_NAMED:
        for number, segment in enumerate(named.corners, start=1):
            at = view.point(segment.start)
            yield Wish(tuple(_round_about((at.x, at.y, at.x, at.y), f"P{number}", CORNER)))


def _told_together(holes: Sequence[LetteredHole], view: Scaled) -> Iterator[tuple[str, list[LetteredHole]]]:
    """Each hole by its letter; those of a pattern too dense for letters by one, `A1 to A36`, for all of them."""
    for letter, group in groupby(holes, key=lambda hole: hole.letter.rstrip("0123456789")):
        alike = list(group)
        room = min((a.hole.centre.distance(b.hole.centre) for a, b in pairwise(alike)), default=inf) * view.factor
        if room < text_width(f"{letter}{len(alike)}", LETTER) + 2 * NEAR[0] and len(alike) > FEW:
            yield f"{alike[0].letter} to {alike[-1].letter}", alike
        else:
            yield from ((hole.letter, [hole]) for hole in alike)


def _cut_letter(cut: LetteredCut) -> str:
    return f"({cut.letter})"


def _round_about(box: Bounds, text: str, size: float = LETTER) -> Iterator[Label]:
    """Places right and left of a box, over and under its middle; none so far off that it might belong to another."""
    left, low, right, high = box
    for off in NEAR:
        for y in (high + off / 2, low - off / 2 - size, (low + high - size) / 2):
            yield Label(x=right + off, y=y, text=text, size=size)
            yield Label(x=left - off, y=y, text=text, size=size, anchor="right")
        yield Label(x=(left + right) / 2, y=high + off + BELOW * size, text=text, size=size, anchor="middle")
        yield Label(x=(left + right) / 2, y=low - off - size, text=text, size=size, anchor="middle")


def _inside_or_about(box: Bounds, text: str) -> Iterator[Label]:
    """Inside the cut where it has room for its letter, off its middle; else about it."""
    left, low, right, high = box
    if right - left > text_width(text, LETTER) + 2 and high - low > LETTER * 2:
        for share in (0.5, 0.25, 0.75):
            for rise in (0.5, 0.2, 0.8):
                x, y = left + share * (right - left), low + rise * (high - low) - LETTER / 2
                yield Label(x=x, y=y, text=text, size=LETTER, anchor="middle", bold=True)
    for label in _round_about(box, text):
        yield Label(x=label.x, y=label.y, text=text, size=LETTER, anchor=label.anchor, bold=True)


def _rounds(seen: Seen, view: Scaled, told: Dimensioning) -> Iterator[tuple[Wish, Dimension]]:
    """`4 x R8` beside the like corner of a rectangle that has room; another outline's radii stand in its table too."""
    alike: dict[str, list[Segment]] = {}
    for segment in seen.outline.segments:
        if segment.bulge and not is_circle(seen.outline):
            alike.setdefault(f"R{told.told(segment.radius)}", []).append(segment)
    for text, arcs in alike.items() if len(alike) <= MOST_RADII else ():
        arc = arcs[0]
        corners = [view.point(one.point_at(0.5)) for one in arcs]
        words = f"{len(arcs)} x {text}" if len(arcs) > 1 and is_rectangle(seen.outline) else text
        wish = Wish(tuple(place for at in corners for place in _round_about((at.x, at.y, at.x, at.y), words)))
        yield wish, Dimension(arc.centre, arc.point_at(0.5), words)
    if is_circle(seen.outline):
        first = seen.outline.segments[0]
        across = told.between(first.start, first.centre.plus(first.centre.minus(first.start)), "\u00d8")
        at = view.point(first.start)
        yield Wish(tuple(_round_about((at.x, at.y, at.x, at.y), across.text))), across
