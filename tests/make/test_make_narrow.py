"""A recess that no tool goes into is refused, wherever its open end would let one touch it."""

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
