"""Recesses and grooves: what the rounds sweep, how the tool gets in and along the wall."""

from collections.abc import Sequence
from functools import cache

import pytest
import shapely
from passes_bench import QUADS, STOCK, moves, polygon_of, ramp, shop, shop_router, steepest_entry, swept, tool

from cncpanel.geometry.contour import circle, polygon
from cncpanel.geometry.region import Region, flat, region_of
from cncpanel.job.model import Settings
from cncpanel.machine.tool import Tool
from cncpanel.operation.operation import Clear
from cncpanel.passes.clear import clear
from cncpanel.passes.draft import Draft, Title
from cncpanel.passes.shop import Shop

RECT = polygon([(0, 0), (100, 0), (100, 60), (0, 60)])
ELL = polygon([(0, 0), (90, 0), (90, 20), (30, 20), (30, 70), (0, 70)])
NECK = polygon([
    (0, 0), (40, 0), (40, 16), (60, 16), (60, 0), (100, 0), (100, 40), (60, 40), (60, 24), (40, 24), (40, 40), (0, 40),
])  # fmt: skip
WEDGE = polygon([(0, 0), (80, 0), (80, 30)])
SHAPES = {
    "rectangle": region_of(RECT),
    "L": region_of(ELL),
    "two chambers and a neck": region_of(NECK),
    "wedge": region_of(WEDGE),
    "round": region_of(circle((30, 30), 25)),
    "hardly wider than the tool": region_of(polygon([(0, 0), (50, 0), (50, 6.4), (0, 6.4)])),
    "one and a half tools wide": region_of(polygon([(0, 0), (50, 0), (50, 9), (0, 9)])),
    "round, hardly wider than the tool": region_of(circle((0, 0), 3.6)),
    "island": region_of(RECT, [circle((50, 30), 10)]),
    "two islands": region_of(RECT, [circle((28, 30), 9), polygon([(60, 20), (80, 20), (80, 40), (60, 40)])]),
    "island near the wall": region_of(RECT, [circle((50, 20), 12.5)]),
    "ring as wide as one pass": region_of(circle((0, 0), 30), [circle((0, 0), 23)]),
}


def drafts(
    region: Region, depth: float | None = 7, cutter: Tool | None = None, room: Region | None = None, **cutting: object
) -> tuple[Draft, ...]:
    used = cutter or tool()
    operation = Clear(panel="p", feature="recess", region=region, open_region=room or region, depth=depth, tool=used)
    return clear(operation, Title("recess", "p", "recess", used), shop(shop_router(**cutting)))


def reachable(region: Region, radius: float) -> shapely.Geometry:
    return flat(region, 0.0005).buffer(-radius, quad_segs=QUADS).buffer(radius, quad_segs=QUADS)


@cache
def default(shape: str) -> tuple[Draft, ...]:
    return drafts(SHAPES[shape])


def each(*quick: str) -> list[object]:
    """All shapes, those that are not named by the laws' verb only."""
    return [shape if shape in quick else pytest.param(shape, marks=pytest.mark.slow) for shape in SHAPES]


TELLING = ("L", "wedge", "hardly wider than the tool", "ring as wide as one pass")


ALSO_TELLING = ("two islands", "two chambers and a neck", "round, hardly wider than the tool")


@pytest.mark.parametrize("shape", each(*TELLING, *ALSO_TELLING))
def test_the_floor_is_swept_to_the_walls_and_no_further(shape: str) -> None:
    _swept_to_the_walls(SHAPES[shape], default(shape))


@pytest.mark.parametrize("shape", each("L"))
@pytest.mark.parametrize(
    "cutting", [{"finish_allowance": 0.0}, {"direction": "conventional"}], ids=["one cut", "conventional"]
)
def test_other_habits_sweep_the_floor_to_the_walls_too(shape: str, cutting: dict[str, object]) -> None:
    _swept_to_the_walls(SHAPES[shape], drafts(SHAPES[shape], **cutting))


def _swept_to_the_walls(region: Region, made: Sequence[Draft]) -> None:
    cut = swept((one.run for one in made), -7.0)
    assert cut.difference(flat(region, 0.0005).buffer(0.011)).is_empty
    assert reachable(region, 3).difference(cut.buffer(0.01)).area == pytest.approx(0, abs=1e-3)


@pytest.mark.parametrize("shape", each(*TELLING))
def test_every_step_down_sweeps_the_floor_but_for_the_allowance(shape: str) -> None:
    made = default(shape)
    cut = swept((one.run for one in made), -3.5)
    left = reachable(SHAPES[shape].__class__(SHAPES[shape].outer, SHAPES[shape].holes), 3).buffer(-0.31)
    assert left.difference(cut.buffer(0.01)).area == pytest.approx(0, abs=1e-3)


@pytest.mark.parametrize("shape", each(*TELLING))
def test_the_tool_goes_in_no_steeper_than_the_machine_ramps(shape: str) -> None:
    assert all(steepest_entry(one.run) <= ramp(shop_router()) for one in default(shape)[:1])


@pytest.mark.parametrize("shape", each(*TELLING))
def test_nothing_goes_below_the_floor(shape: str) -> None:
    heights = [step.z for one in default(shape) for step in one.run.steps]
    assert min(heights) == -7.0


def test_the_job_says_how_much_roughing_leaves_on_the_walls() -> None:
    region = SHAPES["L"]
    operation = Clear(panel="p", feature="recess", region=region, open_region=region, depth=7, tool=tool())
    bench = Shop(shop_router(), STOCK, Settings(wall_allowance=0.8))
    made = clear(operation, Title("recess", "p", "recess", tool()), bench)
    far = {z: max(b[0] for one in made for _, b, _, _ in moves(one.run) if b[2] == z) for z in (-3.5, -7.0)}
    assert far == {-3.5: pytest.approx(90 - 3 - 0.8, abs=1e-3), -7.0: pytest.approx(90 - 3, abs=1e-3)}
    _swept_to_the_walls(region, made)


