"""Documents to PDF: reportlab sets the type and breaks the pages; the same bytes for the same document."""

import io
import re
from collections.abc import Callable, Sequence
from functools import singledispatch
from typing import Any

from reportlab.lib import colors, pagesizes
from reportlab.lib.enums import TA_RIGHT
from reportlab.lib.styles import ParagraphStyle
from reportlab.lib.units import mm
from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import (
    BaseDocTemplate,
    CondPageBreak,
    Flowable,
    Frame,
    KeepTogether,
    ListFlowable,
    PageBreak,
    PageTemplate,
    Spacer,
    Table,
    TableStyle,
)

from cncpanel.drawing import paper
from cncpanel.drawing.paper import MARGIN, Document
from cncpanel.output.pdf_contents import Parts, Room
from cncpanel.output.pdf_text import STANDARD, draw, fitted, printable
from cncpanel.output.pdf_words import words

PAGES = {"A4": pagesizes.A4, "Letter": pagesizes.LETTER}
FIGURES = re.compile(r"-?(\d+(\.\d+)?|(\d+ )?\d+/\d+)( [+-]\d+\.\d+)?")  # `23.78`, `23 25/32 -0.001`
FOOT = ("Helvetica", 7.5)
WITH_HEADING = 34.0  # mm; a heading, a sentence, a table's head and its first two rows of two lines
MOST_TOGETHER = 600  # letters of two rows
PAGE_NUMBER = 70.0  # points kept for it
CAPS = 0.72  # a capital's height as a share of the type size (Helvetica)
BODY = ParagraphStyle("body", fontName="Helvetica", fontSize=9, leading=11.5)
CELL = ParagraphStyle("cell", parent=BODY, fontSize=8, leading=9.5)
FIGURE = ParagraphStyle("figure", parent=CELL, alignment=TA_RIGHT)
HEAD = ParagraphStyle("head", parent=CELL, fontName="Helvetica-Bold")
HEAD_FIGURE = ParagraphStyle("headfigure", parent=HEAD, alignment=TA_RIGHT)
TITLES = {
    1: ParagraphStyle("title1", parent=BODY, fontName="Helvetica-Bold", fontSize=15, leading=19, spaceAfter=4),
    2: ParagraphStyle("title2", parent=BODY, fontName="Helvetica-Bold", fontSize=11, leading=14, spaceBefore=7),
}
CAUTION = ParagraphStyle("caution", parent=BODY, fontName="Helvetica-Bold", fontSize=9, leading=11.5)


def pdf(document: Document) -> bytes:
    """The document as PDF bytes, pages numbered 'x of y', a bookmark for every heading of level 1."""
    stream = io.BytesIO()
    size = PAGES[document.paper]
    template = BaseDocTemplate(
        stream,
        pagesize=size,
        title=printable(document.title),
        author="",
        creator="cncpanel",
        producer="cncpanel",
        invariant=1,
    )
    inner = (MARGIN * mm, (MARGIN + 5) * mm, size[0] - 2 * MARGIN * mm, size[1] - (2 * MARGIN + 5) * mm)
    frame = Frame(*inner, leftPadding=0, rightPadding=0, topPadding=0, bottomPadding=0)
    template.addPageTemplates([PageTemplate(frames=[frame])])
    parts = Parts()
    flow = _flow(document, parts)
    template.build(flow, canvasmaker=_counting(document, parts))
    return stream.getvalue()


def _flow(document: Document, parts: Parts) -> list[Flowable]:
    count = sum(isinstance(piece, paper.Heading) and piece.level == 1 for piece in document.pieces)
    flow: list[Flowable] = []
    for piece in document.pieces:
        if isinstance(piece, paper.Contents):
            flow.append(Room(range(count), parts))
        else:
            flow += _flowables(piece, document.frame_width * mm)
    return _without_blank_pages(flow) or [Spacer(0, 0)]


def _without_blank_pages(flow: list[Flowable]) -> list[Flowable]:
    """No page's end before anything is set; no white at a page's end, which a full page would push onto a new one."""
    ends = [*(isinstance(flowable, PageBreak) for flowable in flow[1:]), True]
    kept = [flowable for flowable, last in zip(flow, ends, strict=False) if not (last and isinstance(flowable, Spacer))]
    return kept[1:] if kept and isinstance(kept[0], PageBreak) else kept


def _counting(document: Document, parts: Parts) -> Callable[..., Canvas]:
    """A canvas that knows how many pages there are, and what is on them, before it writes the first foot."""

    class Counting(Canvas):  # type: ignore[misc]  # reportlab ships no types
        def __init__(self, *args: Any, **kwargs: Any) -> None:
            super().__init__(*args, **kwargs)
            self.kept: list[dict[str, Any]] = []

        def begin_part(self, title: str) -> None:
            parts.begun.append((printable(title), self.getPageNumber()))

        def showPage(self) -> None:  # noqa: N802  # reportlab's name
            self.kept.append(dict(self.__dict__))
            self._startPage()

        def save(self) -> None:
            for number, state in enumerate(self.kept, start=1):
                self.__dict__.update(state)
                parts.write(self, number)
                room = document.frame_width * mm - PAGE_NUMBER
                draw(self, MARGIN * mm, MARGIN * mm, fitted(document.foot, *FOOT, room), *FOOT)
                self.setFont(*FOOT)
                page = f"page {number} of {len(self.kept)}"
                self.drawRightString(PAGES[document.paper][0] - MARGIN * mm, MARGIN * mm, page)
                super().showPage()
            super().save()

    return Counting


