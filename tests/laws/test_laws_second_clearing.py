"""The law of the second clearing: with the larger tool's work it reaches all that the smaller one could, and no more.

What a tool reaches is the opening of the region by its disc, by GEOS's own erosion and dilation.
"""

import sys
from collections.abc import Sequence
from itertools import pairwise
from math import hypot
from pathlib import Path

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

sys.path.insert(0, str(Path(__file__).parents[1] / "passes"))

from engagement import Engaged, Wood, engaged
from law_examples import examples
from passes_bench import shop, shop_router, swept, tool
from test_laws_engagement import MARGIN, mm, share, ways

from cncpanel.geometry.area import Area
from cncpanel.geometry.contour import circle, polygon
from cncpanel.geometry.offset import Offsetter
from cncpanel.geometry.region import Region, flat, region_of
from cncpanel.machine.tool import Tool
from cncpanel.operation.operation import Clear
from cncpanel.passes.clear import clear
from cncpanel.passes.draft import Draft, Title
from cncpanel.passes.opening import Opening
from cncpanel.passes.shop import ENGAGEMENT

LARGE, SMALL = 12.0, 6.0


def cutter(diameter: float) -> Tool:
    return tool().model_copy(update={"diameter": diameter, "number": round(diameter), "cutting_length": 40.0})


def both(region: Region, small: float = SMALL) -> tuple[tuple[Draft, ...], tuple[Draft, ...]]:
    """The runs of the first clearing and of the second."""
    first = Clear(panel="p", feature="f", region=region, open_region=region, depth=4.0, tool=cutter(LARGE))
    rest = Clear(panel="p", feature="f", region=region, open_region=region, depth=4.0, tool=cutter(small), after=first)
    bench = shop(shop_router())
    title = Title("recess", "p", "f", first.tool)
    return clear(first, title, bench), clear(rest, Title("recess", "p", "f", rest.tool), bench)


def opened(region: Region, diameter: float) -> shapely.Geometry:
    radius, shape = diameter / 2, flat(region, 0.0005)
    return shapely.buffer(shapely.buffer(shape, -radius, quad_segs=64), radius, quad_segs=64)


def check(region: Region, small: float = SMALL) -> None:
    first, second = both(region, small)
    cut = swept((one.run for one in (*first, *second)), -4.0)
    left = opened(region, small).difference(cut.buffer(0.01))
    assert left.area == pytest.approx(0, abs=2e-3), left.centroid
    assert cut.difference(flat(region, 0.0005).buffer(0.011)).is_empty
    assert worst(region, small).width <= MARGIN * ENGAGEMENT * small, worst(region, small)


def worst(region: Region, small: float) -> Engaged:
    """The widest that the second tool is engaged where the first has been, entries and slots apart."""
    opening, radius = Opening(small, ENGAGEMENT, climb=True), small / 2
    opening.after(Area.of(Offsetter(Offsetter((region,)).at(-LARGE / 2)).at(LARGE / 2 - radius)))
    for piece in Offsetter((region,)).at(-radius):
        opening.open(piece)
    wood = Wood(region.bounds, radius, ENGAGEMENT * small)
    x, y = np.meshgrid(wood.xs, wood.ys, indexing="ij")
    wood.uncut &= ~shapely.contains_xy(opened(region, LARGE), x, y)
    found = [one for one in engaged(ways(opening), wood) if one.label in ("cut", "link")]
    return max(found, key=lambda one: one.width, default=Engaged(0.0, (0, 0), "cut"))


@st.composite
def recesses(draw: st.DrawFn) -> Region:
    """Rectangles with a channel or a chamber beside them, trapeziums, with an island or without."""
    w, h, a = draw(mm), draw(mm), draw(share)
    gap = draw(st.floats(6.03, 14).map(lambda x: round(x, 2)))
    kind = draw(st.sampled_from(["rectangle", "channel", "chamber", "trapezium"]))
    x, y, out = w * a, h + 20, gap + 20
    points = {
        "rectangle": [(0, 0), (w, 0), (w, h), (0, h)],
        "trapezium": [(0, 0), (w, 0), (w * (1 - a / 2), h), (w * a / 2, h)],
        "channel": [(0, 0), (w, 0), (w, h), (x + gap, h), (x + gap, y), (x, y), (x, h), (0, h)],
        "chamber": [
            (0, 0), (w, 0), (w, h), (x + gap, h), (x + gap, y), (x + out, y), (x + out, y + 30),
            (x - 20, y + 30), (x - 20, y), (x, y), (x, h), (0, h),
        ],
    }[kind]  # fmt: skip
    low = min(w, h)
    if not draw(st.booleans()) or kind != "rectangle" or low < 36:
        return region_of(polygon(points))
    return region_of(polygon(points), [circle((w / 2, h / 2), low / 2 - draw(st.floats(6.3, 10)))])