@pytest.mark.parametrize("shape", each("L"))
def test_a_last_light_pass_takes_what_the_job_leaves_on_floors(shape: str) -> None:
    region, left = SHAPES[shape], 0.4
    operation = Clear(panel="p", feature="recess", region=region, open_region=region, depth=7, tool=tool())
    made = clear(
        operation, Title("recess", "p", "recess", tool()), Shop(shop_router(), STOCK, Settings(floor_allowance=left))
    )
    depths = sorted({b[2] for one in made for a, b, _, _ in moves(one.run) if a[2] == b[2]})
    assert depths == [-7.0, pytest.approx(-6.6), pytest.approx(-3.3)]
    _swept_to_the_walls(region, made)
    roughed = swept((one.run for one in made), -6.6)
    assert reachable(region, 3).buffer(-0.31).difference(roughed.buffer(0.01)).area == pytest.approx(0, abs=1e-3)
    order = [b[2] for one in made for a, b, _, _ in moves(one.run) if a[2] == b[2]]
    assert order.index(-7.0) > max(i for i, z in enumerate(order) if z != -7.0)


@pytest.mark.parametrize(("left", "depth"), [(0.0, 7), (0.4, 0.7), (0.4, None)], ids=["none", "shallow", "through"])
def test_nothing_is_left_where_nothing_may_be(left: float, depth: float | None) -> None:
    asked, plain = Shop(shop_router(), STOCK, Settings(floor_allowance=left)), shop(shop_router())
    assert asked.clearing_depths(tool(), depth) == plain.clearing_depths(tool(), depth)


def test_a_groove_as_wide_as_the_tool_is_one_pass_along_its_middle() -> None:
    groove = polygon([(0, 0), (60, 0), (60, 6), (0, 6)])
    (made,) = drafts(region_of(groove), depth=3)
    flat_moves = [(a, b) for a, b, _, _ in moves(made.run) if a[2] == b[2] == -3.0]
    assert len(flat_moves) == 1
    assert all(abs(step.y - 3) <= 0.005 for step in made.run.steps)


def test_a_bent_groove_as_wide_as_the_tool_is_followed_round_its_bend() -> None:
    groove = polygon([(0, 0), (60, 0), (60, 40), (54, 40), (54, 6), (0, 6)])
    made = drafts(region_of(groove), depth=3)
    cut = swept((one.run for one in made), -3.0)
    assert cut.difference(polygon_of(groove).buffer(0.006)).is_empty
    assert reachable(region_of(groove), 2.996).difference(cut.buffer(0.02)).area == pytest.approx(0, abs=0.01)


def test_a_groove_narrower_than_the_tool_is_not_cut() -> None:
    assert drafts(region_of(polygon([(0, 0), (60, 0), (60, 5.9), (0, 5.9)]))) == ()


def test_the_finish_goes_along_the_wall_climb_at_full_depth() -> None:
    (made,) = drafts(region_of(circle((30, 30), 25)))
    wall = [
        (a, b, bulge)
        for a, b, bulge, _ in moves(made.run)
        if all(abs(((p[0] - 30) ** 2 + (p[1] - 30) ** 2) ** 0.5 - 22) < 1e-6 for p in (a, b))
    ]
    assert {-7.0} == {p[2] for a, b, _ in wall for p in (a, b)}
    assert all(bulge > 0 for _, _, bulge in wall)


def test_conventional_roughing_runs_the_other_way() -> None:
    (made,) = drafts(region_of(circle((30, 30), 25)), direction="conventional")
    rough = [
        bulge
        for a, _, bulge, _ in moves(made.run)
        if abs(((a[0] - 30) ** 2 + (a[1] - 30) ** 2) ** 0.5 - 21.7) < 1e-3 and bulge
    ]
    assert rough
    assert all(bulge < 0 for bulge in rough[:-1])


def test_a_through_recess_leaves_no_core() -> None:
    region = region_of(circle((30, 30), 12))
    cut = swept((one.run for one in drafts(region, depth=None)), -18.5)
    assert polygon_of(circle((30, 30), 12)).difference(cut.buffer(0.01)).is_empty


def test_a_run_out_may_be_swept_beyond_the_region() -> None:
    region = region_of(polygon([(0, 20), (60, 20), (60, 30), (0, 30)]))
    room = region_of(polygon([(-3.1, 20), (63.1, 20), (63.1, 30), (-3.1, 30)]))
    cut = swept((one.run for one in drafts(region, room=room)), -7.0)
    assert flat(region).difference(cut.buffer(0.01)).area == pytest.approx(0, abs=1e-3)
    assert cut.difference(flat(room).buffer(0.011)).is_empty


def test_a_tool_that_does_not_plunge_never_goes_straight_down_into_material() -> None:
    blunt = tool(4)
    region = region_of(polygon([(0, 0), (40, 0), (40, 13), (0, 13)]))
    assert all(steepest_entry(one.run) <= ramp(shop_router()) for one in drafts(region, cutter=blunt)[:1])


def test_a_recess_no_larger_than_the_tool_is_one_plunge_of_a_tool_that_may_and_not_cut_by_one_that_may_not() -> None:
    square = region_of(polygon([(0, 0), (6, 0), (6, 6), (0, 6)]))
    (made,) = drafts(square)
    assert swept([made.run], -7.0).area == pytest.approx(3.14159 * 9, rel=1e-2)
    assert drafts(square, cutter=tool().model_copy(update={"plunges": False})) == ()
