"""The laws of straight lines: all that the tool reaches is swept and no more, no cut is wider than allowed.

What a tool reaches is the opening of the region by its disc, by GEOS's own erosion and dilation.
"""

import sys
from pathlib import Path

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

sys.path.insert(0, str(Path(__file__).parents[1] / "passes"))

from engagement import Engaged, Wood, engaged
from law_examples import examples
from passes_bench import shop, shop_router, swept, tool
from test_laws_engagement import ALLOWANCE, MARGIN, mm, share, ways

from cncpanel.geometry.contour import circle, polygon
from cncpanel.geometry.offset import Offsetter
from cncpanel.geometry.region import Region, flat, region_of
from cncpanel.operation.operation import Clear
from cncpanel.passes.clear import clear
from cncpanel.passes.draft import Draft, Title
from cncpanel.passes.opening import Opening
from cncpanel.passes.raster import open_in_lines
from cncpanel.passes.shop import ENGAGEMENT

DEPTH = 4.0


def cleared(region: Region, diameter: float) -> tuple[Draft, ...]:
    cutter = tool().model_copy(update={"diameter": diameter, "cutting_length": 40.0})
    operation = Clear(
        panel="p", feature="f", region=region, open_region=region, depth=DEPTH, tool=cutter, lines="along"
    )
    return clear(operation, Title("recess", "p", "f", cutter), shop(shop_router()))


def worst(region: Region, diameter: float) -> Engaged:
    opening = Opening(diameter, ENGAGEMENT, climb=True)
    open_in_lines(Offsetter((region,)).at(-diameter / 2 - ALLOWANCE), opening, diameter)
    wood = Wood(region.bounds, diameter / 2, ENGAGEMENT * diameter)
    found = [one for one in engaged(ways(opening), wood) if one.label in ("cut", "link")]
    return max(found, key=lambda one: one.width, default=Engaged(0.0, (0, 0), "cut"))


def check(region: Region, diameter: float) -> None:
    cut = swept((one.run for one in cleared(region, diameter)), -DEPTH)
    shape = flat(region, 0.0005)
    reached = shapely.buffer(shapely.buffer(shape, -diameter / 2, quad_segs=64), diameter / 2, quad_segs=64)
    left = reached.difference(cut.buffer(0.01))
    assert left.area == pytest.approx(0, abs=2e-3), left.centroid
    assert cut.difference(shape.buffer(0.011)).is_empty
    assert worst(region, diameter).width <= MARGIN * ENGAGEMENT * diameter, worst(region, diameter)


@st.composite
def recesses(draw: st.DrawFn) -> Region:
    """Rectangles, Ls, Ts and wedges, with an island or without."""
    w, h, a, b = draw(mm), draw(mm), draw(share), draw(share)
    kind = draw(st.sampled_from(["rectangle", "L", "T", "trapezium"]))
    points = {
        "rectangle": [(0, 0), (w, 0), (w, h), (0, h)],
        "L": [(0, 0), (w, 0), (w, h * b), (w * a, h * b), (w * a, h), (0, h)],
        "T": [(0, 0), (w, 0), (w, h * b), (w * 0.8, h * b), (w * 0.8, h), (w * 0.3, h), (w * 0.3, h * b), (0, h * b)],
        "trapezium": [(0, 0), (w, 0), (w * (1 - a / 2), h), (w * a / 2, h)],
    }[kind]
    low = min(w * (a if kind == "L" else 1), h * (b if kind in "LT" else 1))
    if not draw(st.booleans()) or kind == "T" or low < 30:
        return region_of(polygon(points))
    return region_of(polygon(points), [circle((low / 2, low / 2), draw(st.floats(4, low / 2 - 10)))])


@settings(max_examples=examples(2), deadline=None)
@given(region=recesses(), diameter=st.sampled_from([4.0, 6.0, 12.0]))
def test_lines_take_all_that_the_tool_reaches_in_bounded_cuts(region: Region, diameter: float) -> None:
    check(region, diameter)


TELLING = {
    "a round well": region_of(circle((50, 50), 40)),
    "islands that part the lines": region_of(
        polygon([(0, 0), (100, 0), (100, 60), (0, 60)]),
        [circle((28, 30), 9), polygon([(60, 20), (80, 20), (80, 40), (60, 40)])],
    ),
    "a wedge": region_of(polygon([(0, 0), (80, 0), (80, 30)])),
}


@pytest.mark.parametrize("shape", [pytest.param(one, marks=pytest.mark.slow) for one in TELLING])
def test_wells_with_curved_and_slanted_walls_and_islands_are_taken_too(shape: str) -> None:
    check(TELLING[shape], 6.0)


def test_most_of_the_way_is_along_the_grain() -> None:
    """And one line beside the next: a slot as long as one line, the rest within the step."""
    region = region_of(polygon([(0, 0), (100, 0), (100, 60), (0, 60)]))
    opening = Opening(6.0, ENGAGEMENT, climb=True)
    open_in_lines(Offsetter((region,)).at(-3.3), opening, 6.0)
    chains = [(stroke.chain, getattr(stroke, "slot", True)) for stroke in opening.strokes]
    level = [one.length for chain, _ in chains for one in chain if abs(one.end.y - one.start.y) < 1e-6]
    assert sum(level) > 0.75 * sum(one.length for chain, _ in chains for one in chain)
    assert sum(one.length for chain, slot in chains if slot for one in chain) == pytest.approx(93.4, abs=0.2)


def test_a_well_hardly_wider_than_the_tool_beside_a_notch_it_cannot_enter_is_gone_round_once() -> None:
    """The notch's mouth lifts the highest line off the wall: what lay beside the lowest was run into from its end."""
    well = [(0, 0), (12.57, 0), (12.57, 4.48), (7.11, 4.48), (7.11, 17.6), (5.73, 17.6), (5.73, 4.48), (0, 4.48)]
    check(region_of(polygon(well)), 3.175)
