"""Pages drawn to measure as PDF: one unit of every page's content is one millimetre on paper.

Only grey and, where a pen asks for it, one spot colour; lines and arcs stay vectors. Pages over 14,400 points, the most
that a reader need take (ISO 32000-1, annex C), get a UserUnit (PDF 1.6). The same pages give the same bytes.
"""

import zlib
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from math import ceil, cos, radians, sin
from typing import Any

from reportlab.pdfbase.pdfdoc import (
    PDFArray,
    PDFDictionary,
    PDFDocument,
    PDFName,
    PDFObjectReference,
    PDFPage,
    PDFStream,
)
from reportlab.pdfbase.pdfmetrics import stringWidth

from cncpanel.drawing.page import Item, Line, Page, Pen, Window, item_box, meet
from cncpanel.drawing.paper import Label
from cncpanel.geometry.contour import joined_bounds
from cncpanel.geometry.segment import Bounds
from cncpanel.output.pdf import CAPS
from cncpanel.output.pdf_path import path_operators
from cncpanel.output.pdf_text import OTHER, STANDARD, other_font, printable, runs

POINT = 25.4 / 72  # mm
MOST_POINTS = 14400  # a side without UserUnit
TINT = (0, 1, 0, 0)  # CMYK shown in place of the spot colour where there is no such ink
STREAM_COMPRESSION = 6
ESCAPES = {c: f"\\{c:03o}" for c in range(256) if c > 126 or c < 32 or c in b"()\\"}
REGULAR = frozenset(range(0x21, 0x7F)) - frozenset(b"#()<>[]{}/%")  # ISO 32000-1, 7.2.2
SPOT, OVERPRINT = "Spot1", "Over1"


class _Page(PDFPage):  # type: ignore[misc]  # reportlab ships no types
    """A page that may have a UserUnit."""

    __NoDefault__ = (*PDFPage.__NoDefault__, "UserUnit")


@dataclass(frozen=True, slots=True)
class _Names:
    """What a content stream of the document calls its fonts, by bold or not; and what was written once already.

    Tiles show the same items, so that each item's operators and box are made once for all of them. Both are kept by
    identity: the pages hold their items all the while.
    """

    document: PDFDocument
    fonts: dict[bool, str]
    written: dict[int, list[tuple[Item, Bounds, str]]] = field(default_factory=dict)
    single: dict[int, str] = field(default_factory=dict)


def drawing_pdf(pages: Sequence[Page], title: str, spot: str | None = None) -> bytes:
    """The pages as PDF bytes; `spot` is the name of the cut line's ink.

    Raises ValueError where a pen asks for the spot colour and there is none.
    """
    longest = max(max(_paper(page)) for page in pages) / POINT
    document = PDFDocument(invariant=1, pdfVersion=(1, 6) if longest > MOST_POINTS else (1, 4))
    document.info.title, document.info.author, document.info.subject = printable(title), "", ""
    document.info.creator = document.info.producer = "cncpanel"
    lettered = any(isinstance(item, Label) for page in pages for item in _all_items(page))
    fonts = {bold: document.getInternalFontName(font)[1:] for bold, font in STANDARD.items()} if lettered else {}
    if spot is None and any(isinstance(i, Line) and i.pen.spot for page in pages for i in _all_items(page)):
        raise ValueError("a cut line in a spot colour without a name")
    resources = _resources(spot, lettered=lettered)
    names = _Names(document, fonts)
    for page in pages:
        document.addPage(_pdf_page(page, names, resources))
    data: bytes = document.GetPDFData(None)
    return data


def _all_items(page: Page) -> Iterator[Item]:
    yield from page.items
    for window in page.windows:
        yield from window.items


def _paper(page: Page) -> tuple[float, float]:
    """The sheet's own size in mm, the correction taken in."""
    return page.width * page.correction[0], page.height * page.correction[1]


def _name(text: str) -> str:
    """A colour's name letter for letter: UTF-8, whatever is no regular character as #xx (ISO 32000-1, 7.3.5)."""
    return "/" + "".join(chr(c) if c in REGULAR else f"#{c:02X}" for c in text.encode())


def _resources(spot: str | None, *, lettered: bool) -> Any:
    found: dict[str, Any] = {"ProcSet": PDFArray([PDFName("PDF"), *([PDFName("Text")] if lettered else [])])}
    if lettered:
        found["Font"] = PDFObjectReference("BasicFonts")
    if spot is not None:
        tint = PDFDictionary(
            {
                "FunctionType": 2,
                "Domain": PDFArray([0, 1]),
                "C0": PDFArray([0, 0, 0, 0]),
                "C1": PDFArray(list(TINT)),
                "N": 1,
            }
        )
        separation = PDFArray([PDFName("Separation"), _name(spot), PDFName("DeviceCMYK"), tint])
        found["ColorSpace"] = PDFDictionary({SPOT: separation})
        over = PDFDictionary({"Type": PDFName("ExtGState"), "OP": "true", "op": "true", "OPM": 1})
        found["ExtGState"] = PDFDictionary({OVERPRINT: over})
    return PDFDictionary(found)


