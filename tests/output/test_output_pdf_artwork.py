"""Artwork as PDF: what a printer's preflight asks of it, and its measures."""

import re
import zlib
from io import BytesIO

import pytest
from paper_samples import job, of_text
from pdf_measure import measured
from pypdf import PdfReader

from cncpanel.drawing.page import Page, Window
from cncpanel.drawing.paper import Label
from cncpanel.geometry.point import Point
from cncpanel.make.artwork import artwork_files
from cncpanel.output.pdf_artwork import artwork_pdf

SIGN = '[[panel]]\nname = "sign"\nstock = "board"\nsize = [SIZE]\n[[panel.artwork]]\n'
SPOT = '[settings.artwork]\nspot = "Die (line) #1"\n'


def sign(tmp_path, size: str) -> dict[str, bytes]:
    read, (panel,) = of_text(tmp_path, SIGN.replace("SIZE", size), SPOT)
    return artwork_files(read, panel)


def all_pdfs() -> dict[str, bytes]:
    read, panels = job("lit_sign")
    made = {name: content for panel in panels for name, content in artwork_files(read, panel).items()}
    return {name: content for name, content in made.items() if name.endswith(".pdf")}


def test_each_printed_face_has_its_file_by_hand_and_face() -> None:
    assert [
        "panel01-face-show.pdf",
        "panel02-lit-pane-back.pdf",
        "panel04-cheek-left-show.pdf",
        "panel04-cheek-right-show.pdf",
    ] == sorted(all_pdfs())


def test_there_is_no_rgb_no_font_and_no_text() -> None:
    for content in all_pdfs().values():
        (page,) = PdfReader(BytesIO(content)).pages
        assert {"/ProcSet", "/ColorSpace", "/ExtGState"} == set(page["/Resources"])
        (seen,) = measured(content)
        assert set() == seen.operators & {"rg", "RG", "BT", "Tj", "Tf", "sh", "Do", "cs", "sc"}
        assert b"DeviceRGB" not in content
        assert b"CalRGB" not in content


def test_the_cut_line_is_the_spot_colour_by_the_jobs_name_printed_over() -> None:
    (content,) = (content for name, content in all_pdfs().items() if "face" in name)
    (page,) = PdfReader(BytesIO(content)).pages
    separation = page["/Resources"]["/ColorSpace"]["/Spot1"]
    assert ["/Separation", "/Die line", "/DeviceCMYK"] == [str(part) for part in separation[:3]]
    over = page["/Resources"]["/ExtGState"]["/Over1"]
    assert (True, True, 1) == (bool(over["/OP"]), bool(over["/op"]), over["/OPM"])
    (seen,) = measured(content)
    (cut,) = [stroke for stroke in seen.strokes if stroke.ink.startswith("SCN")]
    assert cut.closed
    assert cut.width == pytest.approx(0.1)
    xs = [x for x, _ in cut.points]
    assert max(xs) - min(xs) == pytest.approx(640 + 2 * (3 * 0.570796 + 4), abs=0.01)


@pytest.mark.parametrize("spot", ["Die (line) #1", "Coupe / \u00e9tiquette", "[cut] <1> {%}", "\u05e7\u05d5 \u5207"])
def test_an_odd_name_of_a_spot_colour_comes_through_whole(tmp_path, spot: str) -> None:
    """Names in PDF are UTF-8 (ISO 32000-1, 7.3.5)."""
    read, (panel,) = of_text(tmp_path, SIGN.replace("SIZE", "300, 200"), f'[settings.artwork]\nspot = "{spot}"\n')
    (page,) = PdfReader(BytesIO(artwork_files(read, panel)["panel01-sign-show.pdf"])).pages
    space = page["/Resources"]["/ColorSpace"]["/Spot1"]
    assert ("/Separation", f"/{spot}", "/DeviceCMYK") == tuple(map(str, space[:3]))
    assert 4 == len(space)


@pytest.mark.parametrize(("length", "reduced"), [(2400, False), (5600, True)])
def test_a_long_panel_is_also_made_at_a_tenth(tmp_path, length: float, reduced: bool) -> None:
    files = sign(tmp_path, f"{length}, 300")
    (full,) = measured(files["panel01-sign-show.pdf"])
    trim = full.boxes["TrimBox"]
    assert trim[2] - trim[0] == pytest.approx(length, abs=0.01)
    assert ("panel01-sign-show-1to10.pdf" in files) == reduced
    if reduced:
        assert full.unit == 2
        (small,) = measured(files["panel01-sign-show-1to10.pdf"])
        trim, bleed = small.boxes["TrimBox"], small.boxes["BleedBox"]
        assert (small.unit, trim[2] - trim[0]) == (1, pytest.approx(length / 10, abs=0.001))
        assert trim[0] - bleed[0] == pytest.approx(1.0, abs=0.001)


