"""A panel's printed face for the large-format printer: where its film is cut, how far the print goes on, what is safe.

The panel's edge is the trim, the finished size. Over a rounded edge the film needs (pi/2 - 1) R more than the drawn
outline to reach the rounding's end, and then its wrap along the edge; there it is cut. The bleed goes on beyond that.
Words are strokes, so that no font is needed.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from math import pi

from cncpanel.drawing.page import Line, Page, Pen, Window
from cncpanel.drawing.seen import Seen
from cncpanel.geometry.area import Area
from cncpanel.geometry.contour import Contour, circle, path_of, polygon
from cncpanel.geometry.offset import offset, offset_contour
from cncpanel.geometry.placement import Placement
from cncpanel.geometry.point import Point
from cncpanel.geometry.region import region_of
from cncpanel.geometry.segment import Bounds, Segment
from cncpanel.job.model import Artwork, ArtworkSettings
from cncpanel.job.program_name import program_name
from cncpanel.panel.lettering import text_strokes, text_width
from cncpanel.units import Unit, shown

CUT, TRIM, BLEED, SAFE = "ART_CUT", "ART_TRIM", "ART_BLEED", "ART_SAFE"
OPENING, MOUNTING, MARKS, WORDS = "ART_OPENING", "ART_MOUNTING", "ART_MARKS", "ART_WORDS"
HAIRLINE = 0.1  # mm
GUIDE = 0.18  # mm
FROM_TRIM, FROM_BLEED = 10.0, 6.0  # mm; registration marks lie at least so far outside
ARM, RING = 5.0, 2.5  # mm; a registration cross's arm and its ring's radius
MOUNTING_ARM, IN_WASTE = 2.5, 0.5  # mm; a cross of 5 in the waste, clear of its rim
TEXT, LEAST_TEXT, LEADING = 4.0, 1.5, 7.0  # mm capitals, from line to line
BARS = {  # mm; the longest that the panel has room for is drawn
    "mm": (1000.0, 500.0, 200.0, 100.0, 50.0),
    "inch": tuple(25.4 * inches for inches in (36, 24, 12, 6, 2)),
}
BAR_ROOM = 4.0  # mm from the bar to the first line of words


@dataclass(frozen=True, slots=True, kw_only=True)
class Print:
    """One printed face: the panel as it is seen, what the job asks. `hand` is `left`, `right` or nothing."""

    seen: Seen
    artwork: Artwork
    settings: ArtworkSettings
    hand: str
    unit: Unit

    @property
    def rounding(self) -> float:
        """The largest rounding of an edge on this face."""
        faces = (self.seen.face, "both")
        return max(
            (edge.round or 0.0 for edge in self.seen.edges if edge.faces in faces and edge.opening is None), default=0.0
        )

    @property
    def film(self) -> float:
        """How far the film goes on beyond the panel's edge as drawn."""
        return (pi / 2 - 1) * self.rounding + self.artwork.wrap

    @property
    def bleed(self) -> float:
        """How far its print goes on beyond the panel's edge as drawn."""
        return self.film + (self.settings.bleed if self.artwork.bleed is None else self.artwork.bleed)

    @property
    def safe(self) -> float:
        """What matters keeps so far inside the panel's edge."""
        return self.settings.safe if self.artwork.safe is None else self.artwork.safe

    @property
    def trim_box(self) -> Bounds:
        """The finished panel's box, in the view."""
        return self.seen.outline.bounds

    @property
    def bleed_box(self) -> Bounds:
        """The print's box, in the view."""
        return _grown(self.trim_box, self.bleed)

    def marks_room(self, scale: float) -> float:
        """From the trim to the registration marks' centres; `scale` as in `artwork_page`."""
        return max(FROM_TRIM * scale, self.bleed + FROM_BLEED * scale) + ARM * scale


def artwork_page(printed: Print, scale: float = 1.0) -> Page:
    """The page at 1:`scale`; pens, marks and words keep their size on paper."""
    room = printed.marks_room(scale) + (ARM + 3.0) * scale
    below = room + (len(told(printed, scale)) * LEADING + BAR_ROOM + 2 * ARM) * scale
    left, low, right, high = printed.trim_box
    bounds = (left - room, low - below, right + room, high + room)
    merged = (TRIM,) if printed.film == 0 else ()  # the cut line lies on it
    items = tuple(line for line in artwork_lines(printed, scale) if line.layer not in merged)
    at = (-bounds[0], -bounds[1])
    return Page(
        name=title(printed),
        width=(bounds[2] - bounds[0]) / scale,
        height=(bounds[3] - bounds[1]) / scale,
        windows=(Window(items=items, bounds=bounds, at=Point(0.0, 0.0), factor=1 / scale),),
        trim=_on_page(printed.trim_box, at, scale),
        bleed=_on_page(printed.bleed_box, at, scale),
    )