def _pdf_page(page: Page, names: _Names, resources: Any) -> Any:
    paper = _paper(page)
    unit = max(ceil(max(paper) / POINT / MOST_POINTS), 1)
    scale = tuple(factor / POINT / unit for factor in page.correction)
    made = _Page()
    made.MediaBox = PDFArray([0, 0, *(f"{side / POINT / unit:.5f}" for side in paper)])
    if page.trim is not None:
        made.TrimBox = _box(page.trim, scale)
    if page.bleed is not None:
        made.BleedBox = _box(page.bleed, scale)
    if unit > 1:
        made.UserUnit = unit
    made.Resources = resources
    content = "\n".join(_content(page, names, scale)).encode("ascii")
    packed = PDFDictionary({"Filter": PDFName("FlateDecode")})
    made.Contents = PDFStream(packed, zlib.compress(content, STREAM_COMPRESSION))
    return made


def _box(bounds: Bounds, scale: Sequence[float]) -> Any:
    return PDFArray([f"{value * scale[axis % 2]:.5f}" for axis, value in enumerate(bounds)])


def _content(page: Page, names: _Names, scale: Sequence[float]) -> Iterator[str]:
    yield f"{scale[0]:.9f} 0 0 {scale[1]:.9f} 0 0 cm"
    yield from _drawn((item, _operators(item, names)) for item in page.items)
    for window in page.windows:
        yield from _window(window, names)


def _window(window: Window, names: _Names) -> Iterator[str]:
    """Clipped, then placed; only what shows is written."""
    left, low, right, high = window.bounds
    factor, at = window.factor, window.at
    width, height = (right - left) * factor, (high - low) * factor
    yield f"q\n{at.x:.5f} {at.y:.5f} {width:.5f} {height:.5f} re W n"
    yield f"{factor:.9g} 0 0 {factor:.9g} {at.x - left * factor:.5f} {at.y - low * factor:.5f} cm"
    key = id(window.items)
    if key not in names.written:
        names.written[key] = [(item, item_box(item), _operators(item, names)) for item in window.items]
    yield from _drawn((item, text) for item, box, text in names.written[key] if meet(box, window.bounds))
    yield "Q"


def _drawn(items: Iterable[tuple[Item, str]]) -> Iterator[str]:
    """Their operators, each line's pen set where it changes."""
    pen: Pen | None = None
    for item, operators in items:
        if isinstance(item, Line) and item.pen is not pen and item.pen != pen:
            pen = item.pen
            yield _set_pen(pen)
        yield operators


def _operators(item: Item, names: _Names) -> str:
    key = id(item)
    if key not in names.single:
        names.single[key] = _text(item, names) if isinstance(item, Label) else _stroked(item)
    return names.single[key]


def _set_pen(pen: Pen) -> str:
    dash = " ".join(f"{length:g}" for length in pen.dash)
    ink = f"/{OVERPRINT} gs /{SPOT} CS 1 SCN" if pen.spot else f"{pen.shade:g} G"
    return f"{pen.width:g} w [{dash}] 0 d {ink}"


def _stroked(line: Line) -> str:
    path = path_operators(line.shape)
    if line.fill is None:
        return f"{path}\nS"
    return f"{line.fill:g} g\n{path}\n{'B' if line.pen.width > 0 else 'f'} 0 g"


def _text(label: Label, names: _Names) -> str:
    """The words about their anchor, capitals `size` mm high."""
    font, size = STANDARD[label.bold], label.size / CAPS
    stretches = [(name, words, stringWidth(words, name, size)) for name, words in runs(label.text, font)]
    width = sum(wide for _, _, wide in stretches)
    along = -{"left": 0.0, "middle": width / 2, "right": width}[label.anchor]
    c, s = cos(radians(label.turn_deg)), sin(radians(label.turn_deg))
    turned = f"{c:.6f} {s:.6f} {-s:.6f} {c:.6f}"
    shown = []
    for name, words, wide in stretches:
        at = f"{label.x + along * c:.5f} {label.y + along * s:.5f}"
        shown.append(f"{turned} {at} Tm {_set(name, words, size, names, bold=label.bold)}")
        along += wide
    return f"BT {' '.join(shown)} ET"


def _set(font: str, words: str, size: float, names: _Names, *, bold: bool) -> str:
    """The operators that choose the font and show the words in its codes."""
    if font != OTHER:
        return f"/{names.fonts[bold]} {size:.5f} Tf ({_escaped(words.encode('cp1252'))}) Tj"
    other, document = other_font(), names.document
    return " ".join(
        f"{other.getSubsetInternalName(subset, document)} {size:.5f} Tf ({_escaped(codes)}) Tj"
        for subset, codes in other.splitString(words, document)
    )


def _escaped(codes: bytes) -> str:
    """As a literal string, others than plain ASCII in octal."""
    return codes.decode("latin-1").translate(ESCAPES)


def page_bounds(items: Iterable[Item]) -> Bounds:
    """The box round all items; raises ValueError when there is none."""
    return joined_bounds(map(item_box, items))
