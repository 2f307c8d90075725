"""Bored and drilled holes, and marks."""

from math import hypot, radians, tan

import pytest
import shapely
from passes_bench import moves, polygon_of, ramp, shop, shop_router, steepest_entry, swept, tool

from cncpanel.geometry.contour import Path, Vertex, circle
from cncpanel.geometry.point import Point
from cncpanel.operation.operation import Bore, Drill, Engrave
from cncpanel.passes.bore import bore
from cncpanel.passes.draft import Title
from cncpanel.passes.drill import drill
from cncpanel.passes.engrave import engrave
from cncpanel.passes.run import Run


def bored(diameter: float, depth: float | None = None, top: float = 0.0) -> Run:
    operation = Bore(
        panel="p", feature="hole", centre=Point(50, 40), diameter=diameter, top=top, depth=depth, tool=tool()
    )
    return bore(operation, Title("hole", "p", "hole", tool()), shop()).run


def drilled(depth: float | None, top: float = 0.0) -> Run:
    operation = Drill(panel="p", feature="hole", centre=Point(50, 40), diameter=4.5, top=top, depth=depth, tool=tool(6))
    return drill(operation, Title("hole", "p", "hole", tool(6)), shop()).run


@pytest.mark.parametrize("diameter", [7.2, 8, 10, 11.7, 11.9, 12, 13, 18, 24, 23.9])
@pytest.mark.parametrize("depth", [None, 6.0])
def test_a_bored_hole_is_swept_whole_and_no_wider(diameter: float, depth: float | None) -> None:
    cut = swept([bored(diameter, depth)], -(depth or 18.5))
    hole = polygon_of(circle((50, 40), diameter / 2))
    assert hole.difference(cut.buffer(0.01)).is_empty
    assert cut.difference(hole.buffer(0.005)).is_empty


@pytest.mark.parametrize("diameter", [7.2, 10, 13, 24])
def test_a_bored_hole_is_entered_by_a_helix_no_steeper_than_the_ramp_and_climbs(diameter: float) -> None:
    run = bored(diameter)
    assert steepest_entry(run) <= ramp(shop_router())
    assert all(bulge > 0 for _, _, bulge, _ in moves(run) if bulge)


def test_a_bored_hole_ends_with_a_full_turn_at_its_depth() -> None:
    run = bored(10, 6.0)
    turns = [b for a, b, bulge, _ in moves(run) if a[2] == b[2] == -6.0 and bulge and hypot(b[0] - 50, b[1] - 40) > 1.9]
    assert len(turns) == 2
    assert (run.steps[-1].x, run.steps[-1].y) == (50, 40)


def test_a_bore_begins_where_the_material_begins() -> None:
    run = bored(10, 9.0, top=4.0)
    assert run.approach == -2.0  # 2 over the floor: the air down to it needs no drilling feed
    assert run.steps[0].z == -4.0 + 0.3


def test_a_shallow_hole_is_drilled_without_coming_up() -> None:
    run = drilled(6.0)
    assert [step.z for step in run.steps if step.z < 0] == [-6.0]


def test_a_deep_hole_is_drilled_in_pecks_of_two_diameters_at_most() -> None:
    """Common practice, no source: no more than 2 diameters a peck, 3 without coming up."""
    floors = [step.z for step in drilled(None).steps if step.z < 0 and step.feed != shop_router().motion.feed_z_max]
    assert floors == sorted(floors, reverse=True)
    assert all(a - b <= 9.0 + 1e-9 for a, b in zip([0.0, *floors], floors, strict=False))


def test_a_drill_comes_out_over_the_sheet_between_pecks() -> None:
    heights = [step.z for step in drilled(None).steps]
    assert heights.count(2.0) >= 1
    assert heights[-1] == min(heights)


def test_drilling_feed_begins_again_half_a_millimetre_over_the_last_floor() -> None:
    """Common practice, no source; and where the drill has not cut yet, over the sheet."""
    steps = drilled(None).steps
    again = [(steps[i - 2].z, step.z) for i, step in enumerate(steps) if i > 1 and steps[i - 1].z == 2.0]
    assert again
    assert [over - floor for floor, over in again] == pytest.approx([0.5] * len(again))
    assert steps[0].z == 0.3 + 0.5


def test_a_through_hole_goes_deeper_by_the_drills_point() -> None:
    """A 118 degree point of 4.5 mm is 2.25 / tan 59 degrees long: geometry."""
    assert -18.5 - 2.25 / tan(radians(59)) == pytest.approx(drilled(None).steps[-1].z)


def test_a_stroke_is_followed_at_its_depth() -> None:
    stroke = Path((Vertex(0, 0), Vertex(10, 0, 0.5), Vertex(10, 8)))
    operation = Engrave(
        panel="p", feature="mark", face="show", strokes=(stroke,), mirrored_strokes=(), depth=0.5, tool=tool(5)
    )
    (made,) = engrave(operation, Title("mark", "p", "mark", tool(5)), shop())
    assert [(s.x, s.y, s.z) for s in made.run.steps[-3:]] == [(0, 0, -0.5), (10, 0, -0.5), (10, 8, -0.5)]


def test_a_flat_tool_comes_down_a_slope_along_the_stroke() -> None:
    stroke = Path((Vertex(0, 0), Vertex(10, 0)))
    operation = Engrave(
        panel="p", feature="mark", face="show", strokes=(stroke,), mirrored_strokes=(), depth=0.5, tool=tool(3)
    )
    (made,) = engrave(operation, Title("mark", "p", "mark", tool(3)), shop())
    assert steepest_entry(made.run) <= ramp(shop_router())
    assert shapely.LineString([(0, 0), (10, 0)]).buffer(1.49).difference(swept([made.run], -0.5)).is_empty
