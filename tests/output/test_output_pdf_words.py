"""Running words against reportlab's own paragraph of the same text as markup, line for line."""

from html import escape

import pytest
from reportlab.platypus import Paragraph

from cncpanel.output.pdf import BODY, CELL, HEAD
from cncpanel.output.pdf_words import Words, words

LONG = "Feed the sheet in slowly & hold it down, so that <1 mm is left at the far end; " * 3
TEXTS = ("", " ", "-", "12 x 24.5", "  two  spaces ", "a & b < c > d", "AT&T &amp; <b>not bold</b>", LONG, "x" * 90)
STYLES = {"body": BODY, "cell": CELL, "head": HEAD}


def lines(paragraph: Paragraph) -> list[str]:
    """The words of each line as they are set."""
    return [
        " ".join(line[1]) if isinstance(line, tuple) else "".join(piece.text for piece in line.words).strip()
        for line in paragraph.blPara.lines
    ]


@pytest.mark.parametrize("style", STYLES.values(), ids=STYLES)
@pytest.mark.parametrize("text", TEXTS)
@pytest.mark.parametrize("width", [40.0, 130.0, 500.0])
def test_words_break_as_a_paragraph_of_the_same_markup(text: str, width: float, style: object) -> None:
    judge, ours = Paragraph(escape(text, quote=False), style), words(text, style)
    assert ours.wrap(width, 1000) == judge.wrap(width, 1000)
    assert lines(ours) == lines(judge)


def test_another_width_breaks_the_words_anew() -> None:
    ours = words(LONG, CELL)
    tall, low = ours.wrap(60, 1000), ours.wrap(500, 1000)
    assert tall == Paragraph(escape(LONG), CELL).wrap(60, 1000)
    assert low == Paragraph(escape(LONG), CELL).wrap(500, 1000)
    assert tall[1] > low[1]


def test_one_width_breaks_the_words_once(monkeypatch: pytest.MonkeyPatch) -> None:
    breaks = []
    breaker = Paragraph.breakLines
    monkeypatch.setattr(Paragraph, "breakLines", lambda self, width: breaks.append(width) or breaker(self, width))
    ours = words(LONG, CELL)
    assert ours.wrap(60, 1000) == ours.wrap(60, 20)
    assert len(breaks) == 1


@pytest.mark.parametrize("text", [LONG, f"{LONG} Ωμέγα {LONG}"])
def test_words_split_over_two_pages_without_loss(text: str) -> None:
    ours = words(text, CELL)
    ours.wrap(60, 1000)
    whole = lines(ours)
    first, rest = ours.split(60, 4 * CELL.leading)
    assert isinstance(first, Words)
    assert first.wrap(60, 1000) == (60, 4 * CELL.leading)
    assert rest.wrap(60, 1000) == (60, (len(whole) - 4) * CELL.leading)
    assert lines(first) + lines(rest) == whole


def test_words_without_room_for_two_lines_go_to_the_next_page_whole() -> None:
    ours = words(LONG, CELL)
    size = ours.wrap(60, 1000)
    assert ours.split(60, CELL.leading / 2) == []
    assert ours.wrap(60, 1000) == size
    assert len(lines(ours)) * CELL.leading == size[1]
