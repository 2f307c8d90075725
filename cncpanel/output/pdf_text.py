"""Which font sets which letter: Helvetica what it has, DejaVu Sans what it has besides, '?' what neither has.

Helvetica is one of the fonts that every reader of PDF brings along; of DejaVu Sans only the letters used are embedded.
"""

import re
import unicodedata
from collections.abc import Iterator
from functools import cache
from itertools import groupby
from pathlib import Path

from reportlab.pdfbase.pdfmetrics import getFont, registerFont, stringWidth
from reportlab.pdfbase.ttfonts import TTFError, TTFont
from reportlab.pdfgen.canvas import Canvas

from cncpanel.errors import Place, Problem, ProblemsFound

STANDARD = {False: "Helvetica", True: "Helvetica-Bold"}
OTHER = "DejaVuSans"  # upright only: a bold title's few other letters stay light
FILE = Path(__file__).parent / "fonts" / "DejaVuSans.ttf"
WIDEST = 1225  # thousandths of the type size; room that words reckon with for a letter
RIGHT_TO_LEFT = ("R", "AL", "AN")  # set letter by letter they would read backwards, unjoined
JOINERS = "\u200d\ufe0e\ufe0f"  # choose or join pictures; they are nothing to see themselves
UNKNOWN = "?"


@cache
def other_font() -> TTFont:
    """DejaVu Sans, read when it is first needed; raises ProblemsFound where the program's own file of it is gone."""
    try:
        registerFont(TTFont(OTHER, str(FILE)))
    except TTFError as error:
        text = "the font that comes with the program cannot be read, and a name in the job needs it"
        raise ProblemsFound([Problem(Place(str(FILE)), text, "install cncpanel again")]) from error
    return getFont(OTHER)


def printable(text: str) -> str:
    """The text as it can be printed: spaces plain, letters that no font has as '?'."""
    if text.isascii() and text.isprintable():
        return text
    return "".join(map(_printable, unicodedata.normalize("NFC", text)))


def _printable(letter: str) -> str:
    if letter.isspace() or letter in JOINERS:
        return " " if letter.isspace() else ""
    return letter if _is_standard(letter) or _is_other(letter) else UNKNOWN


def strange(text: str) -> tuple[str, ...]:
    """The letters that stand as '?' on paper, each once."""
    composed = unicodedata.normalize("NFC", text)
    return tuple(dict.fromkeys(letter for letter in composed if letter != UNKNOWN and _printable(letter) == UNKNOWN))


def runs(text: str, font: str) -> Iterator[tuple[str, str]]:
    """The printable text in stretches of whole words, each with the font that has its letters: `font`, or the other.

    `font` is a standard one. Joined the stretches give `printable(text)`.
    """
    words = printable(text)
    if words.isascii():
        if words:
            yield font, words
        return
    for standard, pieces in groupby(re.findall(r" +|[^ ]+", words), lambda piece: all(map(_is_standard, piece))):
        yield (font if standard else other_font().fontName), "".join(pieces)


def width(text: str, font: str, size: float) -> float:
    """How wide the text is set, in the unit of `size`."""
    return sum(float(stringWidth(words, name, size)) for name, words in runs(text, font))


def _is_standard(letter: str) -> bool:
    return letter.isprintable() and bool(letter.encode("cp1252", "ignore"))


@cache
def _is_other(letter: str) -> bool:
    if not letter.isprintable() or unicodedata.bidirectional(letter) in RIGHT_TO_LEFT:
        return False
    width: int = other_font().face.charWidths.get(ord(letter), 0)
    return 0 < width <= WIDEST


def fitted(text: str, font: str, size: float, room: float) -> str:
    """As much of a text as there is room for, in the unit of `size`."""
    while width(text, font, size) > room:
        text = f"{text.rstrip('.')[:-1]}..." if len(text) > len("...") else ""
    return text


def draw(canvas: Canvas, x: float, y: float, text: str, font: str, size: float, anchor: str = "left") -> None:
    """The text on a canvas, in points, its anchor (left, middle, right) at x."""
    back = {"left": 0.0, "middle": 0.5, "right": 1.0}[anchor]
    x -= back * width(text, font, size) if back else 0.0
    for name, words in runs(text, font):
        canvas.setFont(name, size)
        canvas.drawString(x, y, words)
        x += stringWidth(words, name, size)
