"""Templates as PDF, opened and measured."""

from math import hypot

import pytest
from paper_samples import ALL, TOLD, of_text, seen
from pdf_measure import Box, Measured, Written, measured
from tile_joining import assert_gives_back, inside, marks, tile_pages

from cncpanel.drawing.page import Line, Page, Pen
from cncpanel.drawing.seen import Seen
from cncpanel.drawing.template import FINISHED, Template, template
from cncpanel.drawing.template_pages import roll_page, tiled_pages
from cncpanel.geometry.contour import Path, Vertex, circle
from cncpanel.geometry.region import flat, region_of
from cncpanel.job.model import TemplateSettings
from cncpanel.job.paper_size import paper_size
from cncpanel.output.pdf_drawing import drawing_pdf

BAR = 0.15  # the pen's width, as check_bars has it
SETTINGS = TemplateSettings()


def tiles_of(drawn: Template, paper: str, settings: TemplateSettings = SETTINGS) -> list[Measured]:
    """The tile pages, without the explaining ones."""
    return tile_pages(drawing_pdf(tiled_pages(drawn, TOLD, paper_size(paper), settings), "sample"))


def bars(page: Measured, axis: int) -> list[float]:
    """The distances between the ticks of the bars along an axis, from each bar's zero."""
    lines = [s.points for s in page.strokes if s.width == pytest.approx(BAR, abs=0.004) and s.clip is None]
    along = [p for p in lines if abs(p[0][1 - axis] - p[-1][1 - axis]) < 1e-6 and abs(p[0][axis] - p[-1][axis]) > 50]
    found = []
    for bar in along:
        zero, depth = min(p[axis] for p in bar), bar[0][1 - axis]
        ticks = [p for p in lines if p is not bar and any(abs(q[1 - axis] - depth) < 1e-4 for q in p)]
        found += [p[0][axis] - zero for p in ticks if abs(p[0][axis] - p[-1][axis]) < 1e-6]
    return sorted(length for length in found if length > 1)


@pytest.mark.parametrize("paper", ["A4", "A3", "Letter", "Tabloid", "A4 landscape", "300x500"])
def test_every_page_has_bars_of_100_and_200_mm_and_4_and_8_in_along_both_axes(paper: str) -> None:
    pages = measured(
        drawing_pdf(tiled_pages(template(seen("millrace", "top"), "mm"), TOLD, paper_size(paper), SETTINGS), "")
    )
    assert len(pages) > 1
    for page in pages:
        for axis in (0, 1):
            assert bars(page, axis) == pytest.approx([100.0, 101.6, 200.0, 203.2], abs=0.01)


def test_a_correction_makes_the_file_larger_by_the_printers_own_error() -> None:
    settings = TemplateSettings(correction=(1.005, 0.99))
    for page in tiles_of(template(seen("millrace", "top"), "mm"), "A4", settings):
        assert (page.width, page.height) == pytest.approx((210.0, 297.0), abs=1e-4)
        assert bars(page, 0)[2] == pytest.approx(200.0 * 1.005, abs=0.01)
        assert bars(page, 1)[2] == pytest.approx(200.0 * 0.99, abs=0.01)


def test_a_bar_without_room_is_left_out_and_said_to_be() -> None:
    pages = measured(
        drawing_pdf(tiled_pages(template(seen("story_dial", "side"), "mm"), TOLD, paper_size("150x280"), SETTINGS), "")
    )
    assert bars(pages[-1], 0) == pytest.approx([100.0, 101.6], abs=0.01)
    assert bars(pages[-1], 1) == pytest.approx([100.0, 101.6, 200.0, 203.2], abs=0.01)
    told = " ".join(text.text for page in pages for text in page.texts)
    assert "no room for these bars: 200 mm across, 8 in across." in told


@pytest.mark.parametrize(
    ("job", "panel", "paper", "mirrored"),
    [
        ("millrace", "side", "A4", False),
        ("millrace", "side", "Letter", True),
        ("millrace", "side", "A3", False),
        ("story_dial", "side", "100x130", False),
        ("lit_sign", "cheek", "100x100", True),
    ],
)
def test_tiles_joined_by_their_marks_give_the_outline_back(job: str, panel: str, paper: str, mirrored: bool) -> None:
    looked_at = seen(job, panel, mirrored_copy=mirrored)
    pages = tiles_of(template(looked_at, "mm"), paper)
    lines = [flat(region_of(looked_at.outline), 0.001).exterior]
    assert_gives_back(pages, lines, FINISHED.width)


def test_no_two_joints_have_marks_of_one_name() -> None:
    pages = tiles_of(template(seen("millrace", "side"), "mm"), "A4")
    names = [name for page in pages for name in marks(page)]
    assert {2} == {names.count(name) for name in names}


