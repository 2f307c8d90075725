"""A template on paper: in one piece for a roll, or pages that explain and a page for every tile."""

from collections.abc import Iterator
from dataclasses import dataclass, replace

from cncpanel.drawing.check_bars import CheckBars, check_bars
from cncpanel.drawing.clear_first import boxed
from cncpanel.drawing.letter_widths import text_width
from cncpanel.drawing.match_marks import match_marks
from cncpanel.drawing.page import Item, Line, Page, Pen, Window, item_box
from cncpanel.drawing.paper import Label
from cncpanel.drawing.template import Template
from cncpanel.drawing.template_notes import joining_notes, pen_samples, printing_notes, tracing_notes
from cncpanel.drawing.tile_map import tile_map
from cncpanel.drawing.tiles import ROOM, Tile, Tiling, tiling
from cncpanel.drawing.words import Wish, fitted, label_box, settle, wrapped
from cncpanel.geometry.contour import joined_bounds, path_of, polygon
from cncpanel.geometry.point import Point
from cncpanel.geometry.segment import Bounds, Segment
from cncpanel.job.model import TemplateSettings
from cncpanel.job.paper_size import PaperSize
from cncpanel.units import DimensionUnit

FRAME = Pen(width=0.13)
HEAD = 1.7  # mm capitals in a page's upper margin
TITLE, BODY, LEADING = 4.5, 2.2, 1.7  # mm capitals; lines are so many capitals apart
AIR = 5.0  # mm between the parts of an explaining page
SAMPLE = 18.0  # mm of each kind of line
LEAST_ROLL = 240.0  # mm; a narrower page has no room for the bars and the notes
MAP_SHARE = 0.38  # of the explaining page's height


@dataclass(frozen=True, slots=True, kw_only=True)
class Told:
    """What every page tells of its job."""

    job: str
    revision: str
    date: str
    unit: DimensionUnit

    @property
    def line(self) -> str:
        """`Millrace, revision A, 1 May`."""
        return ", ".join(part for part in (self.job, f"revision {self.revision}", self.date) if part)


def tiled_pages(template: Template, told: Told, paper: PaperSize, settings: TemplateSettings) -> tuple[Page, ...]:
    """The explaining pages, then the tiles row by row. Raises ValueError where the page is too small for tiles.

    Everything is laid out in true millimetres on paper that the printer's own error makes larger or smaller.
    """
    width, height = paper.width / settings.correction[0], paper.height / settings.correction[1]
    margin, bars = settings.margin, check_bars(width, height)
    tiles = tiling(template.bounds, template.whole, (width - 2 * margin, height - 2 * margin), settings.overlap)
    items = _with_marks(template, tiles)
    blank = Page(name="", width=width, height=height, items=(*bars.lines, *bars.labels), correction=settings.correction)
    pages = [
        replace(
            blank,
            name=f"{template.seen.title} {tile.name}",
            items=(*blank.items, *_head(template, told, tiles, tile, blank, margin)),
            windows=(Window(items=items, bounds=tile.window, at=Point(margin, margin)),),
        )
        for tile in tiles.tiles
    ]
    return (*_explaining(template, told, blank, margin, tiles, bars), *pages)


def _with_marks(template: Template, tiles: Tiling) -> tuple[Item, ...]:
    """The template's lines and words, and the match marks of all joints, clear of each other."""
    lines = boxed(template.lines)
    marks = [mark for joint in tiles.joints for mark in match_marks(joint, template.taken, lines)]
    labels = [mark.label for mark in marks]
    wishes = (_whole_first(wish, tiles) for wish in template.wishes)
    words = settle(wishes, [*template.taken, *(mark.box for mark in marks)])
    strokes = [line for mark in marks for line in mark.lines()]
    return (*template.lines, *template.fixed, *words, *strokes, *labels)


def _whole_first(wish: Wish, tiles: Tiling) -> Wish:
    """Of places that are as good as each other those that one tile shows whole go before the others."""
    first, rest = wish.places[: wish.alike], wish.places[wish.alike :]
    whole = {place: _is_whole(label_box(place), tiles) for place in first}
    return replace(wish, places=(*sorted(first, key=lambda place: not whole[place]), *rest))


def _is_whole(box: Bounds, tiles: Tiling) -> bool:
    """Whether a tile shows the box with a little room, as `settle` keeps it."""
    left, low, right, high = box
    return any(a < left and b < low and right < c and high < d for a, b, c, d in (t.window for t in tiles.tiles))


def _head(template: Template, told: Told, tiles: Tiling, tile: Tile, page: Page, margin: float) -> Iterator[Item]:
    """The frame and, in the upper margin, two lines: which tile of what, and how to print it."""
    right, top = page.width - margin, page.height - margin
    yield _box((margin, margin, right, top))
    left_words = (
        f"{tile.name}  (row {tile.row} of {tiles.rows}, column {tile.column} of {tiles.columns})",
        "Print at 100 %, never 'fit'. Measure the bars.",
    )
    right_words = (f"{template.seen.title}, {template.seen.face} face, top up", told.line)
    for y, first, last in zip((top + 4.6, top + 1.4), left_words, right_words, strict=True):
        room = right - margin - text_width(first, HEAD) - 3 * HEAD
        yield Label(x=margin, y=y, text=first, size=HEAD, bold=y > top + 3)
        yield Label(x=right, y=y, text=fitted(last, HEAD, room), size=HEAD, anchor="right")


