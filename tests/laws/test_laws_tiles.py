"""Laws of templates in tiles: whatever the panel and the paper, tiles joined by their marks give the panel back."""

from collections.abc import Iterator
from dataclasses import replace

import pytest
import shapely
from geometry_shapes import regions, shrunk
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st
from law_examples import examples
from paper_samples import TOLD, seen
from tile_joining import Mark, assert_gives_back, marks, tile_name, tile_pages

from cncpanel.drawing.seen import Seen
from cncpanel.drawing.template import FINISHED, PART_WAY, THROUGH, template
from cncpanel.drawing.template_pages import tiled_pages
from cncpanel.errors import Place
from cncpanel.geometry.contour import Contour, circle
from cncpanel.geometry.point import Point
from cncpanel.geometry.region import flat, region_of
from cncpanel.job.model import TemplateSettings
from cncpanel.job.paper_size import PAPERS, PaperSize, paper_size
from cncpanel.output.pdf_drawing import drawing_pdf
from cncpanel.panel.panel import Hole, Opening, Recess

LONGEST = 2400.0  # mm
MOST_TILES = 24  # more make a case slow, not harder
SLOW = [HealthCheck.filter_too_much, HealthCheck.too_slow]
TURNS = (0, 90, 180, 270)


@st.composite
def panels(draw: st.DrawFn) -> Seen:
    """A panel of lines and arcs with openings, of any size up to 2.4 m, seen from either face, mirrored or not."""
    region = draw(regions())
    left, low, right, high = region.outer.bounds
    factor = draw(st.floats(60.0, LONGEST)) / max(right - left, high - low)
    outer, *inner = (shrunk(shrunk(loop, 1.0, -left, -low), factor, 0.0, 0.0) for loop in (region.outer, *region.holes))
    openings = tuple(Opening(name="", contour=loop, tool=None, place=Place("x")) for loop in inner)
    plain = seen("story_dial", "side").panel
    cuts = draw(st.lists(st.tuples(st.floats(0.05, 0.95), st.floats(0.05, 0.95), st.floats(3, 60)), max_size=5))
    inside = list(_inside(cuts, outer))
    panel = replace(
        plain,
        outline=outer,
        openings=openings,
        recesses=tuple(_recess(*cut) for cut in inside[::2]),
        holes=tuple(_hole(*cut) for cut in inside[1::2]),
        marks=(),
        rims=(),
        grilles=(),
    )
    face = draw(st.sampled_from(("show", "back")))
    return Seen(panel=panel, edges=(), face=face, mirrored_copy=draw(st.booleans()))


def _inside(cuts: list[tuple[float, float, float]], outer: Contour) -> Iterator[tuple[Point, float]]:
    """Centres, at shares of the outline's box, and diameters of those round cuts that lie in the outline."""
    solid, (left, low, right, high) = flat(region_of(outer), 0.01), outer.bounds
    for x, y, size in cuts:
        centre = Point(left + x * (right - left), low + y * (high - low))
        if solid.contains(shapely.Point(*centre).buffer(size / 2 + 1)):
            yield centre, size


def _hole(centre: Point, size: float) -> Hole:
    return Hole(name="h", centre=centre, diameter=size, depth=None, top=0.0, tool=None, place=Place("x"))


def _recess(centre: Point, size: float) -> Recess:
    region = region_of(circle(centre, size / 2))
    return Recess(name="r", kind="recess", region=region, open_region=region, depth=3.0, tool=None, place=Place("x"))


@st.composite
def papers(draw: st.DrawFn) -> tuple[PaperSize, TemplateSettings]:
    """Named paper either way, or a size; margin, overlap and the printer's error as far as they may go."""
    sides = st.integers(100, 1300)
    named = st.sampled_from(sorted(PAPERS)).flatmap(lambda name: st.sampled_from((name, f"{name} landscape")))
    paper = paper_size(draw(named | st.builds("{}x{}".format, sides, sides)))
    off = st.just(1.0) | st.floats(0.95, 1.05).map(lambda value: round(value, 4))
    asked = TemplateSettings(
        margin=draw(st.floats(10, 40)), overlap=draw(st.floats(6, 50)), correction=(draw(off), draw(off))
    )
    assume(min(paper.width, paper.height) / 1.05 - 2 * asked.margin - asked.overlap >= 30)
    return paper, asked