class _Bookmark(Flowable):  # type: ignore[misc]  # reportlab ships no types
    """Nothing on paper; an entry in the reader's outline."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.text = text

    def wrap(self, _width: float, _height: float) -> tuple[float, float]:
        return 0, 0

    def draw(self) -> None:
        self.canv.begin_part(self.text)


class _Drawing(Flowable):  # type: ignore[misc]  # reportlab ships no types
    """A picture's strokes and labels on the canvas."""

    def __init__(self, picture: paper.Picture) -> None:
        super().__init__()
        self.picture = picture
        self.hAlign = "CENTER"

    def wrap(self, _width: float, _height: float) -> tuple[float, float]:
        return self.picture.width * mm, self.picture.height * mm

    def draw(self) -> None:
        for item in self.picture.items:
            _draw_stroke(self.canv, item) if isinstance(item, paper.Stroke) else _draw_label(self.canv, item)


def _draw_stroke(canvas: Canvas, stroke: paper.Stroke) -> None:
    path = canvas.beginPath()
    path.moveTo(stroke.points[0][0] * mm, stroke.points[0][1] * mm)
    for x, y in stroke.points[1:]:
        path.lineTo(x * mm, y * mm)
    if stroke.closed:
        path.close()
    canvas.setLineWidth(stroke.width * mm)
    canvas.setDash([stroke.dash * mm] if stroke.dash else [])
    if stroke.shade is not None:
        canvas.setFillGray(stroke.shade)
    canvas.drawPath(path, stroke=int(stroke.width > 0), fill=int(stroke.shade is not None))
    canvas.setFillGray(0)


def _draw_label(canvas: Canvas, label: paper.Label) -> None:
    canvas.saveState()
    canvas.translate(label.x * mm, label.y * mm)
    canvas.rotate(label.turn_deg)
    draw(canvas, 0, 0, label.text, STANDARD[label.bold], label.size * mm / CAPS, label.anchor)
    canvas.restoreState()


@singledispatch
def _flowables(piece: object, width: float) -> list[Flowable]:
    raise TypeError(f"no way to set {type(piece).__name__} on paper")


@_flowables.register
def _(piece: paper.Heading, width: float) -> list[Flowable]:
    title = words(piece.text, TITLES[piece.level])
    if piece.level == 1:
        return [PageBreak(), _Bookmark(piece.text), title]
    return [CondPageBreak(WITH_HEADING * mm), title]


@_flowables.register
def _(piece: paper.Sentence, width: float) -> list[Flowable]:
    return [words(piece.text, BODY), Spacer(0, 1.5 * mm)]


@_flowables.register
def _(piece: paper.Bullets, width: float) -> list[Flowable]:
    points = [words(point, BODY) for point in piece.points]
    listed = ListFlowable(points, bulletType="bullet", start="-", bulletFontSize=9, leftIndent=4 * mm)
    return [listed, Spacer(0, 1.5 * mm)]


@_flowables.register
def _(piece: paper.Cautions, width: float) -> list[Flowable]:
    rows = [[words(point, CAUTION)] for point in piece.points]
    box = TableStyle([("BOX", (0, 0), (-1, -1), 1.2, colors.black), *_padding(2.0, 3.0)])
    return [Spacer(0, 1.5 * mm), KeepTogether([Table(rows, colWidths=[width], style=box)]), Spacer(0, 1.5 * mm)]


@_flowables.register
def _(piece: paper.Table, width: float) -> list[Flowable]:
    columns = range(len(piece.head))
    figures = {c for c in columns if c in piece.right or _are_figures([row[c] for row in piece.rows])}
    head = [words(text, HEAD_FIGURE if c in figures else HEAD) for c, text in enumerate(piece.head)]
    rows = [[words(text, FIGURE if c in figures else CELL) for c, text in enumerate(row)] for row in piece.rows]
    widths = [width * share / sum(piece.shares) for share in piece.shares]
    style = TableStyle(
        [
            ("LINEBELOW", (0, 0), (-1, 0), 0.8, colors.black),
            ("LINEBELOW", (0, 1), (-1, -1), 0.2, colors.grey),
            ("VALIGN", (0, 0), (-1, -1), "TOP"),
            *_together(piece.rows),
            *_padding(1.5, 3.5),
        ]
    )
    parted = int(any(2 * _letters(row) > MOST_TOGETHER for row in piece.rows))  # else rows kept together would be too
    return [Table([head, *rows], colWidths=widths, style=style, repeatRows=1, splitInRow=parted), Spacer(0, 2 * mm)]


def _together(rows: tuple[tuple[str, ...], ...]) -> list[tuple[Any, ...]]:
    """The last two rows on one page, so that none stands alone on the next; rows that might fill one may be parted."""
    long = sum(_letters(row) for row in rows[-2:]) > MOST_TOGETHER
    return [] if len(rows) < 2 or long else [("NOSPLIT", (0, len(rows) - 1), (0, len(rows)))]


def _letters(row: Sequence[str]) -> int:
    return sum(len(text) for text in row)


def _padding(above: float, beside: float) -> list[tuple[Any, ...]]:
    """All cells' white, in points."""
    names = {"TOPPADDING": above, "BOTTOMPADDING": above, "LEFTPADDING": beside, "RIGHTPADDING": beside}
    return [(name, (0, 0), (-1, -1), value) for name, value in names.items()]


def _are_figures(cells: list[str]) -> bool:
    """Whether a column has numbers, and nothing else but dashes in place of them."""
    told = [text for text in cells if text not in ("", "-")]
    return bool(told) and all(map(FIGURES.fullmatch, told))


@_flowables.register
def _(piece: paper.Picture, width: float) -> list[Flowable]:
    return [_Drawing(piece), Spacer(0, 1 * mm)]


@_flowables.register
def _(piece: paper.Together, width: float) -> list[Flowable]:
    return [KeepTogether([flowable for inner in piece.pieces for flowable in _flowables(inner, width)])]
