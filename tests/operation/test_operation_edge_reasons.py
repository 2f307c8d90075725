"""Why a ball makes an edge: what keeps the tools that have its form from it."""

from pathlib import Path

import pytest

from cncpanel.make.choice import Choice
from cncpanel.make.flow import prepare
from cncpanel.operation.operation import EdgeCut

MACHINES = Path(__file__).parents[2] / "machines"
JOB = """
[job]
name = "Bearing"
machine = "bearing.toml"
[settings]
packing = { steps = 0 }
[[stock]]
name = "mdf"
material = "mdf"
thickness = 18
measured = [17.9, 18.1]
sheet = [300, 200]
count = 1
[[panel]]
name = "plate"
stock = "mdf"
size = [200, 120]
edge = [{ round = RADIUS }]
"""


def edge(folder: Path, bearing: float, radius: float = 6) -> EdgeCut:
    """The plate's edge; the rack's round-over of 6 mm has a bearing so long."""
    name, tip = (
        'name = "shop-router"',
        "tip_radius = 2         # half the flat at the small end, from the tool itself\n",
    )
    rack = (MACHINES / "shop-router.toml").read_text(encoding="utf-8")
    before, kind, after = rack.partition('name = "6 mm round-over"')
    after = after.replace("cutting_length = 8 ", f"cutting_length = {6 + bearing} ", 1)
    after = after.replace(tip, f"pilot_diameter = 4\npilot_length = {bearing}\n{tip}", 1)
    text = before.replace(name, 'name = "bearing"') + kind + after
    (folder / "bearing.toml").write_text(text, encoding="utf-8")
    path = folder / "job.toml"
    path.write_text(JOB.replace("RADIUS", f"{radius:g}"), encoding="utf-8")
    (plan,) = prepare(path, Choice(), lambda _: None).plans
    (found,) = [one for one in plan.operations if isinstance(one, EdgeCut)]
    return found


def test_a_bearing_that_ends_over_the_tabs_goes_along(tmp_path: Path) -> None:
    found = edge(tmp_path, bearing=4)
    assert found.tool.name == "6 mm round-over"
    assert found.depth == pytest.approx(6 + 4)


def test_a_bearing_that_would_strike_the_tabs_is_told_beside_the_ball(tmp_path: Path) -> None:
    """Under the face: 14 mm of bearing and the radius; tabs of 2 mm in the thinnest reading, 17.9."""
    found = edge(tmp_path, bearing=14)
    assert found.tool.kind == "ball"
    assert found.why.endswith(
        "ridges of 0.05 mm at most (T8 6 mm round-over: its end goes 20.00 mm deep and would strike the tabs, whose "
        "tops are 15.90 mm under the face)"
    )


def test_tools_of_another_radius_are_not_spoken_of(tmp_path: Path) -> None:
    found = edge(tmp_path, bearing=4, radius=5)
    assert found.tool.kind == "ball"
    assert found.why.endswith("ridges of 0.05 mm at most")
