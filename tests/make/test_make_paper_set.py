"""The set of papers as printed: words on their pages and clear of others, bookmarks, contents, labels, lists."""

import csv
import hashlib
import io
import re
from dataclasses import replace
from fractions import Fraction

import pypdf
import pypdfium2
import pytest
import zxingcpp
from drawing_samples import sample
from print_samples import DESCENT, FIXTURES, JOBS, MARGIN, POINT, assert_clear, laid_out, overlapping, texts
from pypdfium2 import raw

from cncpanel.drawing.label_stock import LABEL_SHEETS
from cncpanel.drawing.page import item_box
from cncpanel.drawing.paper import PaperSize
from cncpanel.drawing.part_sticker import code_items
from cncpanel.drawing.scale import scale_words
from cncpanel.make.choice import Choice
from cncpanel.make.flow import Made, make
from cncpanel.make.labels import labels_pdf, stickers
from cncpanel.make.paper_set import CUT_CSV, CUT_TEXT, LABELS, SHEETS, document, drawing_document, paper_files
from cncpanel.output.pdf import pdf
from cncpanel.output.pdf_qr import LONGEST, qr_modules


@pytest.fixture(scope="module")
def small(tmp_path_factory: pytest.TempPathFactory) -> Made:
    return sample(tmp_path_factory.getbasetemp(), "shop-router")


@pytest.fixture(scope="module")
def millrace() -> bytes:
    return pdf(document(laid_out("millrace")))


def outline(data: bytes) -> list[tuple[str, int]]:
    """Bookmarks with their pages, from 1."""
    reader = pypdf.PdfReader(io.BytesIO(data), strict=True)
    return [
        (str(b.title), reader.get_destination_page_number(b) + 1) for b in reader.outline if not isinstance(b, list)
    ]


def words(data: bytes) -> list[str]:
    return [" ".join(page.extract_text().split()) for page in pypdf.PdfReader(io.BytesIO(data)).pages]


def test_no_text_of_the_set_overlaps_another_or_leaves_its_page(millrace: bytes, small: Made) -> None:
    for data in (millrace, pdf(document(small))):
        pages = list(texts(data))
        assert len(pages) > 5
        for number, (width, height), found in pages:
            assert len(found) > 5
            assert [] == overlapping(found), number
            for (left, low, right, high), text in found:
                assert left >= MARGIN, text
                assert low >= MARGIN - DESCENT, text
                assert right <= width - MARGIN + 0.6, text
                assert high <= height - MARGIN, text


@pytest.mark.parametrize("paper", ["A4", "Letter"])
@pytest.mark.parametrize("job", JOBS)
def test_no_text_of_any_demo_jobs_drawings_and_lists_overlaps_or_leaves_its_page(job: str, paper: PaperSize) -> None:
    assert_clear(pdf(replace(document(laid_out(job)), paper=paper)))


@pytest.mark.slow
@pytest.mark.parametrize("job", JOBS)
def test_no_text_of_any_demo_jobs_whole_set_overlaps_or_leaves_its_page(job: str) -> None:
    """With the pages of every set-up and the feeds, which a job that is only laid out has not."""
    whole = document(make(FIXTURES / f"{job}.toml", Choice(), lambda _: None))
    for paper in ("A4", "Letter"):
        assert_clear(pdf(replace(whole, paper=paper)))


def test_two_texts_on_each_other_are_found() -> None:
    assert [("a", "b")] == overlapping([((0, 0, 5, 2), "a"), ((4, 1, 9, 3), "b"), ((20, 0, 25, 2), "c")])


def test_bookmarks_contents_and_page_numbers_agree(millrace: bytes) -> None:
    marks, pages = outline(millrace), words(millrace)
    titles = [title for title, _ in marks]
    assert ["Millrace: shop papers", "Feeds and speeds", "Cut list", "Hardware and consumables"] == titles[:4]
    assert "Marking and assembly" == titles[4]
    assert [f"Drawing {n} of 18" for n in range(1, 19)] == [title.split(":")[0] for title in titles[5:]]
    for title, page in marks:
        assert pages[page - 1].startswith(title)
        assert f"{title} {page}" in pages[0]
    for number, page_words in enumerate(pages, start=1):
        assert f"page {number} of {len(pages)}" in page_words


def test_every_page_carries_job_revision_and_the_job_files_checksum(small: Made) -> None:
    digest = hashlib.sha256(small.read.file.path.read_bytes()).hexdigest()
    pages = words(pdf(document(small)))
    assert all(f"Sample, revision A. Job file SHA-256 {digest[:12]}" in page for page in pages)


