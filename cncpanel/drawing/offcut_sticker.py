"""The label of a piece for the rack: its name to read from afar and to scan, its size, stock and origin."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from cncpanel.drawing.label_stock import LabelSheet
from cncpanel.drawing.letter_widths import text_width
from cncpanel.drawing.page import Item, Page
from cncpanel.drawing.paper import Label
from cncpanel.drawing.part_sticker import CODE_SHARE, INSIDE, Modules, code_items
from cncpanel.drawing.words import fitted
from cncpanel.geometry.segment import Bounds

NAME, LEAST_NAME = 6.0, 2.5  # mm capitals
WORDS = 2.1  # mm capitals
UNDER = 1.0  # mm more under the name
LEADING = 1.6  # of the capitals, from line to line
SHRINK = 0.92


@dataclass(frozen=True, slots=True, kw_only=True)
class OffcutSticker:
    """One piece's label; `code` are the QR code's modules of its name, `lines` what stands under the name."""

    name: str
    code: Modules
    lines: tuple[str, ...]


def offcut_label_pages(stickers: Sequence[OffcutSticker], sheet: LabelSheet) -> tuple[Page, ...]:
    """Sheets of labels, filled row by row."""
    boxes = list(sheet.boxes())
    width, height = sheet.page
    pages: list[Page] = []
    for first in range(0, len(stickers), len(boxes)):
        on_page = zip(stickers[first : first + len(boxes)], boxes, strict=False)
        items = tuple(item for sticker, box in on_page for item in _items(sticker, box))
        pages.append(Page(name=f"offcut labels {len(pages) + 1}", width=width, height=height, items=items))
    return tuple(pages)


def _items(sticker: OffcutSticker, box: Bounds) -> Iterator[Item]:
    left, low, right, high = box[0] + INSIDE, box[1] + INSIDE, box[2] - INSIDE, box[3] - INSIDE
    side = min(high - low, CODE_SHARE * (right - left))
    yield from code_items(sticker.code, (left, (low + high - side) / 2), side)
    text, room = left + side + 1.0, right - left - side - 1.0
    size = NAME
    while size > LEAST_NAME and text_width(sticker.name, size) > room:
        size *= SHRINK
    y = high - size
    yield Label(x=text, y=y, text=fitted(sticker.name, size, room), size=size, bold=True)
    y -= UNDER
    for line in sticker.lines:
        y -= LEADING * WORDS
        if y >= low:
            yield Label(x=text, y=y, text=fitted(line, WORDS, room), size=WORDS)