@settings(max_examples=examples(8), suppress_health_check=SLOW, deadline=None)
@given(looked_at=panels(), how=papers())
def test_tiles_joined_by_their_marks_give_every_panel_back_on_every_paper(
    looked_at: Seen, how: tuple[PaperSize, TemplateSettings]
) -> None:
    paper, asked = how
    _, _, right, high = looked_at.outline.bounds
    step = [side / 1.05 - 2 * asked.margin - asked.overlap for side in (paper.width, paper.height)]
    assume((right / step[0] + 1) * (high / step[1] + 1) <= MOST_TILES)
    pages = tile_pages(drawing_pdf(tiled_pages(template(looked_at, "mm"), TOLD, paper, asked), "x"))
    for page in pages:
        assert (page.width, page.height) == pytest.approx((paper.width, paper.height), abs=1e-3)
    outline = [flat(region_of(looked_at.outline), 0.001).exterior]
    assert_gives_back(pages, outline, FINISHED.width, asked.correction)
    of, panel = looked_at.place, looked_at.panel
    through = [*(one.contour for one in panel.openings), *(circle(h.centre, h.diameter / 2) for h in panel.holes)]
    part_way = [one.region.outer for one in panel.recesses]
    for contours, pen in ((through, THROUGH), (part_way, PART_WAY)):
        lines = [flat(region_of(of.contour(contour)), 0.001).exterior for contour in contours]
        if lines:
            assert_gives_back(pages, lines, pen.width, asked.correction)


def joins(first: dict[str, Mark], other: dict[str, Mark], turn: int) -> list[str]:
    """The marks that would lie on each other alike, name, cross and slant, were the other page turned."""
    alike = sorted(set(first) & set(other))
    return [name for name in alike if abs(_turned(first[name], other[name], turn)) < 1]


def _turned(first: Mark, other: Mark, turn: int) -> float:
    return (first.slant_deg - other.slant_deg - turn + 180) % 360 - 180


@pytest.mark.parametrize("paper", ["A4", "Letter", "A3", "Tabloid", "130x110"])
def test_tiles_in_each_others_place_or_turned_have_no_mark_in_common(paper: str) -> None:
    drawn = template(seen("story_dial" if paper == "130x110" else "millrace", "side"), "mm")
    size = paper_size(paper)
    pages = tile_pages(drawing_pdf(tiled_pages(drawn, TOLD, size, TemplateSettings()), "x"))
    found = {tile_name(page): marks(page) for page in pages}
    assert len(found) == len(pages) > 3
    joints = 0
    for a, first in found.items():
        for b, other in found.items():
            true = {f"{a}-{b}a", f"{a}-{b}b"} if f"{a}-{b}a" in first else {f"{b}-{a}a", f"{b}-{a}b"} & set(first)
            for turn in TURNS:
                if a != b:
                    assert sorted(true if turn == 0 else ()) == joins(first, other, turn), (a, b, turn)
            joints += bool(true) and a < b
    names = sorted(name for page in found.values() for name in page)
    assert 2 * 2 * joints == len(names), "each joint has two marks, on both its tiles and nowhere else"


def test_a_mark_without_its_slant_would_be_found_to_fit_turned_round() -> None:
    mark = Mark((0.0, 0.0), 0.0)
    assert ["A1-A2a"] == joins({"A1-A2a": mark}, {"A1-A2a": Mark((5.0, 5.0), -180.0)}, 180)
    assert [] == joins({"A1-A2a": mark}, {"A1-A2a": mark}, 180)