def test_the_assembly_names_steps_cleats_and_what_to_measure(millrace: bytes) -> None:
    told = " ".join(words(millrace))
    for said in (
        "1. Fit dry: bottom, shelf; to side",
        "Glue and staple: lower front, back rail; to side, bottom",
        "Measure dry: between the carriers, at both ends: 400",
        "18 x 40",
        "Cleats on lower front, back face, 1:10",
        "Corners: X",
        "54 x 60",
        "both 994.44",  # the lower front, 604 x 790
        "levelling foot M8 with T-nut",
        "wood glue",
    ):
        assert said in told


def test_a_job_without_hardware_has_no_page_for_it(small: Made) -> None:
    assert "Hardware and consumables" not in [title for title, _ in outline(pdf(document(small)))]


def test_a_panel_measures_its_scale_on_paper() -> None:
    made = laid_out("millrace")
    panel = next(panel for panel in made.panels if panel.name == "lower front")
    data = pdf(drawing_document(made.read, panel))
    assert f" {scale_words(Fraction(1, 5))} " in words(data)[0]
    page = pypdfium2.PdfDocument(data)[0]
    boxes = [item.get_bounds() for item in page.get_objects() if item.type == raw.FPDF_PAGEOBJ_PATH]
    pens = 2 * 0.5  # mm; the reader reckons the outline's pen to both sides
    sizes = [((r - left) * POINT - pens, (top - low) * POINT - pens) for left, low, r, top in boxes]
    assert any(abs(w - 604 / 5) < 0.02 and abs(h - 790 / 5) < 0.02 for w, h in sizes)


def test_every_label_says_which_part_face_edge_and_place(small: Made) -> None:
    (page,) = words(labels_pdf(small))
    for part in small.sheets[0].sheet.parts:
        assert part.label in page
    assert page.count("This is the SHOW face") == 1
    assert page.count("This is the BACK face") == 4
    assert page.count("TOP") == 5
    assert "top edge: round 3 mm on the show face" in page
    assert "Sheet 1, part 5" in page


@pytest.mark.parametrize("stock", LABEL_SHEETS)
def test_labels_lie_inside_their_boxes_and_read_as_their_panels(stock: str) -> None:
    made = laid_out("millrace", ("least_web = 4", f'labels = "{stock}"\nleast_web = 4'))
    data, sheet = labels_pdf(made), LABEL_SHEETS[stock]
    boxes = list(sheet.boxes())
    printed = list(texts(data))
    assert -(-20 // len(boxes)) == len(printed)
    for _, size, found in printed:
        assert sheet.page == pytest.approx(size, abs=0.01)
        assert [] == overlapping(found)
        for (left, low, right, high), text in found:
            assert any(b[0] < left and b[1] < low and right < b[2] and high < b[3] for b in boxes), text
    assert sorted(sticker.part_id for sticker in stickers(made)) == sorted(_codes(data))


def _codes(data: bytes) -> list[str]:
    """What a camera reads: the pages as pictures, every code found in them."""
    found: list[str] = []
    for page in pypdfium2.PdfDocument(data):
        picture = page.render(scale=400 / 72).to_numpy()
        found += [code.text for code in zxingcpp.read_barcodes(picture, formats=zxingcpp.BarcodeFormat.QRCode)]
    return found


def test_a_code_keeps_its_quiet_zone() -> None:
    code = qr_modules("panel01-side")
    bars = list(code_items(code, (10.0, 20.0), 33.0))
    module = 33.0 / (len(code) + 8)
    left = min(item_box(bar)[0] for bar in bars)
    top = max(item_box(bar)[3] for bar in bars)
    assert (10.0 + 4 * module, 53.0 - 4 * module) == pytest.approx((left, top))


def test_a_text_too_long_for_a_label_is_refused() -> None:
    assert 45 >= len(qr_modules("x" * LONGEST))
    with pytest.raises(ValueError, match="too long for a label's code"):
        qr_modules("x" * (LONGEST + 1))


def test_the_cut_list_holds_both_sizes_in_both_units(small: Made) -> None:
    made = paper_files(small)
    assert {SHEETS, LABELS, CUT_CSV, CUT_TEXT} == set(made)
    head, board, clip = csv.reader(io.StringIO(made[CUT_CSV].decode(), newline=""))
    told = dict(zip(head, board, strict=True))
    assert ("board", "1", "ply & more") == (told["name"], told["quantity"], told["stock"])
    assert ("300", "200", "310", "210") == tuple(told[f"{k} mm"] for k in _sizes())
    assert ("11.811", "7.874", "12.205", "8.268") == tuple(told[f"{k} in"] for k in _sizes())
    assert "top edge: round 3 mm on the show face, at the bench" == told["edges"]
    assert ("4", "1") == (clip[2], clip[3])
    lines = made[CUT_TEXT].decode().splitlines()
    assert 4 == len(lines)
    assert 1 == len({len(line) for line in lines})
    assert re.match(r"\| no +\| name +\|", lines[0])


def _sizes() -> tuple[str, ...]:
    return "finished length", "finished width", "rough length", "rough width"