@pytest.mark.parametrize(
    ("size", "rounding", "wrap", "bleed", "spot"),
    [
        ("560, 180", 8.0, 5.0, 10.0, "Schneidlinie rot"),
        ("90, 70", 9.0, 0.0, 3.0, "Kiss 7"),
        ("300, 200", 0.0, 0.0, 0.0, "Die line"),
        ("5999.96, 187.325", 6.35, 6.35, 12.7, "Coupe / \u00e9tiquette"),
    ],
)
def test_the_boxes_nest_and_measure_what_edge_wrap_and_bleed_ask(
    tmp_path, size: str, rounding: float, wrap: float, bleed: float, spot: str
) -> None:
    """MediaBox, BleedBox and TrimBox as PDF has them (ISO 32000-1, 14.11.2); the film by hand: (pi/2 - 1) R."""
    edge = f"edge = [{{ round = {rounding}, bench = true }}]\n" if rounding else ""
    panel = f'[[panel]]\nname = "sign"\nstock = "board"\nsize = [{size}]\n{edge}[[panel.artwork]]\nwrap = {wrap}\n'
    read, (made,) = of_text(tmp_path, panel, f'[settings.artwork]\nspot = "{spot}"\nbleed = {bleed}\n')
    pdfs = {name: content for name, content in artwork_files(read, made).items() if name.endswith(".pdf")}
    film = 0.5707963 * rounding + wrap
    for name, content in pdfs.items():
        scale = 10 if "1to10" in name else 1
        (seen,) = measured(content)
        media, bled, trim = (seen.boxes[box] for box in ("MediaBox", "BleedBox", "TrimBox"))
        assert all(a <= b <= c for a, b, c in zip(media[:2], bled[:2], trim[:2], strict=True))
        assert all(a >= b >= c for a, b, c in zip(media[2:], bled[2:], trim[2:], strict=True))
        width, height = (float(length) for length in size.split(","))
        assert ((trim[2] - trim[0]) * scale, (trim[3] - trim[1]) * scale) == pytest.approx((width, height), abs=0.01)
        grown = [abs(a - b) * scale for a, b in zip(bled, trim, strict=True)]
        assert grown == pytest.approx([film + bleed] * 4, abs=0.01)
        (cut,) = [stroke for stroke in seen.strokes if stroke.ink.startswith("SCN")]
        xs, ys = zip(*cut.points, strict=True)
        edges = (min(xs) - trim[0], min(ys) - trim[1], trim[2] - max(xs), trim[3] - max(ys))
        assert [edge * scale for edge in edges] == pytest.approx([-film] * 4, abs=0.02)
        assert max(value / 25.4 * 72 / seen.unit for value in media) <= 14400
        (page,) = PdfReader(BytesIO(content)).pages
        assert f"/{spot}" == str(page["/Resources"]["/ColorSpace"]["/Spot1"][1])
    assert (2 if "5999" in size else 1) == len(pdfs)


def test_the_content_is_nothing_but_vectors() -> None:
    for content in all_pdfs().values():
        streams = re.findall(rb"stream\r?\n(.*?)endstream", content, re.DOTALL)
        assert streams
        for stream in streams:
            zlib.decompress(stream)
            assert b"/Image" not in content


def test_boxes_that_do_not_nest_and_words_that_need_a_font_are_refused() -> None:
    page = Page(name="", width=100, height=100, trim=(20, 20, 80, 80), bleed=(10, 30, 90, 90))
    with pytest.raises(ValueError, match="do not nest"):
        artwork_pdf(page, "a", "Cut")
    words = Window(items=(Label(x=0, y=0, text="a", size=3),), bounds=(0, 0, 9, 9), at=Point(0, 0))
    nested = Page(name="", width=100, height=100, trim=(20, 20, 80, 80), bleed=(10, 10, 90, 90), windows=(words,))
    with pytest.raises(ValueError, match="need a font"):
        artwork_pdf(nested, "a", "Cut")
