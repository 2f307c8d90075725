"""Recesses as narrow as a tool are cut, narrower ones refused, wherever an open end would let one touch them."""

from pathlib import Path

import pytest

from cncpanel.errors import ProblemsFound
from cncpanel.make.choice import Choice
from cncpanel.make.flow import make

JOB = """
[job]
name = "Narrow"
machine = "shop-router"
[[stock]]
name = "mdf"
material = "mdf"
thickness = 18
sheet = [600, 400]
count = 1
[[panel]]
name = "p"
stock = "mdf"
size = [88, 55]
"""


def told(folder: Path, feature: str) -> str:
    path = folder / "narrow.toml"
    path.write_text(JOB + feature, encoding="utf-8")
    with pytest.raises(ProblemsFound) as raised:
        make(path, Choice(), lambda _: None)
    (problem,) = [problem for problem in raised.value.problems if not problem.warning]
    return str(problem)


@pytest.mark.parametrize("end", [[0, 30], [0, 20], [0, 2.9]])
def test_a_groove_narrower_than_every_tool_is_refused_where_it_runs_out_over_the_rim(
    end: list[float], tmp_path: Path
) -> None:
    text = told(tmp_path, f"groove = [{{depth = 1, width = 2.8, path = [[69, 30], {end}]}}]\n")
    assert "panel p: groove 1: no tool fits (" in text
    assert "T3 3 mm up-cut: 3 mm reaches hardly any of it" in text


def test_a_slanting_recess_is_told_by_its_own_width_not_by_that_of_its_box(tmp_path: Path) -> None:
    text = told(tmp_path, "recess = [{depth = 1, size = [50, 2.5], centre = [44, 27], turn_deg = 30}]\n")
    assert "T3 3 mm up-cut: 3 mm does not go into 2.50 mm" in text


@pytest.mark.parametrize(
    "feature",
    [
        'groove = [{depth = 1, width = 3, path = [[10, 20], [60, 30]], ends = "round"}]',
        'groove = [{depth = 1, width = 3, path = [[10, 20], [88, 20]], ends = ["round", "open"]}]',
        "recess = [{depth = 1, size = [50, 3], centre = [44, 27], radius = 1.5, turn_deg = 20}]",
        "opening = [{size = [50, 6], centre = [44, 27], radius = 3}]",
    ],
)
def test_what_is_as_wide_as_a_tool_is_cut_along_its_middle(feature: str, tmp_path: Path) -> None:
    path = tmp_path / "snug.toml"
    path.write_text(JOB + feature, encoding="utf-8")
    made = make(path, Choice(), lambda _: None)
    assert made.passed
    assert made.read.warnings == ()
    widths = {run.tool.cut_diameter for run in made.sheets[0].runs.runs if run.feature not in ("outline", "waste")}
    assert widths == {6.0 if feature.startswith("opening") else 3.0}


@pytest.mark.parametrize("recess", ["size = [40, 5], at = [24, 35]", "size = [14, 2], at = [37, 35]"])
def test_a_recess_that_ends_at_an_opening_is_cut_from_over_it(recess: str, tmp_path: Path) -> None:
    """A round tool over the opening comes into the corners between both, where the witness looks."""
    path = tmp_path / "ledge.toml"
    path.write_text(f"{JOB}opening = [{{size = [60, 20], at = [14, 15]}}]\nrecess = [{{depth = 5, {recess}}}]\n")
    made = make(path, Choice(), lambda _: None)
    assert made.passed