def _on_page(box: Bounds, at: tuple[float, float], scale: float) -> Bounds:
    left, low, right, high = box
    return (left + at[0]) / scale, (low + at[1]) / scale, (right + at[0]) / scale, (high + at[1]) / scale


def _grown(box: Bounds, distance: float) -> Bounds:
    left, low, right, high = box
    return left - distance, low - distance, right + distance, high + distance


def title(printed: Print) -> str:
    """`side LEFT, show face`."""
    seen = printed.seen
    name = f"{seen.panel.name} {printed.hand.upper()}" if printed.hand else seen.title
    return f"{name}, {printed.seen.face} face"


def artwork_lines(printed: Print, scale: float = 1.0) -> Iterator[Line]:
    """Everything in the view's frame at full size, pens and marks `scale` times as large."""
    yield from _outlines(printed, scale)
    yield from _openings(printed, scale)
    yield from _registration(printed, scale)
    yield from _scale_bar(printed, scale)
    yield from _words(printed, scale)


def _pen(width: float, scale: float, *dash: float) -> Pen:
    return Pen(width=width * scale, dash=tuple(length * scale for length in dash))


def _outlines(printed: Print, scale: float) -> Iterator[Line]:
    outline = printed.seen.outline
    for contour in offset_contour(outline, printed.bleed):
        yield Line(shape=contour, pen=_pen(GUIDE, scale, 5.0, 2.0), layer=BLEED)
    yield Line(shape=outline, pen=_pen(GUIDE, scale, 8.0, 2.0, 1.0, 2.0), layer=TRIM)
    for contour in _safe(printed):
        yield Line(shape=contour, pen=_pen(GUIDE, scale, 1.0, 1.5), layer=SAFE)
    cut = Pen(width=HAIRLINE * scale, spot=True)
    for contour in offset_contour(outline, printed.film):
        yield Line(shape=contour, pen=cut, layer=CUT)


def _safe(printed: Print) -> Iterator[Contour]:
    """Round what may hold letters and faces: inside the edge, off the holes and openings."""
    outline = region_of(printed.seen.outline)
    for region in offset((outline,), -printed.safe):
        yield from region.contours
    for waste in _waste(printed.seen):
        for region in offset((region_of(waste),), printed.settings.hole_safe):
            yield region.outer


def _waste(seen: Seen) -> Iterator[Contour]:
    """What is cut out of the printed face: openings, holes, and recesses on this face."""
    for opening in seen.panel.openings:
        yield seen.place.contour(opening.contour)
    for side in seen.sides:
        for hole in side.panel.holes:
            if hole.depth is None or not side.worked_behind:
                yield circle(seen.place.point(hole.centre), hole.diameter / 2)
        for recess in side.panel.recesses if not side.worked_behind else ():
            yield seen.place.contour(recess.region.outer)


def _openings(printed: Print, scale: float) -> Iterator[Line]:
    """Openings and holes: printed through, cut after mounting; a cross in the waste of each to mount by."""
    for contour in _waste(printed.seen):
        yield Line(shape=contour, pen=_pen(GUIDE, scale, 3.0, 1.5), layer=OPENING)
        left, low, right, high = contour.bounds
        centre = Point((left + right) / 2, (low + high) / 2)
        arm = min(MOUNTING_ARM, min(right - left, high - low) / 2 - IN_WASTE)
        if arm > 0 and Area.of([region_of(contour)]).distance(centre) == 0:
            yield from _cross(centre, arm, _pen(HAIRLINE, scale), MOUNTING)


def _cross(centre: Point, arm: float, pen: Pen, layer: str) -> Iterator[Line]:
    for way in (Point(arm, 0.0), Point(0.0, arm)):
        yield Line(shape=path_of([Segment(centre.minus(way), centre.plus(way))]), pen=pen, layer=layer)


def _registration(printed: Print, scale: float) -> Iterator[Line]:
    """Four crosses with rings, and one square beside the lower left one: turned or mirrored, it is elsewhere."""
    left, low, right, high = _grown(printed.trim_box, printed.marks_room(scale))
    pen = _pen(HAIRLINE, scale)
    for corner in (Point(left, low), Point(right, low), Point(right, high), Point(left, high)):
        yield from _cross(corner, ARM * scale, pen, MARKS)
        yield Line(shape=circle(corner, RING * scale), pen=pen, layer=MARKS)
    x, y, side = left + 1.6 * ARM * scale, low - RING * scale, 2 * RING * scale
    square = polygon([(x, y), (x + side, y), (x + side, y + side), (x, y + side)])
    yield Line(shape=square, pen=_pen(0.0, scale), layer=MARKS, fill=0.0)