@settings(max_examples=examples(2), deadline=None)
@given(region=recesses(), small=st.sampled_from([4.0, 6.0]))
def test_a_second_clearing_takes_what_the_larger_tool_left(region: Region, small: float) -> None:
    check(region, small)


def test_the_smaller_tool_stays_where_the_larger_one_left_something() -> None:
    """Its cuts lie within a tool's width of the corners, and its way is a small part of the first one's."""
    region = region_of(polygon([(0, 0), (100, 0), (100, 60), (0, 60)]))
    check(region)
    first, second = both(region)
    corners = [(0, 0), (100, 0), (100, 60), (0, 60)]
    places = [(s.x, s.y) for one in second for s in one.run.steps]
    assert max(min(hypot(x - a, y - b) for a, b in corners) for x, y in places) < 2 * SMALL
    assert len({min(corners, key=lambda c: hypot(x - c[0], y - c[1])) for x, y in places}) == 4
    assert way(second) < 0.2 * way(first)


def way(drafts: Sequence[Draft]) -> float:
    pairs = [pair for one in drafts for pair in pairwise(one.run.steps)]
    return sum(hypot(b.x - a.x, b.y - a.y) for a, b in pairs)


def test_an_opening_that_forgets_what_was_cleared_is_seen() -> None:
    """The measure itself: cut as if the larger tool had cleared all, the channel stays, and the law says so."""
    region = region_of(polygon([(0, 0), (60, 0), (60, 40), (34, 40), (34, 60), (26, 60), (26, 40), (0, 40)]))
    first, _ = both(region)
    left = opened(region, SMALL).difference(swept((one.run for one in first), -4.0).buffer(0.01))
    assert left.area > 100
    check(region)


FOUND = {
    "a channel hardly too narrow for the larger tool": [
        (0, 0), (110, 0), (110, 55.5), (68.7, 55.5), (68.7, 75.5), (57.2, 75.5), (57.2, 55.5), (0, 55.5),
    ],
    "a channel hardly wider than the smaller tool": [
        (0, 0), (60, 0), (60, 40), (36.05, 40), (36.05, 70), (30, 70), (30, 40), (0, 40),
    ],
    "a step of half a millimetre": [(0, 0), (25, 0), (25, 25), (24.5, 25), (24.5, 45), (13, 45), (13, 25), (0, 25)],
}  # fmt: skip


@pytest.mark.parametrize("shape", FOUND)
def test_what_the_law_once_found_stays_mended(shape: str) -> None:
    check(region_of(polygon(FOUND[shape])))


def test_what_is_left_of_a_strip_beyond_the_rim_is_met_between_its_walls() -> None:
    """An open groove's end is as wide as each tool needs it: the smaller one finds walls of its own, hardly apart."""
    wide = region_of(polygon([(-3.3, 0), (3.1, 0), (3.1, 60), (-3.3, 60)]))
    strip = region_of(polygon([(-0.95, -2), (3.1, -2), (3.1, 62), (-0.95, 62)]))
    first = Clear(panel="p", feature="f", region=strip, open_region=wide, depth=4.0, tool=cutter(6.35))
    rest = Clear(panel="p", feature="f", region=strip, open_region=strip, depth=4.0, tool=cutter(4), after=first)
    made = clear(rest, Title("recess", "p", "f", rest.tool), shop(shop_router()))
    cut = swept((one.run for one in made), -4.0)
    assert cut.difference(flat(strip, 0.0005).buffer(0.011)).is_empty
    ends = opened(strip, 4.0).difference(shapely.box(-3.3, 0, 3.1, 60))
    assert ends.difference(cut.buffer(0.01)).area == pytest.approx(0, abs=2e-3)