def _box(bounds: Bounds) -> Line:
    left, low, right, high = bounds
    return Line(shape=polygon([(left, low), (right, low), (right, high), (left, high)]), pen=FRAME, layer="FRAME")


def _explaining(
    template: Template, told: Told, blank: Page, margin: float, tiles: Tiling, bars: CheckBars
) -> Iterator[Page]:
    """Title, map of the tiles and kinds of lines, then notes for as many pages as they need."""
    left, right, top = margin + 2, blank.width - margin, blank.height - margin
    width = right - left
    title = f"Template: {template.seen.title}, {template.seen.face} face"
    items: list[Item] = [Label(x=left, y=top - TITLE, text=fitted(title, TITLE, width), size=TITLE, bold=True)]
    y = top - TITLE - AIR
    for line in wrapped(f"{told.line}. {_counted(tiles)}", BODY, width):
        items.append(Label(x=left, y=y, text=line, size=BODY))
        y -= BODY * LEADING
    y += BODY * LEADING
    head, map_width = Point(left, y - AIR), 0.5 * width
    items += tile_map(tiles, template.seen.outline, head, map_width, MAP_SHARE * blank.height)
    items += _samples(template, Point(left + map_width + AIR, head.y - BODY), right)
    foot = min(item_box(item)[1] for item in items)
    joined = len(tiles.tiles) > 1
    joining = joining_notes() if joined else ()
    texts = [*printing_notes(bars.left_out, told.unit), *joining, *tracing_notes(template, told.unit, joined=joined)]
    lines = [line for text in texts for line in (*wrapped(text, BODY, width), "")]
    for number, (first, page_lines) in enumerate(_broken(lines, foot - AIR, top, margin + AIR)):
        labels = _set(page_lines, left, first)
        name = f"{template.seen.title} how to"
        yield replace(blank, name=name, items=(*blank.items, *(items if number == 0 else ()), *labels))


def _counted(tiles: Tiling) -> str:
    if len(tiles.tiles) == 1:
        return "One tile holds the whole panel."
    places = f"{_several(tiles.rows, 'row')} and {_several(tiles.columns, 'column')}"
    return f"{len(tiles.tiles)} tiles in {places}; those that miss the panel are left out."


def _several(number: int, what: str) -> str:
    return f"{number} {what}{'' if number == 1 else 's'}"


def _broken(lines: list[str], first: float, top: float, foot: float) -> Iterator[tuple[float, list[str]]]:
    """The lines of each page with the height of its first one."""
    height, rest = first, lines
    while True:
        room = max(int((height - foot) / (BODY * LEADING)), 0)
        yield height, rest[:room]
        rest = rest[room:]
        if not rest or (room == 0 and height == top):
            return
        height = top


def _set(lines: list[str], left: float, first: float) -> list[Label]:
    """Lines of body text from `first` down; empty ones are half as high."""
    labels, y = [], first
    for line in lines:
        y -= BODY * LEADING * (1 if line else 0.5)
        if line:
            labels.append(Label(x=left, y=y, text=line, size=BODY))
    return labels


def _samples(template: Template, start: Point, right: float) -> Iterator[Item]:
    """A stroke of each kind of line with its words, one below the other."""
    y = start.y
    for pen, words in pen_samples(template):
        ends = Point(start.x, y + BODY / 2), Point(start.x + SAMPLE, y + BODY / 2)
        yield Line(shape=path_of([Segment(*ends)]), pen=pen)
        for line in wrapped(words, BODY, right - start.x - SAMPLE - BODY):
            yield Label(x=start.x + SAMPLE + BODY, y=y, text=line, size=BODY)
            y -= BODY * LEADING
        y -= BODY * LEADING * 0.5


def roll_page(template: Template, told: Told, settings: TemplateSettings) -> Page:
    """The whole template on one page for a roll, notes and bars in a strip below it."""
    left, low, right, high = template.bounds
    margin = settings.margin + ROOM
    width = max(right - left + 2 * margin, LEAST_ROLL)
    words = settle(template.wishes, template.taken)
    texts = [*printing_notes((), told.unit), *tracing_notes(template, told.unit, joined=False)]
    title = f"Template: {template.seen.title}, {template.seen.face} face, top up. {told.line}"
    lines = [line for text in (title, *texts) for line in (*wrapped(text, BODY, width - 2 * margin - AIR), "")]
    strip = margin + BODY * LEADING * (len(lines) + 2)
    samples = list(_samples(template, Point(margin + AIR, strip), width - margin))
    lowest = min(label_box(item)[1] for item in samples if isinstance(item, Label))
    strip += strip - lowest + AIR
    moved = list(_samples(template, Point(margin + AIR, strip - BODY), width - margin))
    height = max(high - low + strip + AIR + margin, LEAST_ROLL)
    labels = _set(lines, margin + AIR, margin + BODY * LEADING * (len(lines) + 1))
    bars = check_bars(width, height)
    items: tuple[Item, ...] = (*template.lines, *template.fixed, *words)
    whole = joined_bounds([template.bounds, *map(label_box, words)])
    at = Point((width - right + left) / 2 + whole[0] - left, strip + AIR + whole[1] - low)
    return Page(
        name=template.seen.title,
        width=width,
        height=height,
        items=(*bars.lines, *bars.labels, *labels, *moved),
        windows=(Window(items=items, bounds=_grown(whole), at=Point(at.x - ROOM, at.y - ROOM)),),
        correction=settings.correction,
    )


def _grown(bounds: Bounds) -> Bounds:
    left, low, right, high = bounds
    return left - ROOM, low - ROOM, right + ROOM, high + ROOM