def board(tmp_path, length: float) -> Seen:
    read, (panel,) = of_text(
        tmp_path, f'[[panel]]\nname = "long"\nstock = "board"\nsize = [{length}, 300]\nradius = 20\n'
    )
    return Seen(panel=panel, edges=read.job.panel[0].edge)


@pytest.mark.parametrize(("length", "unit"), [(5000.0, 1), (5100.0, 2), (6000.0, 2), (12000.0, 3)])
def test_a_roll_beyond_14400_points_has_a_user_unit_and_measures_true(tmp_path, length: float, unit: int) -> None:
    content = drawing_pdf([roll_page(template(board(tmp_path, length), "mm"), TOLD, SETTINGS)], "long")
    (page,) = measured(content)
    assert page.unit == unit
    assert max(page.width, page.height) / (25.4 / 72) / unit <= 14400
    assert content.startswith(b"%PDF-1.6" if unit > 1 else b"%PDF-1.4")
    (outline,) = [s.points for s in page.strokes if s.width == pytest.approx(FINISHED.width) and s.closed]
    assert max(x for x, _ in outline) - min(x for x, _ in outline) == pytest.approx(length, abs=0.01)
    assert bars(page, 0) == pytest.approx([100.0, 101.6, 200.0, 203.2], abs=0.01)


@pytest.mark.parametrize("radius", [1.0, 12.5, 200.0, 1500.0, 20000.0])
@pytest.mark.parametrize("bulge", [1.0, -0.41421356, 0.05, 3.0])
def test_curves_lie_within_a_two_hundredth_of_a_millimetre_of_their_arcs(radius: float, bulge: float) -> None:
    chord = 4 * radius * abs(bulge) / (1 + bulge * bulge)
    arc = Path((Vertex(10, 10, bulge), Vertex(10 + chord, 10)))
    (page,) = measured(
        drawing_pdf([Page(name="", width=100, height=100, items=(Line(shape=arc, pen=Pen(width=1)),))], "")
    )
    centre = arc.segments[0].centre
    assert max(abs(hypot(x - centre.x, y - centre.y) - radius) for x, y in page.strokes[0].points) < 0.005
    assert page.strokes[0].points[-1] == pytest.approx((10 + chord, 10), abs=1e-3)


def clipped(text: Written) -> Box | None:
    """What is seen of a text; nothing where it lies outside its clip."""
    if text.clip is None:
        return text.box
    a, b = text.box, text.clip
    box = max(a[0], b[0]), max(a[1], b[1]), min(a[2], b[2]), min(a[3], b[3])
    return box if box[0] < box[2] and box[1] < box[3] else None


def overlaps(page: Measured) -> list[tuple[str, str]]:
    seen_texts = [(text.text, box) for text in page.texts if (box := clipped(text))]
    return [
        (first, second)
        for number, (first, a) in enumerate(seen_texts)
        for second, b in seen_texts[number + 1 :]
        if a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3]
    ]


@pytest.mark.parametrize(("job", "panel"), ALL)
@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_no_text_lies_over_another_or_leaves_its_page(job: str, panel: str, paper: str) -> None:
    drawn = template(seen(job, panel), "mm")
    pages = (*tiled_pages(drawn, TOLD, paper_size(paper), SETTINGS), roll_page(drawn, TOLD, SETTINGS))
    for page in measured(drawing_pdf(pages, "")):
        assert [] == overlaps(page)
        paper_box = (0, 0, page.width, page.height)
        assert [] == [t.text for t in page.texts if (box := clipped(t)) and not inside(box, paper_box)]


def test_only_grey_ink_is_used_and_the_same_pages_give_the_same_bytes() -> None:
    pages = tiled_pages(template(seen("millrace", "control deck"), "mm"), TOLD, paper_size("A4"), SETTINGS)
    first = drawing_pdf(pages, "deck")
    assert first == drawing_pdf(pages, "deck")
    assert set() == {"RG", "rg", "K", "k", "SCN", "scn"} & set.union(*(page.operators for page in measured(first)))


def test_a_spot_colour_without_a_name_is_refused() -> None:
    item = Line(shape=circle((5, 5), 2), pen=Pen(width=0.1, spot=True))
    with pytest.raises(ValueError, match="spot colour without a name"):
        drawing_pdf([Page(name="", width=10, height=10, items=(item,))], "")


def test_words_outside_plain_ascii_are_written_as_the_fonts_name_them() -> None:
    from cncpanel.drawing.paper import Label

    label = Label(x=10, y=10, text="Ø8 (groß) \\", size=3)
    (page,) = measured(drawing_pdf([Page(name="", width=90, height=30, items=(label,))], "t"))
    assert ["Ø8 (groß) \\"] == [text.text for text in page.texts]
