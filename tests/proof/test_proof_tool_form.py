"""Outlines of racked tools against their closed forms: triangles and quarter circles."""

from math import inf, isinf, radians, sqrt, tan

import numpy as np
import pytest

from cncpanel.machine.tool import Tool
from cncpanel.proof.profile import radius_at, tip_height
from cncpanel.proof.tool_form import form_of


def racked(kind: str, diameter: float, **more: float) -> Tool:
    shape = {"number": 1, "name": "tool", "kind": kind, "diameter": diameter, "flutes": 2, "plunges": False, **more}
    return Tool.model_validate(
        {"cutting_length": 20, "stick_out": 30, "nut_diameter": 30, "shank_diameter": 8, **shape}
    )


SHARP = racked("v-bit", 12, tip_angle_deg=60)
BLUNT = racked("v-bit", 12, tip_angle_deg=60, tip_radius=0.5)
DRILL = racked("drill", 5, tip_angle_deg=118, rpm_max=7000, plunges=True)
BALL = racked("ball", 6)
CORE = racked("core-box", 12, profile_radius=2)
FLARE = racked("round-over", 22, profile_radius=6, tip_radius=5, tip_length=1)
FLAT = racked("up-cut", 6, measured_diameter=5.9)
DISC = racked("slot-cutter", 20, cutting_length=4, neck_diameter=8)

# a tool, a height over its tip, its radius there
WIDTHS = [
    (SHARP, 0.0, 0.0),
    (SHARP, 3.0, 3 * tan(radians(30))),
    (SHARP, 50.0, 6.0),
    (BLUNT, 0.0, 0.5),
    (BLUNT, 3.0, 0.5 + 3 * tan(radians(30))),
    (DRILL, 1.0, tan(radians(59))),
    (BALL, 1.0, sqrt(9 - 4)),
    (BALL, 9.0, 3.0),
    (CORE, 0.0, 4.0),
    (CORE, 0.4, 4 + sqrt(4 - 1.6**2)),
    (CORE, 2.0, 6.0),
    (FLARE, 0.0, 5.0),
    (FLARE, 1.0, 5.0),
    (FLARE, 4.6, 5 + 6 - sqrt(36 - 3.6**2)),
    (FLARE, 7.0, 11.0),
    (FLAT, 0.0, 2.95),
    (FLAT, 9.0, 2.95),
    (DISC, 2.0, 10.0),
]


@pytest.mark.parametrize(("tool", "height", "radius"), WIDTHS, ids=lambda one: getattr(one, "kind", one))
def test_a_tool_is_as_wide_at_a_height_as_its_closed_form(tool: Tool, height: float, radius: float) -> None:
    assert radius == pytest.approx(float(form_of(tool).reaches(np.array(height))), abs=1e-12)
    assert radius == pytest.approx(radius_at(tool, height), abs=1e-12)
    assert radius_at(tool, -0.1) == 0.0


@pytest.mark.parametrize(("tool", "height", "radius"), WIDTHS, ids=lambda one: getattr(one, "kind", one))
def test_the_outline_is_as_high_at_that_radius(tool: Tool, height: float, radius: float) -> None:
    outline = form_of(tool).heights(np.array([radius, tool.radius + 1e-6]))
    if 0 < radius < tool.radius and height != 1.0:  # upright parts have no one height
        assert height == pytest.approx(float(outline[0]), abs=1e-12)
    assert isinf(outline[1])


@pytest.mark.parametrize(
    ("tool", "height"),
    [(SHARP, 6 / tan(radians(30))), (BLUNT, 5.5 / tan(radians(30))), (BALL, 3), (CORE, 2), (FLARE, 7), (FLAT, 0)],
    ids=lambda one: getattr(one, "kind", one),
)
def test_the_full_radius_begins_at_the_tips_height(tool: Tool, height: float) -> None:
    assert height == pytest.approx(tip_height(tool), abs=1e-12)


def test_a_disc_undercuts_and_clears_its_necks_width_to_the_open_air() -> None:
    form = form_of(DISC)
    assert (form.undercuts, form.disc_height, form.neck) == (True, 4, 4)
    assert float(form.through_neck.reaches(np.array(9.0))) == 4
    assert not form_of(FLAT).undercuts
    assert inf == form_of(FLAT).heights(np.array(3.0))


def test_only_a_round_overs_outline_is_hollow() -> None:
    assert [form_of(tool).is_convex for tool in (SHARP, DRILL, BALL, CORE, FLAT, FLARE)] == [True] * 5 + [False]
