"""Laws of the passes: what is swept lies between the drawn shape shrunk and grown by the tolerance; all is held."""

import sys
from pathlib import Path

import pytest
import shapely
import shapely.affinity
from hypothesis import example, given, settings
from hypothesis import strategies as st

sys.path.insert(0, str(Path(__file__).parents[1] / "passes"))

from law_examples import examples
from passes_bench import QUADS, made, plan, ramp, shop, shop_router, steepest_entry, swept, tool

from cncpanel.geometry.contour import Contour, Vertex, circle, polygon
from cncpanel.geometry.region import Region, flat, region_of
from cncpanel.operation.operation import Clear
from cncpanel.passes.clear import clear
from cncpanel.passes.draft import Title

TOLERANCE = 0.01  # mm: what must stay is never touched beyond it
QUARTER = 0.41421356237309503
AGAINST = {"direction": "conventional", "finish_direction": "conventional"}
HABITS = ({}, {"finish_allowance": 0.0}, {"direction": "conventional"}, AGAINST, {**AGAINST, "finish_allowance": 0.0})

mm = st.floats(12, 90).map(lambda x: round(x, 2))


def rounded(width: float, height: float, share: float) -> Contour:
    r = round(share * min(width, height) / 2, 3)
    corners = [
        (r, 0),
        (width - r, 0),
        (width, r),
        (width, height - r),
        (width - r, height),
        (r, height),
        (0, height - r),
    ]
    bulges = [0, QUARTER, 0, QUARTER, 0, QUARTER, 0, QUARTER]
    return Contour(tuple(Vertex(x, y, b) for (x, y), b in zip([*corners, (0, r)], bulges, strict=True)))


def notched(width: float, height: float, across: float, up: float) -> Contour:
    x, y = width * across, height * up
    return polygon([(0, 0), (width, 0), (width, y), (x, y), (x, height), (0, height)])


outlines = st.one_of(
    st.builds(rounded, mm, mm, st.floats(0.05, 0.9)),
    st.builds(notched, mm, mm, st.floats(0.3, 0.8), st.floats(0.3, 0.8)),
    mm.map(lambda d: circle((d / 2, d / 2), d / 2)),
)


def with_island(outline: Contour, size: float) -> Region:
    """The outline with a round island where there is room for one."""
    room = shapely.Polygon(outline.flattened(0.01)).buffer(-size - 7)
    if room.is_empty:
        return region_of(outline)
    at = room.representative_point()
    return region_of(outline, [circle((at.x, at.y), size)])


@settings(max_examples=examples(25), deadline=None)
@example(outline=notched(12, 68, 0.3125, 0.3), size=2.0, habit={"finish_allowance": 0.0}, number=2)
@given(outline=outlines, size=st.floats(2, 9), habit=st.sampled_from(HABITS), number=st.sampled_from([1, 2]))
def test_a_recess_is_swept_to_its_walls_and_no_further(
    outline: Contour, size: float, habit: dict[str, object], number: int
) -> None:
    region, cutter = with_island(outline, size), tool(number)
    operation = Clear(panel="p", feature="f", region=region, open_region=region, depth=5.0, tool=cutter)
    made_of_it = clear(operation, Title("recess", "p", "f", cutter), shop(shop_router(**habit)))
    drawn = flat(region, 0.0005)
    reachable = drawn.buffer(-cutter.radius - 1e-4, quad_segs=QUADS).buffer(cutter.radius, quad_segs=QUADS)
    cut = swept((one.run for one in made_of_it), -5.0)
    assert cut.difference(drawn.buffer(TOLERANCE + 0.001)).is_empty
    assert reachable.difference(cut.buffer(TOLERANCE)).area == pytest.approx(0, abs=1e-3)
    assert all(steepest_entry(one.run) <= ramp(shop_router()) for one in made_of_it[:1])


@settings(max_examples=examples(15), deadline=None)
@given(
    shapes=st.lists(outlines, min_size=1, max_size=3),
    gap=st.floats(6, 25).map(lambda x: round(x, 2)),
    habit=st.sampled_from(HABITS),
)
def test_parts_in_a_row_stay_whole_and_hang_together(
    shapes: list[Contour], gap: float, habit: dict[str, object]
) -> None:
    big = [_grown(shape) for shape in shapes]
    x, places = 10.0, []
    for index, shape in enumerate(big):
        places.append((index, round(x, 3), 10.0))
        x += shape.bounds[2] + gap
    runs = made(places, [plan(index, shape) for index, shape in enumerate(big)], shop_router(**habit))
    cut = swept(runs.runs, -18.0)
    left = shapely.box(0, 0, 1000, 600).difference(cut).buffer(-0.2)
    assert len([piece for piece in shapely.get_parts(left) if piece.area > 5]) == 1
    for index, px, py in places:
        part = shapely.affinity.translate(shapely.Polygon(big[index].flattened(0.0005)), px, py)
        assert part.buffer(-TOLERANCE - 0.001).intersection(cut).is_empty


def _grown(contour: Contour) -> Contour:
    """Three times as large: large enough to be held."""
    return Contour(tuple(Vertex(3 * v.x, 3 * v.y, v.bulge) for v in contour.vertices))
