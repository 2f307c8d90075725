"""Bevels, ball steps, openings, named corners and inch machines: made through every layer, and clean to the witness."""

from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest

from cncpanel.errors import ProblemsFound
from cncpanel.make.choice import Choice
from cncpanel.make.flow import Made, make
from cncpanel.operation.operation import EdgeCut

HEAD = """
[job]
name = "rims"
machine = "{machine}"
units = "{unit}"

[settings]
packing = {{ steps = 0 }}

[[stock]]
name = "board"
material = "mdf"
thickness = "18 mm"
sheet = ["500 mm", "300 mm"]
count = 1
"""
BRACKET = """
[[panel]]
name = "bracket"
stock = "board"
outline = [
    { to = [0, 0], name = "heel" }, [160, 0], { to = [160, 60], name = "nose" }, { to = [70, 60], radius = 20 },
    { to = [70, 120], name = "tip" }, [0, 120],
]
edge = [EDGES]
"""
INCHES = """
[[panel]]
name = "plate"
stock = "board"
size = [5, 4]
opening = [{ name = "eye", diameter = 1.75, centre = [2, 2], edge = [{ bevel_deg = 45, width = "1/8" }] }]
edge = [{ side = "bottom", round = "1/4" }, { side = "top", start = 1, stop = 4, round = "3/16" }]
"""


@cache
def made(panels: str, machine: str = "shop-router", unit: str = "mm") -> Made:
    with TemporaryDirectory() as folder:
        path = Path(folder) / "rims.toml"
        path.write_text(HEAD.format(machine=machine, unit=unit) + panels, encoding="utf-8")
        return make(path, Choice(), lambda _: None)


def wrong(job: Made) -> list[str]:
    return [str(f) for sheet in job.sheets for f in sheet.report.findings if f.severity != "remark"]


def cuts(job: Made) -> list[EdgeCut]:
    return [one for plan in job.plans for one in plan.operations if isinstance(one, EdgeCut)]


@pytest.mark.parametrize(
    ("edge", "tool"),
    [
        ('{ between = ["nose", "tip"], round = 6 }', "6 mm round-over"),
        ('{ between = ["tip", "heel"], round = 3 }', "3 mm round-over"),
        ("{ edges = [0], bevel_deg = 45, depth = 3, start = 30, stop = 120 }", "90 degree v-bit"),
        ("{ edges = [0], round = 4 }", "6 mm ball"),
        ("{ edges = [1, 0], bevel_deg = 20, depth = 5 }", "6 mm ball"),
        ("{ bevel_deg = 45, width = 4 }", "90 degree v-bit"),
        ("{ round = 2 }", "6 mm ball"),
    ],
)
def test_the_tool_that_has_the_form_makes_the_edge_else_a_ball_in_steps(edge: str, tool: str) -> None:
    job = made(BRACKET.replace("EDGES", edge))
    assert [cut.tool.name for cut in cuts(job)] == [tool]
    assert wrong(job) == []


def test_an_inch_machine_rounds_bevels_and_steps() -> None:
    job = made(INCHES, "shop-router-inch", "inch")
    assert {cut.tool.name for cut in cuts(job)} == {"1/4 in round-over", "1/4 in ball", "90 degree v-bit"}
    assert wrong(job) == []


def test_a_stretch_that_tapers_out_at_an_inside_corner_leaves_the_other_wall_alone() -> None:
    sharp = BRACKET.replace("radius = 20", "radius = 0")
    assert wrong(made(sharp.replace("EDGES", "{ edges = [2], run_out = 20, round = 6 }"))) == []


@pytest.mark.slow
def test_a_cone_tapers_out_beside_a_fillet_and_leaves_the_fillet_alone() -> None:
    plate = BRACKET[: BRACKET.index("outline")] + "size = [160, 110]\nradius = 15\n"
    assert wrong(made(plate + 'edge = [{ side = "top", bevel_deg = 30, depth = 3, run_out = 12 }]\n')) == []


def test_a_wall_across_a_narrow_notch_is_a_problem_with_its_place() -> None:
    notched = """
[[panel]]
name = "comb"
stock = "board"
outline = [[0, 0], [60, 0], [60, 50], [69, 50], [69, 0], [160, 0], [160, 90], [0, 90]]
edge = [{ edges = [1], round = 6 }]
"""
    with pytest.raises(ProblemsFound) as raised:
        made(notched)
    problem = raised.value.problems[-1]
    assert problem.place.key == "panel[0].edge[0]"
    assert "comb, edge 1: T8 6 mm round-over would cut another wall of the part at" in problem.text


def test_both_hands_cut_from_the_back_on_a_slow_machine() -> None:
    hands = """
[[panel]]
name = "hand"
stock = "board"
face = "back"
mirrored = 1
outline = [[0, 0], [0, 70], { to = [90, 70], name = "a" }, { to = [120, 0], name = "b" }]
opening = [
    { name = "eye", size = [40, 20], radius = 4, at = [20, 20], edge = [{ side = "top", round = 3, faces = "back" }] },
]
edge = [{ between = ["b", "a"], bevel_deg = 45, depth = 2, faces = "back" }]
"""
    assert wrong(made(hands, "desktop-router")) == []
