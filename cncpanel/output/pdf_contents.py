"""The list of a document's parts: room is kept while pages are made, the words come when all pages are known."""

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any

from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import Flowable

from cncpanel.output.pdf_text import draw, fitted

FONT = ("Helvetica", 9)
LINE = 13.0  # points a row
RISE = 3.0  # points from a row's foot to its words
NUMBER = 40.0  # points kept for a page's number


@dataclass(slots=True)
class Parts:
    """The writer's own state: parts as they begin, and where room was kept for which rows of the list."""

    begun: list[tuple[str, int]] = field(default_factory=list)
    kept: list[tuple[int, range, tuple[float, float, float]]] = field(default_factory=list)

    def write(self, canvas: Canvas, page: int) -> None:
        """The bookmarks of the parts that begin on `page`, and the rows for which it has room.

        Bookmarks come now: reportlab ties one to the page that it is writing.
        """
        for index, (title, begun_on) in enumerate(self.begun):
            if begun_on == page:
                canvas.bookmarkPage(f"part{index}")
                canvas.addOutlineEntry(title, f"part{index}", 0, False)
        for on, rows, place in self.kept:
            if on == page:
                _write(canvas, [self.begun[row] for row in rows], place)


class Room(Flowable):  # type: ignore[misc]  # reportlab ships no types
    """Room for some rows of the list; it breaks between two."""

    def __init__(self, rows: range, parts: Parts) -> None:
        super().__init__()
        self.rows, self.parts, self.across = rows, parts, 0.0

    def wrap(self, width: float, _height: float) -> tuple[float, float]:
        self.across = width
        return width, len(self.rows) * LINE

    def split(self, _width: float, height: float) -> list[Any]:
        fitting = int(height // LINE)
        if fitting <= 0 or fitting >= len(self.rows):
            return []
        return [Room(self.rows[:fitting], self.parts), Room(self.rows[fitting:], self.parts)]

    def draw(self) -> None:
        x, y = self.canv.absolutePosition(0, 0)
        self.parts.kept.append((self.canv.getPageNumber(), self.rows, (x, y + len(self.rows) * LINE, self.across)))


def _write(canvas: Canvas, rows: Sequence[tuple[str, int]], place: tuple[float, float, float]) -> None:
    """Downwards from `place`: left, top, width."""
    x, top, width = place
    for number, (title, page) in enumerate(rows, start=1):
        y = top - number * LINE + RISE
        draw(canvas, x, y, fitted(title, *FONT, width - NUMBER), *FONT)
        canvas.setFont(*FONT)
        canvas.drawRightString(x + width, y, str(page))
