"""A panel at full size to trace or to glue on: which lines, in which pen, with which words beside them."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby, pairwise

from cncpanel.drawing.ahead import CutAhead, RouterAhead, ahead_recesses, ahead_regions
from cncpanel.drawing.check_points import CheckPoint, check_points
from cncpanel.drawing.clear_first import clear_first
from cncpanel.drawing.flat import HOLE_THROUGH, MARK, OPENING, OUTLINE, layer_at_depth
from cncpanel.drawing.lettered import called
from cncpanel.drawing.page import Line, Pen, item_box
from cncpanel.drawing.paper import Label
from cncpanel.drawing.rounding import rounding_lines
from cncpanel.drawing.seen import Seen
from cncpanel.drawing.template_words import side_wishes, title_block
from cncpanel.drawing.words import Wish, label_box
from cncpanel.geometry.contour import Contour, circle, joined_bounds, path_of
from cncpanel.geometry.point import Point
from cncpanel.geometry.region import Region, region_of
from cncpanel.geometry.segment import Bounds, Segment
from cncpanel.panel.panel import Hole, Recess
from cncpanel.units import DimensionUnit, shown

CENTRE, CUT_AHEAD, EDGE, CHECK_POINT = "CENTRE", "CUT_AHEAD", "EDGE", "CHECK_POINT"
EDGE_SLOT = f"{EDGE}_T_SLOT"
FINISHED = Pen(width=0.5)
THROUGH = Pen(width=0.35)
PART_WAY = Pen(width=0.25)
BEHIND = Pen(width=0.25, dash=(3.0, 1.5))
CROSS = Pen(width=0.13)
AHEAD = Pen(width=0.25, dash=(6.0, 1.5, 0.5, 1.5))
ROUNDED = Pen(width=0.13, dash=(1.0, 1.0))

TICK = 4.0  # mm
ARM = 3.0  # mm; how far a cross reaches past its hole
ARM_SHARE = 0.45  # of the room to the next hole in a dense field
TEXT = 2.5  # mm capitals
BESIDE = 1.5  # mm from a feature to its words
LAYERS = {"recess": "RECESS", "groove": "GROOVE", "rabbet": "RABBET", "counterbore": "RECESS"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Template:
    """Everything drawn, in the view's frame; `wishes` are words that still look for their places.

    `whole` is the panel without its openings: where it lies, paper is needed. `bounds` holds the lines too. No words
    may cover what is `taken`.
    """

    seen: Seen
    lines: tuple[Line, ...]
    fixed: tuple[Label, ...]
    wishes: tuple[Wish, ...]
    whole: Region
    bounds: Bounds
    taken: tuple[Bounds, ...]
    points: tuple[CheckPoint, ...]
    ahead: CutAhead | None


def template(seen: Seen, unit: DimensionUnit, ahead: CutAhead | None = None) -> Template:
    """The template of a panel as it is seen; lengths in words in `unit`."""
    lines = (*_outline_lines(seen), *_part_way(seen), *_holes(seen), *_marks(seen))
    lines = (*lines, *rounding_lines(seen, ROUNDED, EDGE), *(_ahead_lines(seen, ahead) if ahead else ()))
    points = check_points(seen.outline)
    lines = (*lines, *_ticks(points))
    inside = ahead.distance if isinstance(ahead, RouterAhead) else 0.0
    block = title_block(seen)
    feature_words = (*_recess_wishes(seen, unit), *_hole_wishes(seen, unit))
    corners = tuple(Wish(point.places) for point in points)
    wishes = clear_first((*corners, *feature_words, *side_wishes(seen, unit, inside)), lines)
    return Template(
        seen=seen,
        lines=(*lines, *block.lines),
        fixed=block.labels,
        wishes=wishes,
        whole=region_of(seen.outline),
        bounds=joined_bounds(item_box(line) for line in lines),
        taken=(*_kept_clear(seen, block.lines), *map(label_box, block.labels)),
        points=points,
        ahead=ahead,
    )


def _outline_lines(seen: Seen) -> Iterator[Line]:
    yield Line(shape=seen.outline, pen=FINISHED, layer=OUTLINE)
    for opening in seen.panel.openings:
        yield Line(shape=seen.place.contour(opening.contour), pen=THROUGH, layer=OPENING)


def _part_way(seen: Seen) -> Iterator[Line]:
    """Recesses, grooves, rabbets, counterbores: dashed where they lie on the face that is not seen."""
    for side, recess in _recesses(seen):
        for contour in recess.region.contours:
            layer = _layer(side, layer_at_depth(LAYERS[recess.kind], recess.depth))
            yield Line(shape=seen.place.contour(contour), pen=_pen(side), layer=layer)


def _recesses(seen: Seen) -> Iterator[tuple[Seen, Recess]]:
    """Each with the side that it is cut from."""
    return ((side, recess) for side in seen.sides for recess in side.panel.recesses)


def _pen(seen: Seen) -> Pen:
    return BEHIND if seen.worked_behind else PART_WAY


def _layer(seen: Seen, layer: str) -> str:
    return f"BACK_{layer}" if seen.worked_behind else layer


def _holes(seen: Seen) -> Iterator[Line]:
    for side in seen.sides:
        yield from _side_holes(side)


def _side_holes(seen: Seen) -> Iterator[Line]:
    room = _arm_room([hole.centre for hole in seen.panel.holes])
    for hole in seen.panel.holes:
        centre, radius = seen.place.point(hole.centre), hole.diameter / 2
        layer = HOLE_THROUGH if hole.depth is None else _layer(seen, layer_at_depth("HOLE", hole.depth))
        pen = THROUGH if hole.depth is None else _pen(seen)
        yield Line(shape=circle(centre, radius), pen=pen, layer=layer)
        yield from cross(centre, min(radius + ARM, max(room * ARM_SHARE, 1.0)), CROSS)


def _arm_room(centres: Sequence[Point]) -> float:
    """The distance between the nearest two holes of neighbours in the list; grilles are listed row by row."""
    return min((a.distance(b) for a, b in pairwise(centres)), default=1e9)


def cross(centre: Point, arm: float, pen: Pen, layer: str = CENTRE) -> Iterator[Line]:
    """Two strokes through a centre, `arm` to each side."""
    for way in (Point(arm, 0.0), Point(0.0, arm)):
        stroke = path_of([Segment(centre.minus(way), centre.plus(way))])
        yield Line(shape=stroke, pen=pen, layer=layer)


def _marks(seen: Seen) -> Iterator[Line]:
    for side in seen.sides:
        for mark in side.panel.marks:
            for stroke in mark.mirrored_strokes if seen.mirrored_copy else mark.strokes:
                yield Line(shape=seen.place.path(stroke), pen=_pen(side), layer=_layer(side, MARK))


def _ticks(points: Sequence[CheckPoint]) -> Iterator[Line]:
    """Where a tape is held to a round corner."""
    for point in points:
        if point.on_arc:
            stroke = path_of([Segment(point.at, point.at.plus(point.inward.unit.times(TICK)))])
            yield Line(shape=stroke, pen=CROSS, layer=CHECK_POINT)


def _ahead_lines(seen: Seen, ahead: CutAhead) -> Iterator[Line]:
    sunk = (region for side in seen.sides for region in ahead_recesses(side.panel, ahead))
    regions = (*ahead_regions(seen.panel, ahead), *sunk)
    kind = "ROUTER" if isinstance(ahead, RouterAhead) else "SAW"
    for region in regions:
        for contour in region.contours:
            yield Line(shape=seen.place.contour(contour), pen=AHEAD, layer=f"{CUT_AHEAD}_{kind}")


def _recess_wishes(seen: Seen, unit: DimensionUnit) -> Iterator[Wish]:
    """`groove 6 mm deep, other face`, inside the recess, above it or below it."""
    for side, recess in _recesses(seen):
        yield Wish(tuple(_about(seen.place.contour(recess.region.outer), _recess_words(recess, side, unit))))
    for opening in seen.panel.openings:
        if opening.name and _is_large(opening.contour):
            yield Wish(tuple(_about(seen.place.contour(opening.contour), f"{opening.name}: cut out")))


def _recess_words(recess: Recess, seen: Seen, unit: DimensionUnit) -> str:
    side = ", other face" if seen.worked_behind else ""
    return f"{called(recess.kind, recess.name)}: {shown(recess.depth, unit)} deep{side}"


def _is_large(contour: Contour) -> bool:
    left, low, right, high = contour.bounds
    return right - left > 4 * TEXT and high - low > 4 * TEXT


def _about(contour: Contour, text: str) -> Iterator[Label]:
    left, low, right, high = contour.bounds
    middle = (left + right) / 2, (low + high) / 2
    tall = high - low > right - left
    turn = 90.0 if tall else 0.0
    inside = (middle[0] + TEXT / 2, middle[1]) if tall else (middle[0], middle[1] - TEXT / 2)
    yield Label(x=inside[0], y=inside[1], text=text, size=TEXT, anchor="middle", turn_deg=turn)
    for share in (0.25, 0.75):
        yield Label(x=middle[0], y=low + share * (high - low), text=text, size=TEXT, anchor="middle")
    yield Label(x=middle[0], y=high + BESIDE, text=text, size=TEXT, anchor="middle")
    yield Label(x=middle[0], y=low - BESIDE - TEXT, text=text, size=TEXT, anchor="middle")
    yield Label(x=right + BESIDE, y=middle[1], text=text, size=TEXT)
    yield Label(x=left - BESIDE, y=middle[1], text=text, size=TEXT, anchor="right")


def _hole_wishes(seen: Seen, unit: DimensionUnit) -> Iterator[Wish]:
    """A size beside the first hole of each group of the same name, diameter and depth, with their count."""
    for side in seen.sides:
        for _, group in groupby(side.panel.holes, key=lambda hole: (hole.place, hole.diameter, hole.depth)):
            alike = list(group)
            first = max(alike, key=lambda hole: (hole.centre.y, -seen.place.point(hole.centre).x))
            yield Wish(tuple(_beside_hole(seen, first, _hole_words(first, len(alike), side, unit))))


def _hole_words(hole: Hole, count: int, seen: Seen, unit: DimensionUnit) -> str:
    size = f"\u00d8{shown(hole.diameter, unit)}"
    many = f"{count} x {size}" if count > 1 else size
    if hole.depth is None:
        return f"{many} through"
    return f"{many}, {shown(hole.depth, unit)} deep{', other face' if seen.worked_behind else ''}"


def _beside_hole(seen: Seen, hole: Hole, text: str) -> Iterator[Label]:
    """Right or left of the hole, over or under its cross's arm; then above and below it."""
    x, y = seen.place.point(hole.centre)
    for further in (0.0, 4 * TEXT, 10 * TEXT):
        side = hole.diameter / 2 + BESIDE + further
        for low in (y + BESIDE, y - BESIDE - TEXT):
            yield Label(x=x + side, y=low, text=text, size=TEXT)
            yield Label(x=x - side, y=low, text=text, size=TEXT, anchor="right")
        for low in (y + side + ARM, y - side - ARM - TEXT):
            yield Label(x=x, y=low, text=text, size=TEXT, anchor="middle")


def _kept_clear(seen: Seen, lines: Sequence[Line]) -> tuple[Bounds, ...]:
    """Boxes that no words may cover: holes, and what points to the top."""
    holes = [
        circle(seen.place.point(hole.centre), hole.diameter / 2).bounds
        for side in seen.sides
        for hole in side.panel.holes
    ]
    return (*holes, *(line.bounds for line in lines))
