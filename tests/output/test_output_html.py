"""The report opens without a network, says what was proven, and shows no text of a job as markup."""

import json
import re
from base64 import b64decode
from dataclasses import replace
from html.parser import HTMLParser
from io import BytesIO
from unicodedata import normalize

import pytest
from browsing import opened
from drawing_samples import MACHINES, ODD, odd_sample, sample
from pypdf import PdfReader

from cncpanel.drawing.paper import Label, Picture, Stroke
from cncpanel.errors import Gathering, Place
from cncpanel.make.files import files
from cncpanel.make.flow import Made
from cncpanel.make.picture import job_picture
from cncpanel.output.html import gathered
from cncpanel.output.proof_html import proof_page
from cncpanel.output.svg import svg

HEADS = """
return [...document.querySelectorAll('.scroll th')].filter(cell => cell.checkVisibility()).map(cell => cell.textContent)
"""
VOID = {"meta", "br", "hr", "img", "link", "input", "path"}


class Outline(HTMLParser):
    """Which elements, attributes and words a page has; fails on one that is closed out of turn."""

    def __init__(self) -> None:
        super().__init__()
        self.open: list[str] = []
        self.tags: list[str] = []
        self.attributes: list[tuple[str, str]] = []
        self.words: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append(tag)
        self.attributes += [(name, value or "") for name, value in attrs]
        if tag not in VOID:
            self.open.append(tag)

    def handle_endtag(self, tag: str) -> None:
        if tag not in VOID:
            assert tag == self.open.pop()

    def handle_data(self, data: str) -> None:
        self.words.append(data)


def outline(page: str) -> Outline:
    found = Outline()
    found.feed(page)
    found.close()
    assert found.open == []
    return found


def page_of(made: Made) -> str:
    return files(made)["index.html"].decode()


