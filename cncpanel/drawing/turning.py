"""A sheet that is turned over, on its set-up page: the line it is turned about, the arrow, the dowels, what to do."""

from collections.abc import Iterator
from math import cos, pi, sin

from cncpanel.drawing.measures import Measures
from cncpanel.drawing.paper import Label, Stroke
from cncpanel.drawing.view import View
from cncpanel.geometry.contour import circle
from cncpanel.geometry.point import Point
from cncpanel.geometry.segment import Segment
from cncpanel.layout.layout import Sheet
from cncpanel.layout.side import Side

LIFT_ALONE = 1500.0  # mm; a longer sheet is not turned over by one person: common practice, no source
LINES = {"x": "long middle line", "y": "short middle line"}
ARROW = 3.4  # mm on paper
LEAST = 1.2  # mm on paper; a dowel is never drawn smaller


def turn_line(view: View, side: Side) -> Segment:
    """The line on paper that the sheet is turned about."""
    length, width = view.sheet.length, view.sheet.width
    ends = ((0.0, width / 2), (length, width / 2)) if side.axis == "x" else ((length / 2, 0.0), (length / 2, width))
    first, last = (Point(*view.at(end)) for end in ends)
    return Segment(first, last)


def turn_marks(view: View, side: Side) -> Iterator[Stroke | Label]:
    """The line in chain dots, an arrow round its end, each dowel as a black disc."""
    line = turn_line(view, side)
    first, last = line.start, line.end
    yield from _chain(first, last)
    yield from _arrow(last, upright=abs(first[0] - last[0]) < abs(first[1] - last[1]))
    for place in side.dowels:
        yield _dowel(view, place, side.dowel)


def _chain(first: tuple[float, float], last: tuple[float, float]) -> Iterator[Stroke]:
    """Long and short strokes by turns: a centre line as drawings have it (ISO 128)."""
    way = Point(*last).minus(Point(*first))
    length = Point(*first).distance(Point(*last))
    at, long = 0.0, True
    while at < length:
        to = min(at + (9.0 if long else 1.5), length)
        ends = (Point(*first).plus(way.times(s / length)) for s in (at, to))
        yield Stroke(points=tuple((p.x, p.y) for p in ends), width=0.35)
        at, long = to + 1.5, not long


def _arrow(end: tuple[float, float], *, upright: bool) -> Iterator[Stroke | Label]:
    """Most of a turn round the line's end, seen aslant, with a head."""
    across, along = (ARROW, ARROW / 2) if upright else (ARROW / 2, ARROW)
    begin = pi * (1.25 if upright else 0.75)
    angles = [begin - 1.5 * pi * step / 20 for step in range(21)]
    points = [(end[0] + across * cos(angle), end[1] + along * sin(angle)) for angle in angles]
    yield Stroke(points=tuple(points), width=0.6)
    tip, before = Point(*points[-1]), Point(*points[-3])
    ahead = tip.minus(before).times(1 / tip.distance(before))
    aside = Point(-ahead.y, ahead.x)
    corners = (tip.plus(ahead.times(1.6)), tip.plus(aside.times(1.1)), tip.minus(aside.times(1.1)))
    yield Stroke(points=tuple((p.x, p.y) for p in corners), closed=True, width=0.1, shade=0.0)


def _dowel(view: View, place: Point, diameter: float) -> Stroke:
    x, y = view.at(place)
    radius = max(diameter * view.factor / 2, LEAST)
    ring = circle((x, y), radius).flattened(0.05)
    return Stroke(points=tuple((p.x, p.y) for p in ring), closed=True, width=0.2, shade=0.0)


def turn_words(sheet: Sheet, view: View, told: Measures) -> Iterator[str]:
    """What is done in this set-up beside cutting; nothing where a sheet has one."""
    side = sheet.side
    if side is None:
        return
    about = f"its {LINES[side.axis]} (chain line with the arrow on the map, along machine {_along(view, side)})"
    if side.number == 1:
        yield (
            f"SET-UP 1 OF 2. The panels' other faces lie up. Only blind cuts are made{_holes(side)}; outlines, "
            "openings and through holes are cut after the turn, so that nothing comes free and the sheet stays stiff. "
            f"The sheet is then turned over about {about}."
        )
    else:
        yield (
            f"SET-UP 2 OF 2. First turn the sheet over about {about}: the edges beside that line change places, the "
            "ends of the line stay where they are. The mirror images of set-up 1's cuts now lie under the parts."
        )
        yield "X and Y zero are NOT set again; Z zero is. Clear spoilboard and sheet of chips first."
    yield from _registration(side, sheet, view, told)
    if max(sheet.length, sheet.width) > LIFT_ALONE:
        yield "TWO PERSONS turn the sheet: one at either end, spindle parked, machine held."


def rim_step(error: float, told: Measures) -> str:
    """What edges that are cut before the turn owe to it: `error` is how far off the turned sheet may lie, mm."""
    return (
        "Rims that are rounded or bevelled in this set-up get their walls after the turn: they may step off their "
        f"walls by up to {told.length(error)}, as far as the turned sheet may lie off "
        "(turning.error in the machine file)."
    )


def _along(view: View, side: Side) -> str:
    return "X" if (side.axis == "x") != view.turned else "Y"


def _holes(side: Side) -> str:
    return " and the dowel holes" if side.by == "dowels" else ""


def _registration(side: Side, sheet: Sheet, view: View, told: Measures) -> Iterator[str]:
    if side.by == "edge":
        across, name = (sheet.width, "width") if side.axis == "x" else (sheet.length, "length")
        yield (
            "Registration by edge stops: fixed stops at the two edges that meet at X0 Y0, in both set-ups. Measure the "
            f"sheet's {name} at both ends: the programs reckon with {told.length(across)}; where it differs, write it "
            "into the stock's sheet and make the job anew. The edge at the stop must be straight."
        )
        return
    places = "; ".join(told.place(view.program(place)) for place in side.dowels)
    size = told.length(side.dowel)
    if side.number == 1:
        yield (
            f"Registration by two dowels of {size} at {places} (black discs): the program cuts their holes through the "
            "sheet into the spoilboard. Do not move the spoilboard until set-up 2 is cut."
        )
        return
    yield (
        f"Registration: two dowels of {size} stand in the spoilboard's holes at {places} (black discs), flush with the "
        "sheet's top or lower. The sheet goes onto them one way only; press it down flat, then clamp."
    )
