"""The picture of a proof in a browser: it loads without a network, scrubs, jumps, measures, turns, prints."""

import json
import re
from base64 import b64decode
from collections.abc import Iterator
from pathlib import Path
from zlib import decompress

import numpy as np
import pytest
from browsing import SOFT_3D, Browser, browser_or_skip, opened
from picture_samples import BOARD, FINDINGS, HEAD, LINE_OF_RING, MACHINE, RING, SQUARE, picture

from cncpanel.drawing.proof_picture import ProofPicture
from cncpanel.drawing.proof_sheet import Run, sheet_picture
from cncpanel.machine.read import read_machine
from cncpanel.output.packed import microns, packed
from cncpanel.output.proof_html import proof_page
from cncpanel.proof.reader import read
from cncpanel.proof.report import report_of


def unpacked(column: dict[str, object], kind: str) -> np.ndarray:
    values = np.frombuffer(decompress(b64decode(str(column["data"]))), dtype=kind)
    return np.cumsum(values) if column["running"] else values


def test_columns_come_back_as_they_went() -> None:
    values = [3.0, -7.25, 2440.001, 2440.0, -0.0004]
    assert unpacked(microns(values), "<i4").tolist() == [3000, -7250, 2440001, 2440000, 0]
    assert unpacked(packed([3, 3, 2], "u1"), "<u1").tolist() == [3, 3, 2]
    assert unpacked(packed([0.5, 0.25], "f4"), "<f4").tolist() == [0.5, 0.25]


def test_the_page_names_no_network_and_shows_no_text_as_markup() -> None:
    page = proof_page(picture())
    assert "://" not in page
    assert "Sample &lt;i&gt;" in page
    assert page.count("</script>") == 2
    (data,) = re.findall(r'<script type="application/json" id="data">(.*?)</script>', page, re.DOTALL)
    found = json.loads(data)["sheets"][0]["findings"]
    assert [one["text"] for one in found] == [finding.text for finding in FINDINGS]


def test_the_same_picture_gives_the_same_bytes() -> None:
    assert proof_page(picture()) == proof_page(picture())


@pytest.fixture(scope="module")
def page(tmp_path_factory: pytest.TempPathFactory) -> Path:
    browser_or_skip()
    path = tmp_path_factory.mktemp("page") / "index.html"
    path.write_text(proof_page(picture()), encoding="utf-8")
    return path


@pytest.fixture(scope="module")
def chrome(page: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Browser]:
    with opened(page, tmp_path_factory.mktemp("profile"), *SOFT_3D) as browser:
        yield browser


@pytest.fixture
def browser(chrome: Browser) -> Iterator[Browser]:
    """The first sheet from its start; nothing of a test may end in a complaint."""
    chrome.pick("sheet", 0)
    chrome.wait(lambda: chrome.text("text-head").startswith("square"))
    chrome.key("Escape")
    yield chrome
    assert chrome.complaints() == []


def current_line(browser: Browser) -> str:
    row = browser.run("return document.querySelector('#listing [aria-current]')?.textContent ?? ''")
    return str(row)


def place(browser: Browser) -> list[float]:
    return [float(part) for part in browser.text("now-place").split()]


def test_it_opens_with_the_sheet_drawn_and_everything_named(browser: Browser) -> None:
    browser.wait(lambda: browser.colours("plan") > 5)
    assert browser.text("verdict") == "Fails: do not cut"
    assert browser.text("findings-head") == "Findings: 3"
    assert "Sample <i>" in browser.chrome.title
    assert "</script><b>too deep</b>" in browser.text("findings")
    layers = browser.text("layers")
    for words in ("Rapids", "T1 ", "T2 ", "Wanted shape", "Cut too deep, left standing"):
        assert words in layers


def test_scrubbing_runs_the_tool_along_with_line_place_feed_speed_and_load(browser: Browser) -> None:
    browser.pick("program", 1)
    browser.scrub(0.5)  # of the ring: about half-way round, where its second arc begins
    browser.wait(lambda: "G3" in current_line(browser))
    x, y, z = place(browser)
    assert abs(np.hypot(x - 150, y - 100) - 30) < 0.01
    assert z == -18
    assert browser.text("now-feed") == "2400 mm/min"
    assert browser.text("now-rpm") == "18000 rpm"
    assert browser.text("now-load") == "0.067 mm"  # 2400 / 18000 / 2 teeth
    assert browser.text("now-depth") == "18.00 mm under the sheet's top"


def test_keys_step_from_move_to_move_and_back(browser: Browser) -> None:
    browser.key("Home", "ArrowRight", "ArrowRight")
    browser.wait(lambda: place(browser) == [250, 50, -5])
    browser.key("ArrowLeft")
    browser.wait(lambda: place(browser) == [50, 50, -5])
    browser.key("End")
    browser.wait(lambda: browser.text("text-head").startswith("ring"))
    assert current_line(browser).endswith("G0 Z20")


