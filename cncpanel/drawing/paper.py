"""A document as values: headings, sentences, tables and vector pictures, in reading order. Millimetres."""

from dataclasses import dataclass
from typing import Literal

PaperSize = Literal["A4", "Letter"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Stroke:
    """A chain of straight lines; `shade` fills it (0 black .. 1 white), `dash` in mm makes it broken."""

    points: tuple[tuple[float, float], ...]
    closed: bool = False
    width: float = 0.2
    shade: float | None = None
    dash: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Label:
    """A line of text; `turn_deg` counter-clockwise about its anchor, `size` its height in mm."""

    x: float
    y: float
    text: str
    size: float
    anchor: Literal["left", "middle", "right"] = "left"
    turn_deg: float = 0.0
    bold: bool = False


@dataclass(frozen=True, slots=True)
class Heading:
    """Opens a part of the document; level 1 starts a page and has a bookmark."""

    text: str
    level: int = 2


@dataclass(frozen=True, slots=True)
class Sentence:
    """A paragraph."""

    text: str


@dataclass(frozen=True, slots=True)
class Bullets:
    """Short points, one a line."""

    points: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Cautions:
    """What can hurt somebody, boxed."""

    points: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Table:
    """Rows under a head; `shares` are the columns' parts of the width; figures are set to the right.

    So are the columns `right`, by number, where words may stand among their figures.
    """

    head: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    shares: tuple[float, ...]
    right: tuple[int, ...] = ()

    def without(self, column: int) -> "Table":
        """The table with that column left out."""
        rows = tuple((*row[:column], *row[column + 1 :]) for row in self.rows)
        head, shares = self.head, self.shares
        return Table(
            head=(*head[:column], *head[column + 1 :]),
            rows=rows,
            shares=(*shares[:column], *shares[column + 1 :]),
            right=tuple(n - (n > column) for n in self.right if n != column),
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Picture:
    """A drawing of its own size with the origin at its lower left."""

    width: float
    height: float
    items: tuple[Stroke | Label, ...]


@dataclass(frozen=True, slots=True)
class Contents:
    """A list of the document's headings of level 1 with their pages; it stands on one page."""


@dataclass(frozen=True, slots=True)
class Together:
    """Pieces that stay on one page."""

    pieces: tuple["Piece", ...]


Piece = Heading | Contents | Together | Sentence | Bullets | Cautions | Table | Picture


@dataclass(frozen=True, slots=True, kw_only=True)
class Document:
    """Pieces that flow over as many pages as they need; `foot` stands on every page beside its number."""

    title: str
    foot: str
    pieces: tuple[Piece, ...]
    paper: PaperSize = "A4"

    @property
    def frame_width(self) -> float:
        """The width that pieces have."""
        return {"A4": 210.0, "Letter": 215.9}[self.paper] - 2 * MARGIN


MARGIN = 15.0  # mm of white round every page