def _scale_bar(printed: Print, scale: float) -> Iterator[Line]:
    """A bar of a whole length below the print, its length in words beside it."""
    start, length = _bar(printed, scale)
    if not length:
        return
    pen, tick = _pen(HAIRLINE, scale), Point(0.0, 2.0 * scale)
    end = start.plus(Point(length, 0.0))
    for a, b in ((start, end), (start.minus(tick), start.plus(tick)), (end.minus(tick), end.plus(tick))):
        yield Line(shape=path_of([Segment(a, b)]), pen=pen, layer=MARKS)


def _bar(printed: Print, scale: float) -> tuple[Point, float]:
    left, low, right, _ = printed.trim_box
    length = next((bar for bar in BARS[printed.unit] if bar <= right - left), 0.0)
    return Point(left, low - printed.marks_room(scale) - (ARM + 3.0) * scale), length


def _words(printed: Print, scale: float) -> Iterator[Line]:
    """Lines of strokes below the bar, each as large as the width allows."""
    start, _ = _bar(printed, scale)
    left, _, right, _ = _grown(printed.trim_box, printed.marks_room(scale))
    for number, text in enumerate(told(printed, scale)):
        height = min(TEXT * scale, TEXT * scale * (right - left) / text_width(text, TEXT * scale))
        place = Placement(x=left, y=start.y - ((number + 1) * LEADING + BAR_ROOM) * scale)
        for stroke in text_strokes(text, height, mirrored=False):
            yield Line(shape=place.path(stroke), pen=_pen(GUIDE, scale), layer=WORDS)


def told(printed: Print, scale: float) -> tuple[str, ...]:
    """What the page says, in the letters that there are strokes for."""
    left, low, right, high = printed.trim_box
    size = f"{shown(right - left, printed.unit)} X {shown(high - low, printed.unit)}"
    _, length = _bar(printed, scale)
    bar = f"BAR {shown(length, printed.unit)}" if length else "NO BAR"
    reduced = f" - REDUCED - PRINT AT {100 * scale:.0f} PERCENT" if scale != 1 else " - PRINT AT 100 PERCENT"
    film = f" - FILM IS CUT {_length(printed.film, printed)} OUTSIDE THE PANEL" if printed.film > 0 else ""
    has_waste = any(_waste(printed.seen))
    after = " - OPENINGS AND HOLES ARE CUT AFTER MOUNTING" if has_waste else ""
    opened = "SHORT DASHES OPENINGS - " if has_waste else ""
    lines = (
        f"{title(printed)} - seen as one looks at that face{_through(printed)}{_other_hand(printed)}",
        f"SCALE 1 TO {scale:.0f}{reduced} - {bar}",
        f"PANEL {size} - BLEED {_length(printed.bleed, printed)} - SAFE {_length(printed.safe, printed)}{film}",
        f"CUT LINE IN SPOT COLOUR {printed.settings.spot}{after}",
        f"LONG DASHES BLEED - {'' if printed.film == 0 else 'DASH DOT PANEL - '}{opened}DOTS SAFE",
        *((printed.artwork.note,) if printed.artwork.note else ()),
    )
    beyond, _, end, _ = _grown(printed.trim_box, printed.marks_room(scale))
    return tuple(part for line in lines for part in _broken(_strokeable(line), end - beyond, scale))


def _broken(text: str, width: float, scale: float) -> list[str]:
    """The text in lines that are still read where they are shrunk to the width, broken where it has a dash."""
    lines: list[str] = []
    for part in text.split(" - "):
        longer = f"{lines[-1]} - {part}" if lines else part
        if lines and text_width(longer, LEAST_TEXT * scale) <= width:
            lines[-1] = longer
        else:
            lines.append(part)
    return lines


def _through(printed: Print) -> str:
    """Whether the print is read through a clear sheet: it is seen mirrored on its own face."""
    clear = printed.seen.panel.stock.material == "acrylic" and printed.seen.face == "back"
    return " - read through the sheet" if clear else ""


def _other_hand(printed: Print) -> str:
    others = {"left": "right", "right": "left"}
    return f" - the mirror of the {others[printed.hand]} one" if printed.hand else ""


def _length(length: float, printed: Print) -> str:
    return shown(round(length, 2), printed.unit)


def _strokeable(text: str) -> str:
    """Capitals, digits, - _ . and space; accents dropped."""
    return ".".join(program_name(part) or "-" for part in text.replace(",", " -").split("."))