def test_running_goes_on_by_itself_and_stops_when_told(browser: Browser) -> None:
    browser.key("Home", " ")
    browser.wait(lambda: not browser.text("clock").startswith("0:00"))
    browser.key(" ")
    assert browser.text("play") == "Run"
    stopped = browser.text("clock")
    assert browser.run("return new Promise((go) => setTimeout(() => go(1), 200))") == 1
    assert browser.text("clock").split(" of ")[1] == stopped.split(" of ")[1]


def test_a_finding_jumps_to_its_line_and_program(browser: Browser) -> None:
    browser.run("document.querySelectorAll('#findings button')[1].click()")
    browser.wait(lambda: current_line(browser) == f"{LINE_OF_RING}{RING.splitlines()[LINE_OF_RING - 1]}")
    assert browser.text("text-head").startswith("ring")
    browser.key("b")
    browser.wait(lambda: current_line(browser) == f"7{SQUARE.splitlines()[6]}")


def test_a_click_on_a_line_of_text_takes_the_tool_there(browser: Browser) -> None:
    browser.run("document.querySelector('#listing [data-line=\"8\"]').click()")
    browser.wait(lambda: place(browser) == [250, 150, -5])


def test_a_click_that_comes_before_the_next_frame_is_not_lost(browser: Browser) -> None:
    browser.run("""
        const sheet = document.getElementById('sheet');
        sheet.value = 0;
        sheet.dispatchEvent(new Event('change'));
        document.querySelector('#listing [data-line="8"]').click();""")
    browser.wait(lambda: place(browser) == [250, 150, -5])


def scale_and_middle(browser: Browser) -> tuple[float, float, float]:
    width, height = browser.run(
        "const b = document.getElementById('plan').getBoundingClientRect(); return [b.width, b.height]"
    )
    return min((width - 48) / 300, (height - 48) / 200), width / 2, height / 2


def shades_round(browser: Browser, x: float, y: float) -> int:
    """How many colours the plan of the whole sheet shows within three pixels of a place on it."""
    scale, right, down = scale_and_middle(browser)
    count = browser.run(
        """
        const c = document.getElementById('plan'), density = c.width / c.getBoundingClientRect().width;
        const copy = Object.assign(document.createElement('canvas'), {width: c.width, height: c.height});
        const pen = copy.getContext('2d');
        pen.drawImage(c, 0, 0);
        const [x, y] = [arguments[0] * density - 3, arguments[1] * density - 3].map(Math.round);
        return new Set(new Uint32Array(pen.getImageData(x, y, 7, 7).data.buffer)).size;""",
        right + (x - 150) * scale,
        down - (y - 100) * scale,
    )
    return int(count)


def test_two_clicks_measure_between_corners_they_come_near(browser: Browser) -> None:
    browser.key("0", "m")
    scale, right, down = scale_and_middle(browser)
    for x, y in ((50, 50), (250, 150)):  # of the square, from the sheet's middle at 150, 100
        browser.click("plan", right + (x - 150) * scale + 3, down - (y - 100) * scale - 3)
    assert browser.text("measured") == "223.61 mm (X 200.00, Y 100.00)"  # the root of 200^2 + 100^2
    browser.key("m")
    assert browser.text("measured") == ""


def test_a_click_on_a_way_takes_the_tool_there(browser: Browser) -> None:
    browser.key("0")
    scale, right, down = scale_and_middle(browser)
    browser.click("plan", right + (250 - 150) * scale, down - (80 - 100) * scale)
    browser.wait(lambda: place(browser) == [250, 150, -5])


def test_layers_and_shades_change_what_is_drawn(browser: Browser) -> None:
    browser.wait(lambda: browser.colours("plan") > 5)
    paint = "const c = document.getElementById('plan'); return c.toDataURL().length"
    browser.wait(lambda: browser.run(paint) == browser.run(paint))
    before = browser.run("return document.getElementById('plan').toDataURL()")
    browser.run("for (const box of document.querySelectorAll('#layers input')) box.click()")
    browser.wait(lambda: browser.run("return document.getElementById('plan').toDataURL()") != before)
    light = browser.run("return getComputedStyle(document.body).backgroundColor")
    browser.key("d")
    assert browser.run("return getComputedStyle(document.body).backgroundColor") != light
    browser.key("d")


def test_a_view_that_follows_the_tool_stays_with_it(browser: Browser) -> None:
    browser.key("0", "+", "+", "+", "+", "+", "+", "f", "End")
    browser.wait(lambda: place(browser) == [180, 100, 20])
    _, right, down = scale_and_middle(browser)
    browser.click("plan", right, down)  # the tool, which stands at the end of the ring
    words = "X180.0 Y100.0: cut through"
    browser.wait(lambda: browser.text("under") == words)
    browser.key("f", "0")


def test_the_keys_are_told_when_asked_for(browser: Browser) -> None:
    assert not browser.shown("help")
    browser.key("k")
    assert browser.shown("help")
    browser.key("Escape")
    assert not browser.shown("help")