@pytest.fixture(params=MACHINES)
def made(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Made:
    return sample(tmp_path_factory.getbasetemp(), request.param)


def test_the_report_needs_no_network(made: Made) -> None:
    page = page_of(made)
    assert "://" not in page
    found = outline(page)
    assert not {"script", "link", "img"} & set(found.tags)
    assert "src" not in {name for name, _ in found.attributes}
    assert found.tags.count("iframe") == 1
    loads = [value for name, value in found.attributes if name == "class" and value == "load"]
    assert len(made.sheets) + len(loads) == found.tags.count("svg")


def test_the_proof_stands_whole_within_the_report(made: Made) -> None:
    (within,) = (value for name, value in outline(page_of(made)).attributes if name == "srcdoc")
    assert within == proof_page(job_picture(made))
    shown = [written for sheet in made.sheets for written in sheet.written if written != sheet.dry]
    assert all(json.dumps(written.program.name) in within for written in shown)


def test_every_link_leads_to_a_file_of_the_job(made: Made) -> None:
    named = files(made)
    links = [value for name, value in outline(named["index.html"].decode()).attributes if name == "href"]
    assert set(links) <= set(named)
    assert {f"programs/{w.program.name}.nc" for s in made.sheets for w in s.written} <= set(links)


def test_a_proven_job_says_so_and_warnings_are_shown(made: Made) -> None:
    words = " ".join(" ".join(outline(page_of(made)).words).split())
    assert "Proven: every program was read back and makes the drawn parts" in words
    assert "Do not cut" not in words
    assert made.gathering.warnings
    for warning in made.gathering.warnings:
        assert " ".join(str(warning).split()) in words


@pytest.mark.parametrize("name", ODD)
def test_odd_names_are_shown_as_text(name: str, tmp_path_factory: pytest.TempPathFactory) -> None:
    made = odd_sample(tmp_path_factory.getbasetemp(), name)
    page = page_of(made)
    found = outline(page)
    assert "script" not in found.tags
    assert name in found.words


def test_a_drawing_turns_up_side_down_and_escapes_its_words() -> None:
    picture = Picture(
        width=40,
        height=20,
        items=(
            Stroke(points=((0, 0), (10, 0), (10, 5)), closed=True, width=0.3, shade=0.0, dash=1.0),
            Label(x=10, y=5, text="<a> & b", size=3.6, anchor="right", turn_deg=90, bold=True),
        ),
    )
    assert svg(picture, 'a "map"') == (
        '<svg viewBox="0 0 40.00 20.00" role="img" aria-label="a &quot;map&quot;" '
        'font-family="Helvetica, Arial, sans-serif">'
        '<path d="M0.00 20.00L10.00 20.00L10.00 15.00Z" fill="#000000" stroke="#000" stroke-width="0.3" '
        'stroke-dasharray="1"/>'
        '<text x="10.00" y="15.00" font-size="5.00" text-anchor="end" font-weight="bold" '
        'transform="rotate(-90 10.00 15.00)">&lt;a&gt; &amp; b</text></svg>'
    )


def test_the_caution_has_both_programs_run_before_anything_is_cut(made: Made) -> None:
    said = " ".join(" ".join(outline(re.sub(r'srcdoc="[^"]*"', "", page_of(made))).words).split())
    assert "Run each sheet's frame program first, then its dry run, spindle off. Local safety rules" in said


@pytest.mark.parametrize(
    ("units", "word", "length", "decimals", "area", "other"),
    [("mm", "mm", 1.0, 2, "m²", "ft²"), ("inch", "in", 25.4, 4, "ft²", "m²")],
)
def test_sizes_are_told_in_the_jobs_unit(
    units: str,
    word: str,
    length: float,
    decimals: int,
    area: str,
    other: str,
    tmp_path_factory: pytest.TempPathFactory,
) -> None:
    made = sample(tmp_path_factory.getbasetemp(), "shop-router", units)
    said = " ".join(outline(re.sub(r'srcdoc="[^"]*"', "", page_of(made))).words)
    told = re.search(rf"([\d.]+) x ([\d.]+) {word},\s+thickest reading ([\d.]+) {word};", said)
    assert told
    sheet = made.sheets[0].sheet
    stands = sorted((sheet.length, sheet.width, sheet.stock.thickest))
    assert stands == pytest.approx(sorted(float(size) * length for size in told.groups()), abs=0.01)
    assert (True, False) == (area in said, other in said)
    for panel in (plan.panel for plan in made.plans):
        left, low, right, high = panel.outline.bounds
        across, up = (f"{round(size / length, decimals):g}" for size in (right - left, high - low))
        assert f"{across} x {up} {word}" in said


def test_findings_that_say_the_same_are_gathered_with_their_lines() -> None:
    found = [{"program": "run1", "line": n, "severity": "error", "text": "too fast"} for n in range(1, 16)]
    other = {"program": None, "line": None, "severity": "safety", "text": "loose"}
    assert gathered([*found, other]) == [
        ("run1", "error: too fast", "1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12 and 3 more"),
        ("", "safety: loose", ""),
    ]


def test_nothing_in_the_report_depends_on_the_clock(made: Made) -> None:
    assert page_of(made) == page_of(made)
    assert not re.search(r"\b20\d\d-\d\d-\d\d\b", page_of(made))


def test_a_warning_with_markup_is_escaped(made: Made) -> None:
    gathering = Gathering()
    gathering.warn(Place("<b>.toml"), "a <i>sentence</i>")
    page = page_of(replace(made, gathering=gathering))
    assert "&lt;b&gt;.toml" in page
    assert "<i>" not in page


def test_printed_it_shows_every_column_of_its_tables(tmp_path_factory: pytest.TempPathFactory) -> None:
    """As on the screen a table may be wider than its room, but paper has no bar to shift it by."""
    made = sample(tmp_path_factory.getbasetemp(), "shop-router")
    folder = tmp_path_factory.mktemp("printed")
    page = folder / "index.html"
    page.write_text(page_of(made), encoding="utf-8")
    a4 = {"paperWidth": 210 / 25.4, "paperHeight": 297 / 25.4}
    with opened(page, folder / "browser", ready="return document.readyState === 'complete'") as browser:
        sent = browser.chrome.execute_cdp_cmd("Page.printToPDF", {"printBackground": True, **a4})
        heads = browser.run(HEADS)
    paper = PdfReader(BytesIO(b64decode(sent["data"])))
    told = normalize("NFKC", "".join(sheet.extract_text() for sheet in paper.pages))  # ligatures in letters
    printed = "".join(told.split())
    assert {"For the rack", "Left over", "SHA-256"} <= set(heads)
    assert [] == [head for head in heads if not all(word in printed for word in head.split())]
