"""Letters on paper: what the fonts have is printed and read back, what none has is told."""

from io import BytesIO
from pathlib import Path

import pypdf
import pypdfium2
import pytest

from cncpanel.drawing.letter_widths import text_width
from cncpanel.drawing.page import Page
from cncpanel.drawing.paper import Document, Heading, Label, Sentence, Table
from cncpanel.errors import Gathering
from cncpanel.errors.toml import read_toml
from cncpanel.make.unprintable import tell_unprintable
from cncpanel.output.pdf import CAPS, pdf
from cncpanel.output.pdf_drawing import drawing_pdf
from cncpanel.output.pdf_text import other_font, printable, runs, strange, width

SAID = "Größe Łódź zażółć, Ελληνικά, Русский, 2½ → ★"


def test_letters_that_a_font_has_are_printed_and_others_are_a_question_mark() -> None:
    assert SAID == printable(SAID)
    assert "a b?c ?? ok" == printable("a\u2003b\x07c שך ok")
    assert "A\u030a" != printable("A\u030a") == "Å"
    assert ("ש", "漢") == strange("what? ש 漢 ש Ω")
    assert ("\u26a0", ()) == (printable("\u26a0\ufe0f"), strange("\u26a0\ufe0f"))


def test_a_word_is_set_in_one_font_and_runs_join_to_the_text() -> None:
    assert [("Helvetica", "Bar "), ("DejaVuSans", "zażółć"), ("Helvetica", " é")] == list(
        runs("Bar zażółć é", "Helvetica")
    )
    assert [] == list(runs("", "Helvetica"))


def test_words_come_back_from_a_document_and_from_a_drawing() -> None:
    pieces = (Heading(SAID, 1), Sentence(SAID), Table(head=(SAID, "b"), rows=((SAID, "1"),), shares=(9, 1)))
    document = pypdf.PdfReader(BytesIO(pdf(Document(title=SAID, foot=SAID, pieces=pieces))))
    assert 5 == " ".join(document.pages[0].extract_text().split()).count(SAID)
    assert (SAID, SAID) == (document.metadata.title, document.outline[0].title)
    items = (Label(x=50, y=50, text=SAID, size=3, anchor="middle"), Label(x=9, y=9, text=SAID, size=2, turn_deg=90))
    page = pypdfium2.PdfDocument(drawing_pdf([Page(name="a", width=200, height=200, items=items)], "t"))[0]
    assert 2 == " ".join(page.get_textpage().get_text_bounded().split()).count(SAID)


def test_words_of_both_fonts_have_their_anchor_where_it_was_asked() -> None:
    items = (Label(x=100, y=50, text="Iκkκ Ω H", size=3, anchor="middle"),)
    page = pypdfium2.PdfDocument(drawing_pdf([Page(name="a", width=200, height=200, items=items)], "t"))[0]
    boxes = [item.get_bounds() for item in page.get_objects()]
    left, right = min(box[0] for box in boxes), max(box[2] for box in boxes)
    assert 100 == pytest.approx((left + right) / 2 * 25.4 / 72, abs=0.4)  # side bearings differ
    assert width("Iκkκ Ω H", "Helvetica", 3 / CAPS) == pytest.approx((right - left) * 25.4 / 72, abs=0.8)


def test_no_letter_is_set_wider_than_words_reckon_with() -> None:
    letters = [chr(code) for code in sorted({*range(0x20, 0x180), *other_font().face.charWidths})]
    known = [letter for letter in letters if printable(letter) == letter]
    assert len(known) > 4000
    texts = [*known, *(f"m{letter}+1" for letter in known)]
    for font in ("Helvetica", "Helvetica-Bold"):
        wide = [text for text in texts if width(text, font, 1 / CAPS) > text_width(text, 1.0) + 1e-9]
        assert [] == wide


def test_the_same_pages_give_the_same_bytes() -> None:
    page = Page(name="a", width=200, height=200, items=(Label(x=50, y=50, text=SAID, size=3),))
    assert drawing_pdf([page], "t") == drawing_pdf([page], "t")


def test_unprintable_letters_are_told_where_they_were_written(tmp_path: Path) -> None:
    path = tmp_path / "stand.toml"
    path.write_text('[job]\nname = "Ω stand"\n[[panel]]\nname = "a"\nnote = "up 漢"\n', encoding="utf-8")
    gathering = Gathering()
    tell_unprintable(read_toml(path), gathering)
    said = [str(warning).partition("stand.toml")[2] for warning in gathering.warnings]
    assert [
        ":5: panel[0].note: warning: no font here has 漢 (U+6F22): on paper there stands ? "
        "(other words, if somebody must read it there)"
    ] == said