def test_another_sheet_and_program_can_be_picked(browser: Browser) -> None:
    browser.pick("sheet", 1)
    browser.wait(lambda: browser.text("text-head").startswith("again"))
    assert browser.text("verdict") == "Proven"
    assert browser.text("findings-head") == "No findings"
    browser.pick("program", 1)
    browser.wait(lambda: browser.text("text-head") == "nothing, 3 lines")
    assert browser.text("clock") == "0:00 of 0:00"


def test_the_cut_sheet_turns_in_three_dimensions(browser: Browser) -> None:
    browser.key("v")
    assert browser.shown("relief")
    browser.wait(lambda: browser.colours("relief") > 5)
    before = browser.run("return document.getElementById('relief').toDataURL()")
    browser.run(
        "document.body.dispatchEvent(new KeyboardEvent('keydown', {key: 'ArrowLeft', shiftKey: true, bubbles: true}))"
    )
    browser.wait(lambda: browser.run("return document.getElementById('relief').toDataURL()") != before)
    browser.key("v")
    assert not browser.shown("relief")


def test_it_prints_the_plan_and_every_finding_on_white(browser: Browser) -> None:
    from io import BytesIO

    from pypdf import PdfReader

    sent = browser.chrome.execute_cdp_cmd("Page.printToPDF", {"printBackground": True, "preferCSSPageSize": True})
    paper = PdfReader(BytesIO(b64decode(sent["data"])))
    words = " ".join("".join(sheet.extract_text() for sheet in paper.pages).split())
    assert "Fails: do not cut" in words
    for finding in FINDINGS:
        assert finding.text in words
    assert sum(len(sheet.images) for sheet in paper.pages) >= 1
    assert not browser.run("return document.documentElement.classList.contains('paper')")


def test_a_browser_without_webgl_is_told_so(page: Path, tmp_path: Path) -> None:
    with opened(page, tmp_path, "--disable-3d-apis") as browser:
        browser.key("v")
        assert browser.shown("no-relief")
        assert not browser.shown("relief")
        browser.key("0", "+", "v")
        assert not browser.shown("no-relief")
        assert browser.complaints() == []


def test_the_page_follows_the_screen_from_light_to_dark_and_back(browser: Browser) -> None:
    is_dark = "return document.documentElement.classList.contains('dark')"
    for shade in ("dark", "light", "dark", "light"):
        media = [{"name": "prefers-color-scheme", "value": shade}]
        browser.chrome.execute_cdp_cmd("Emulation.setEmulatedMedia", {"features": media})
        browser.wait(lambda wanted=shade == "dark": browser.run(is_dark) is wanted)


def test_the_page_of_an_inch_machine_tells_what_its_control_shows(tmp_path: Path) -> None:
    """The program's own figures stand beside it: 2 in along X, 1/4 in deep, 50 in a minute."""
    text = HEAD.format(tool=1).replace("G21", "G20") + "G0 X2 Y2\nG1 Z-0.25 F20\nX4 F50\nM2\n"
    run = Run(name="slot", text=text, reading=read(text))
    sheet = sheet_picture("Sheet 1", [run], report_of((), {}), BOARD, read_machine("shop-router-inch"))
    path = tmp_path / "inch.html"
    path.write_text(proof_page(ProofPicture(title="Inch", sheets=(sheet,))), encoding="utf-8")
    with opened(path, tmp_path / "profile") as page:
        page.wait(lambda: page.text("text-head").startswith("slot"))
        page.key("End")
        page.wait(lambda: place(page) == [4.0, 2.0, -0.25])
        assert "0.250 in under the sheet's top" == page.text("now-depth")
        assert "50.0 in/min" == page.text("now-feed")
        assert page.complaints() == []


def test_what_is_fed_over_the_sheet_is_no_cut_of_its_tool(tmp_path: Path) -> None:
    """A frame trace: it has a row of its own in the list of what is shown, and goes with it from the plan."""
    text = HEAD.format(tool=1) + "G0 X50 Y50\nG1 X250 F3000\nY150\nX50\nY50\nM2\n"
    run = Run(name="frame", text=text, reading=read(text))
    sheet = sheet_picture("Sheet 1", [run], report_of((), {}), BOARD, MACHINE)
    path = tmp_path / "trace.html"
    path.write_text(proof_page(ProofPicture(title="Trace", sheets=(sheet,))), encoding="utf-8")
    untick = """
      const row = [...document.querySelectorAll('#layers label')].find((one) => one.textContent === arguments[0]);
      row.querySelector('input').click();"""
    with opened(path, tmp_path / "profile") as page:
        page.run(untick, "Rapids")
        page.wait(lambda: shades_round(page, 150, 150) > 1)  # the fed line on the bare board
        page.run(untick, "Fed over the sheet")
        page.wait(lambda: shades_round(page, 150, 150) == 1)


def test_a_sheet_over_which_nothing_is_fed_has_no_row_for_it(browser: Browser) -> None:
    assert "Fed over" not in browser.text("layers")
