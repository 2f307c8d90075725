"""Paper: everything that must be there is there, inside the page, and the same bytes each time."""

import io
import re
from dataclasses import replace

import pypdf
import pytest
from drawing_samples import MACHINES, ODD, odd_sample, sample
from reportlab.pdfbase.pdfmetrics import stringWidth

from cncpanel.drawing.paper import Bullets, Cautions, Document, Heading, Label, Picture, Sentence, Stroke, Table
from cncpanel.make.flow import Made
from cncpanel.make.paper_set import document
from cncpanel.output.pdf import pdf
from cncpanel.output.pdf_text import printable

MARGIN = 15 * 72 / 25.4 - 0.5  # points; nothing is set nearer to the page's edge
WORDS = Document(title="Words", foot="foot", pieces=(Heading("Words", 1), Sentence("One.")))


@pytest.fixture(params=MACHINES)
def made(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Made:
    return sample(tmp_path_factory.getbasetemp(), request.param)


def read(data: bytes) -> pypdf.PdfReader:
    return pypdf.PdfReader(io.BytesIO(data), strict=True)


def text(data: bytes) -> str:
    return " ".join(" ".join(page.extract_text().split()) for page in read(data).pages)


def starts(page: pypdf.PageObject) -> list[tuple[float, float, str]]:
    """Where each piece of text begins on the page, in points."""
    found: list[tuple[float, float, str]] = []

    def visit(words: str, current: list[float], matrix: list[float], *_: object) -> None:
        if words.strip():
            x, y = matrix[4], matrix[5]
            a, b, c, d, e, f = current
            found.append((a * x + c * y + e, b * x + d * y + f, words))

    page.extract_text(visitor_text=visit)
    return found


def test_a_jobs_sheets_name_files_tools_parts_and_cautions(made: Made) -> None:
    words = text(pdf(document(made)))
    for sheet in made.sheets:
        for written in sheet.written:
            assert f"{written.program.name}.nc" in words
            assert all(f"T{tool.number}" in words and tool.name in words for tool in written.program.tools)
        assert all(part.label in words for part in sheet.sheet.parts)
    for word in ("Dust:", "Hearing and eyes:", "Thrown tools and parts:", "X0 Y0", "Feeds and speeds", "ply & more"):
        assert word in words


def test_pages_are_numbered_and_carry_the_foot(made: Made) -> None:
    pages = read(pdf(document(made))).pages
    assert 8 <= len(pages) <= 13
    for number, page in enumerate(pages, start=1):
        words = page.extract_text()
        assert f"page {number} of {len(pages)}" in words
        assert "Sample, revision A" in words


def test_every_part_of_the_document_has_a_bookmark(made: Made) -> None:
    titles = [str(entry.title) for entry in read(pdf(document(made))).outline if not isinstance(entry, list)]
    assert [
        "Sample: shop papers",
        "Sample: set-up of sheet 1 of 1",
        "Feeds and speeds",
        "Cut list",
        "Marking and assembly",
        "Drawing 1 of 2: board",
        "Drawing 2 of 2: clip",
    ] == titles


def test_the_same_document_gives_the_same_bytes(made: Made) -> None:
    assert pdf(document(made)) == pdf(document(made))


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_nothing_is_set_outside_the_page(made: Made, paper: str) -> None:
    data = pdf(replace(document(made), paper=paper))
    width, height = {"A4": (595.28, 841.89), "Letter": (612.0, 792.0)}[paper]
    for page in read(data).pages:
        assert (float(page.mediabox.width), float(page.mediabox.height)) == pytest.approx((width, height), abs=0.01)
        placed = starts(page)
        assert placed
        for x, y, words in placed:
            assert MARGIN <= x <= width - MARGIN, words
            assert MARGIN <= y <= height - MARGIN, words


def test_a_job_in_inches_is_set_on_letter_paper_in_both_units(tmp_path_factory: pytest.TempPathFactory) -> None:
    data = pdf(document(sample(tmp_path_factory.getbasetemp(), "shop-router-inch", "inch")))
    assert float(read(data).pages[0].mediabox.width) == 612
    words = text(data)
    assert "11.811 x 7.874 in (11 13/16 x 7 7/8 in; 300 x 200 mm)" in words
    assert "THE SHEET LIES TURNED" in words


@pytest.mark.parametrize("name", ODD)
def test_odd_names_neither_crash_nor_vanish(name: str, tmp_path_factory: pytest.TempPathFactory) -> None:
    made = odd_sample(tmp_path_factory.getbasetemp(), name)
    words = text(pdf(document(made)))
    assert "".join(printable(name).split()) in "".join(words.split())


def test_markup_in_a_text_is_set_as_it_stands() -> None:
    pieces = (Sentence("<b>&lt;</b> & <font color=red>"), Bullets(("<i>x",)), Cautions(("</para>",)))
    words = text(pdf(replace(WORDS, pieces=(*WORDS.pieces, *pieces))))
    for said in ("<b>&lt;</b> & <font color=red>", "<i>x", "</para>"):
        assert said in words


def test_a_long_table_repeats_its_head_on_every_page() -> None:
    rows = tuple((str(n), f"row {n}") for n in range(200))
    data = pdf(replace(WORDS, pieces=(Heading("Long", 1), Table(head=("No.", "What it is"), rows=rows, shares=(1, 4)))))
    pages = [page.extract_text() for page in read(data).pages]
    assert len(pages) > 2
    assert all("What it is" in page for page in pages)
    assert all(f"row {n}\n" in "\n".join(pages) + "\n" for n in range(200))


def test_words_without_a_space_are_broken_inside_their_cell() -> None:
    table = Table(head=("Name", "Size"), rows=(("w" * 200, "1"),), shares=(1, 1))
    placed = starts(read(pdf(replace(WORDS, pieces=(table,)))).pages[0])
    assert sum(words.count("w") for _, _, words in placed) == 200
    assert max(len(words) for _, _, words in placed) < 60


def test_a_box_of_cautions_is_never_broken() -> None:
    filler = tuple(Sentence(f"filler {n}") for n in range(41))
    data = pdf(replace(WORDS, pieces=(*filler, Cautions(tuple(f"beware {n}" for n in range(8))))))
    pages = [page.extract_text() for page in read(data).pages]
    assert [count for page in pages if (count := len(re.findall(r"beware", page)))] == [8]


def test_a_long_foot_is_cut_off_before_the_page_number() -> None:
    (page,) = read(pdf(replace(WORDS, foot="W" * 300))).pages
    placed = starts(page)
    x, foot = next((x, words.strip()) for x, _, words in placed if "WWW" in words)
    number = next(x for x, _, words in placed if "page 1 of 1" in words)
    assert foot.endswith("...")
    assert x + stringWidth(foot, "Helvetica", 7.5) < number


def test_a_picture_keeps_strokes_and_words() -> None:
    picture = Picture(
        width=60,
        height=20,
        items=(
            Stroke(points=((0, 0), (60, 0), (60, 20)), closed=True, shade=0.5, dash=1),
            Label(x=30, y=10, text="<here> & there", size=3, anchor="middle", turn_deg=90),
        ),
    )
    assert "<here> & there" in text(pdf(replace(WORDS, pieces=(picture,))))


def test_a_table_that_ends_with_its_page_leaves_no_blank_page_after_it() -> None:
    """The white under a table is 2 mm high: moved down by 1 mm each, one of these tables ends within it."""
    table = Table(head=("No.",), rows=tuple((str(row),) for row in range(42)), shares=(1.0,))
    counts = set()
    for height in range(60, 65):
        begun = (Heading("First", 1), Picture(width=10.0, height=float(height), items=()), table)
        for pieces in (begun, (*begun, Heading("Second", 1), table)):
            pages = read(pdf(Document(title="x", foot="x", pieces=pieces))).pages
            counts.add(len(pages))
            assert all(len(page.extract_text().split()) > 5 for page in pages), height
    assert {1, 2, 3} == counts


@pytest.mark.parametrize("rows", [2, 3, 9])
def test_no_last_row_stands_alone_on_a_page_and_no_heading_without_its_table(rows: int) -> None:
    table = Table(head=("Row", "What"), rows=tuple((f"row{n}", "words") for n in range(rows)), shares=(1, 1))
    broken = 0
    for before in range(34, 46):
        pieces = (Heading("T", 1), *[Sentence("s")] * before, Heading("Under"), Sentence("Words."), table)
        pages = [page.extract_text().split() for page in read(pdf(replace(WORDS, pieces=pieces))).pages]
        counts = [sum(word.startswith("row") for word in page) for page in pages]
        assert counts[-1] >= 2
        assert all(count for page, count in zip(pages, counts, strict=True) if "Under" in page)
        broken += counts[0] not in (0, rows)
    assert broken > 0 or rows < 4


def test_a_last_row_of_several_lines_takes_the_one_before_it_along_and_no_head_stands_twice_on_a_page() -> None:
    rows = (*((f"row{n}", "words") for n in range(8)), ("row8", "several words in a narrow cell " * 3))
    table = Table(head=("Head", "What"), rows=rows, shares=(3, 1))
    for before in range(30, 46):
        pieces = (Heading("T", 1), *[Sentence("s")] * before, table)
        pages = [page.extract_text().split() for page in read(pdf(replace(WORDS, pieces=pieces))).pages]
        assert all(page.count("Head") <= 1 for page in pages), before
        assert all(("row7" in page) == ("row8" in page) for page in pages), before


def test_a_table_with_rows_that_fill_a_page_together_is_set_all_the_same() -> None:
    rows = (("a", "word " * 85), ("b", "word " * 85))
    table = Table(head=("Row", "What"), rows=rows, shares=(9, 1))
    assert 2 <= len(read(pdf(replace(WORDS, pieces=(Heading("T", 1), table)))).pages)


def test_a_row_that_is_longer_than_a_page_goes_on_on_the_next() -> None:
    """With its narrow neighbour's words still in it once, and all of its own."""
    rows = (("first", "a"), ("neighbour", " ".join(f"word{n}" for n in range(1500))), ("last", "z"))
    pages = read(pdf(replace(WORDS, pieces=(Table(head=("Row", "What"), rows=rows, shares=(1, 1)),)))).pages
    words = " ".join(page.extract_text() for page in pages).split()
    assert len(pages) >= 3
    assert [f"word{n}" for n in range(1500)] == [word for word in words if word.startswith("word")]
    assert [words.count(word) for word in ("first", "neighbour", "last")] == [1, 1, 1]
