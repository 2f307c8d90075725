"""The picture where the programs' zero is not the sheet's corner, in a browser that gives it no frame at all."""

from collections.abc import Iterator
from dataclasses import replace

import pytest
from browsing import Browser, browser_or_skip, opened
from picture_samples import BOARD, MACHINE, SQUARE, run

from cncpanel.drawing.proof_picture import ProofPicture
from cncpanel.drawing.proof_sheet import sheet_picture
from cncpanel.output.proof_html import proof_page
from cncpanel.proof.report import report_of

CORNER = (-150.0, -1000.0)
NO_FRAMES = "<script>window.requestAnimationFrame = () => 0;</script>"
FIRST_PLACE = "G0 X50 Y50\n"  # of SQUARE


def shifted() -> ProofPicture:
    """A square of 200 x 100 whose lower left is 50, 50 from the corner of a sheet of 300 x 200."""
    text = SQUARE.replace(FIRST_PLACE, "G0 X-100 Y-950\n").replace("X250", "X100").replace("Y150", "Y-850")
    text = text.replace("X50", "X-100").replace("Y50", "Y-950")
    board = replace(BOARD, corner=CORNER)
    return ProofPicture("Shifted", (sheet_picture("1", [run("shifted", text)], report_of((), {}), board, MACHINE),))


def test_what_is_cut_lies_where_the_zero_says() -> None:
    (sheet,) = shifted().sheets
    assert sheet.corner == sheet.depth.origin == CORNER
    column, row = (int((at - low) / sheet.depth.cell) for at, low in zip((0.0, -950.0), CORNER, strict=True))
    assert sheet.depth.depth[row, column] == 5
    assert sheet.depth.depth[:, column].max() == 5
    assert sheet.depth.depth[row + round(50 / sheet.depth.cell), column] == 0


@pytest.fixture(scope="module")
def browser(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Browser]:
    browser_or_skip()
    path = tmp_path_factory.mktemp("page") / "index.html"
    path.write_text(proof_page(shifted()).replace("<script>", f"{NO_FRAMES}<script>", 1), encoding="utf-8")
    with opened(path, tmp_path_factory.mktemp("profile")) as browser:
        yield browser


def test_the_sheet_is_drawn_before_any_frame(browser: Browser) -> None:
    assert NO_FRAMES in browser.chrome.page_source
    assert browser.colours("plan") > 5
    assert browser.complaints() == []


def test_the_whole_sheet_stands_in_the_middle_and_tells_its_places(browser: Browser) -> None:
    box = browser.run("const b = document.getElementById('plan').getBoundingClientRect(); return [b.width, b.height]")
    scale = min((box[0] - 48) / 300, (box[1] - 48) / 200)
    for right, down, place, words in (
        (box[0] / 2, box[1] / 2, (0, -900), "0.00 mm deep"),
        (box[0] / 2 - 100 * scale, box[1] / 2 + 50 * scale, (-100, -950), "5.00 mm deep"),
    ):
        browser.click("plan", right, down)
        where, deep = browser.text("under").split(": ")
        assert deep == words
        assert [float(part[1:]) for part in where.split()] == pytest.approx(place, abs=0.5)  # a pixel is 0.3 mm


def test_a_plan_that_was_resized_is_drawn_at_once(browser: Browser) -> None:
    browser.chrome.set_window_size(700, 900)
    browser.wait(lambda: browser.run("return document.getElementById('plan').width") < 700)
    assert browser.colours("plan") > 5
