"""The label that goes on a part: which part of what, which face this is, where up is, its edges, where it was cut."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby

from cncpanel.drawing.label_stock import LabelSheet
from cncpanel.drawing.letter_widths import text_width
from cncpanel.drawing.page import Item, Line, Page, Pen
from cncpanel.drawing.paper import Label
from cncpanel.drawing.words import BELOW, fitted, wrapped
from cncpanel.geometry.contour import polygon
from cncpanel.geometry.segment import Bounds
from cncpanel.job.model import Face

Modules = tuple[tuple[bool, ...], ...]

INSIDE = 2.5  # mm kept free round a label's edge, for printers that drift
QUIET = 4  # modules of white round a QR code: ISO/IEC 18004
CODE_SHARE = 0.36  # of a label's width at most
NAME, LEAST_NAME = 3.2, 1.8  # mm capitals
WORDS, SMALL = 1.9, 1.6  # mm capitals
LEADING = 1.6  # of the capitals, from line to line
ARROW = (3.4, 3.0)  # mm wide and high
ARROW_ROOM = 8.0  # mm; TOP stands under the arrow
SHRINK = 0.92
FACES: dict[Face, str] = {"show": "This is the SHOW face", "back": "This is the BACK face"}
NO_PEN = Pen(width=0.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Sticker:
    """One part's label; `code` are the QR code's modules, row by row, of the text `part_id`."""

    part_id: str
    code: Modules
    name: str
    job: str
    face: Face
    edges: str
    where: str

    @property
    def face_words(self) -> str:
        """Which face carries the label."""
        return FACES[self.face]


def label_pages(stickers: Sequence[Sticker], sheet: LabelSheet, skip: int = 0) -> tuple[Page, ...]:
    """Sheets of labels, filled row by row after `skip` that are gone from the first; the last may stay part empty."""
    boxes = list(sheet.boxes())
    width, height = sheet.page
    places: list[Sticker | None] = [*(None for _ in range(skip % len(boxes))), *stickers]
    pages: list[Page] = []
    for first in range(0, len(places), len(boxes)):
        on_page = zip(places[first : first + len(boxes)], boxes, strict=False)
        items = tuple(item for sticker, box in on_page if sticker for item in sticker_items(sticker, box))
        pages.append(Page(name=f"labels {len(pages) + 1}", width=width, height=height, items=items))
    return tuple(pages)


def sticker_items(sticker: Sticker, box: Bounds) -> Iterator[Item]:
    """The code at the left, the words beside it, TOP with its arrow at the upper right."""
    left, low, right, high = box[0] + INSIDE, box[1] + INSIDE, box[2] - INSIDE, box[3] - INSIDE
    side = min(high - low, CODE_SHARE * (right - left))
    yield from code_items(sticker.code, (left, (low + high - side) / 2), side)
    text = left + side + 1.0
    yield from _top(right, high)
    yield from _words(sticker, (text, low, right, high))


def code_items(code: Modules, corner: tuple[float, float], side: float) -> Iterator[Line]:
    """The code with its quiet zone in a square of `side` mm, dark modules in a row as one bar."""
    module = side / (len(code) + 2 * QUIET)
    x, top = corner[0] + QUIET * module, corner[1] + side - QUIET * module
    for row, modules in enumerate(code):
        y, column = top - (row + 1) * module, 0
        for dark, run in groupby(modules):
            length = len(list(run))
            if dark:
                first, last = x + column * module, x + (column + length) * module
                bar = polygon([(first, y), (last, y), (last, y + module), (first, y + module)])
                yield Line(shape=bar, pen=NO_PEN, fill=0.0)
            column += length


def _top(right: float, high: float) -> Iterator[Item]:
    across, up = ARROW
    x, y = right - ARROW_ROOM / 2, high
    yield Line(shape=polygon([(x - across / 2, y - up), (x + across / 2, y - up), (x, y)]), pen=NO_PEN, fill=0.0)
    yield Label(x=x, y=y - up - LEADING * SMALL, text="TOP", size=SMALL, anchor="middle", bold=True)


def _words(sticker: Sticker, box: Bounds) -> Iterable[Label]:
    """Name, place on its sheet, face beside the arrow; the job and the edges under it for as many lines as fit."""
    left, low, right, high = box
    short, whole = right - left - ARROW_ROOM, right - left
    size = _name_size(sticker.name, short)
    y = high - size
    yield Label(x=left, y=y, text=fitted(sticker.name, size, short), size=size, bold=True)
    for text, bold in ((sticker.where, False), (sticker.face_words, True)):
        y -= LEADING * WORDS
        yield Label(
            x=left, y=y, text=fitted(text, WORDS, short if y > high - ARROW_ROOM else whole), size=WORDS, bold=bold
        )
    y -= LEADING * WORDS
    yield Label(x=left, y=y, text=fitted(sticker.job, SMALL, whole), size=SMALL)
    lines = wrapped(sticker.edges, SMALL, whole)
    count = int((y - low - BELOW * SMALL) / (LEADING * SMALL))
    for line in _shortened(lines, count, whole):
        y -= LEADING * SMALL
        yield Label(x=left, y=y, text=line, size=SMALL)


def _name_size(name: str, width: float) -> float:
    size = NAME
    while size > LEAST_NAME and text_width(name, size) > width:
        size *= SHRINK
    return size


def _shortened(lines: list[str], room: int, width: float) -> list[str]:
    """The first lines, the last of them with dots where others follow."""
    if len(lines) <= room:
        return [fitted(line, SMALL, width) for line in lines]
    kept = lines[: max(room, 0)]
    return [*kept[:-1], *(fitted(f"{line} ...", SMALL, width) for line in kept[-1:])]
