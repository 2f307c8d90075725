"""Edges against geometry and what handbooks print: tool proportions, ridges, a quarter round's volume, a V's width."""

from math import pi, radians, sqrt, tan

import pytest
import shapely

from cncpanel.machine.read import read_machine, shipped_machines
from cncpanel.machine.tool import Tool
from cncpanel.operation.edge_layer import Layer, form_layers, radius_over_tip, ridge, stair_layers
from cncpanel.operation.edge_section import sections
from cncpanel.panel.edge import Bevel, Round

KEYS = {
    "flutes": 2,
    "stick_out": 40,
    "nut_diameter": 30,
    "shank_diameter": 6,
    "plunges": False,
    "rpm_max": 22000,
    "cutting_length": 20,
}


def round_over(radius: float, tip: float, **more: float) -> Tool:
    keys = KEYS | {"number": 1, "name": "r", "kind": "round-over", "diameter": 2 * (radius + tip)}
    return Tool.model_validate(keys | {"profile_radius": radius, "tip_radius": tip} | more)


@pytest.mark.parametrize("machine", sorted(shipped_machines()))
def test_a_round_over_is_twice_radius_and_tip_wide(machine: str) -> None:
    """D = 2 (R + r): geometry of a bit whose curve is a whole quarter circle."""
    for tool in read_machine(machine).tool:
        if tool.kind == "round-over":
            assert tool.diameter == pytest.approx(2 * ((tool.profile_radius or 0) + (tool.tip_radius or 0)), abs=0.001)
            full = (tool.profile_radius or 0) + tool.under_curve
            assert radius_over_tip(tool, full) == pytest.approx(tool.diameter / 2)


def test_a_catalogue_bit_with_a_bearing_has_those_proportions() -> None:
    """D = bearing + 2 R: D 19.0, bearing 12.7, R 3.2 as a bit maker's catalogue prints them (19.1 reckoned)."""
    bit = round_over(3.2, 12.7 / 2, pilot_diameter=12.7, pilot_length=8)
    assert bit.diameter == pytest.approx(19.0, abs=0.11)
    assert bit.under_curve == 8


def test_its_way_lies_the_tip_radius_from_the_wall_and_ends_at_radius_and_straight_part() -> None:
    last = form_layers(Round(6), round_over(6, 2, tip_length=1), 1.0)[-1]
    assert last == Layer(2, -7)


def test_what_it_takes_off_a_finished_wall_is_the_square_less_the_quarter_circle() -> None:
    """(1 - pi / 4) R2 L; a kerf so wide that the scrap beyond is not met."""
    tool = round_over(6.35, 3.175)
    taken = sum(sections(form_layers(Round(6.35), tool, 1.0), tool, 6.35, kerf=100))
    assert taken == pytest.approx((1 - pi / 4) * 6.35**2, rel=0.03)


@pytest.mark.parametrize(
    ("radius", "step", "height"),
    [(3.0, 0.5, 0.01043), (3.175, 0.635, 0.01591), (6.35, 1.27, 0.03183)],
)
def test_ridges_on_an_almost_flat_form_are_the_scallops_of_the_closed_form(
    radius: float, step: float, height: float
) -> None:
    """h = r - sqrt(r2 - (s / 2)2), angelfire.com/ks/mcguirk/stepformula.html; the three values reckoned by it."""
    assert radius - sqrt(radius**2 - (step / 2) ** 2) == pytest.approx(height, abs=1e-5)
    huge = 1e6
    assert ridge(huge, radius, step / huge) == pytest.approx(height, rel=1e-3)


@pytest.mark.parametrize("scallop", [0.02, 0.05, 0.2])
@pytest.mark.parametrize("form", [Round(6), Bevel(4, 30)])
def test_a_balls_levels_leave_no_higher_ridge_and_no_more_levels_than_needed(
    form: Round | Bevel, scallop: float
) -> None:
    """The ball's discs cut from a corner by shapely: what stands over the form, and nothing under it."""
    layers = stair_layers(form, 3.0, scallop)
    board = shapely.Polygon([(0, -20), (0, 0), (-20, 0), (-20, -20)])
    discs = [shapely.Point(layer.offset, layer.z + 3.0).buffer(3.0, quad_segs=256) for layer in layers]
    above = [shapely.box(layer.offset - 3, layer.z + 3, layer.offset + 3, 20) for layer in layers]
    left = board.difference(shapely.union_all([*discs, *above]))
    if isinstance(form, Round):
        corner = shapely.Point(-6, -6)
        tops = [p for p in shapely.get_coordinates(left) if p[0] > -6 + 0.3 and p[1] > -6 + 0.3]
        heights = [corner.distance(shapely.Point(p)) - 6 for p in tops]
    else:
        normal = (sqrt(3) / 2, 0.5)
        tops = [p for p in shapely.get_coordinates(left) if -4 + 0.2 < p[1] < -0.2 and p[0] > -4]
        heights = [p[0] * normal[0] + (p[1] + 4) * normal[1] for p in tops]
    assert -0.002 < min(heights)
    assert 0.3 * scallop < max(heights) < scallop + 0.002


@pytest.mark.parametrize("angle", [60.0, 90.0])
def test_a_v_bit_is_as_wide_as_twice_depth_and_half_tangent(angle: float) -> None:
    """w = 2 d tan(a / 2): geometry."""
    keys = KEYS | {"number": 1, "name": "v", "kind": "v-bit", "diameter": 20, "tip_angle_deg": angle}
    tool = Tool.model_validate(keys)
    for depth in (0.5, 2.0, 5.0):
        assert 2 * radius_over_tip(tool, depth) == pytest.approx(2 * depth * tan(radians(angle / 2)))


@pytest.mark.parametrize(("radius", "inset"), [(3.175, 0.930), (6.35, 1.860), (9.525, 2.790), (12.7, 3.720)])
def test_the_arc_lies_so_far_in_from_both_faces_at_45_degrees(radius: float, inset: float) -> None:
    """R (1 - cos 45): reckoned for the usual inch radii."""
    tool = round_over(radius, 2.0)
    height = radius - radius * (1 - sqrt(0.5))
    wide = radius_over_tip(tool, radius - inset)
    assert wide - 2.0 == pytest.approx(inset, abs=0.002)
    assert height == pytest.approx(radius - inset, abs=0.001)
