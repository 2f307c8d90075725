"""How recesses are cleared as a job asks: floors in two, straight lines, proven by the witness."""

from itertools import pairwise
from pathlib import Path

import pytest

from cncpanel.make.choice import Choice
from cncpanel.make.flow import Made, make

LOADS = {"power", "chip-load", "engagement", "leftover"}
JOB = """\
[job]
name = "Dish"
machine = "nesting-router"
[settings]
{settings}
[[stock]]
name = "ply"
material = "plywood"
thickness = 18
measured = [17.9, 18.1]
sheet = [420, 320]
count = 1
margin = 20
[[panel]]
name = "dish"
stock = "ply"
size = [240, 160]
[[panel.recess]]
name = "well"
size = [180, 100]
centre = [120, 80]
radius = 8
depth = 9
{recess}
island = [{{ diameter = 30, centre = [140, 80] }}]
[[panel.groove]]
name = "slit"
path = [[20, 145], [200, 145]]
width = 6
depth = 5
"""


def made(folder: Path, settings: str = "", recess: str = "") -> Made:
    path = folder / "dish.toml"
    path.write_text(JOB.format(settings=settings, recess=recess), encoding="utf-8")
    return make(path, Choice(), lambda _: None)


def flats(one: Made, feature: str) -> list[float]:
    """The heights at which the feature's runs go level, in the order in which they come first."""
    heights = [step.z for run in one.sheets[0].runs.runs if run.feature == feature for step in run.steps]
    return list(dict.fromkeys(round(z, 6) for z, after in pairwise(heights) if z == after))


@pytest.mark.parametrize("feature", ["well", "slit"])
def test_floors_are_taken_in_a_last_light_pass_that_the_witness_passes(tmp_path: Path, feature: str) -> None:
    one = made(tmp_path, "floor_allowance = 0.3")
    floor = {"well": -9.0, "slit": -5.0}[feature]
    assert flats(one, feature)[-2:] == [floor + 0.3, floor]
    assert one.passed
    assert {f.kind for f in one.sheets[0].report.findings} & LOADS == set()


def test_a_well_is_cleared_in_lines_along_the_sheet_round_its_island_and_the_witness_passes(tmp_path: Path) -> None:
    one = made(tmp_path, recess='lines = "along"')
    runs = [run for run in one.sheets[0].runs.runs if run.feature == "well"]
    pairs = [pair for run in runs for pair in pairwise(run.steps)]
    level = {round(b.y, 3) for a, b in pairs if abs(b.y - a.y) < 1e-6 and abs(b.x - a.x) > 60}
    assert len(level) > 10
    assert one.passed
    assert {f.kind for f in one.sheets[0].report.findings} & LOADS == set()
