"""A job in inches is told in inches what tools, layout and paths refuse and warn of."""

import re
from pathlib import Path

import pytest

from cncpanel.errors import ProblemsFound
from cncpanel.make.choice import Choice
from cncpanel.make.flow import make

JOB = """
[job]
name = "Alms box"
units = "{unit}"
machine = "shop-router-inch"

[[stock]]
name = "mdf 19.05 mm"
material = "mdf"
thickness = "3/4 in"
sheet = ["30 in", "30 in"]
count = 1

[[panel]]
name = "front 5 mm"
stock = "mdf 19.05 mm"
size = ["10 in", "12 in"]
{feature}
"""
SCREW = 'hole = [{{ name = "screw", centre = ["2 in", "2 in"], diameter = "{diameter}" }}]'
PLATE = 'opening = [{ name = "plate", centre = ["5 in", "6 in"], size = ["2 in", "1 in"] }]'
BEHIND = (
    'opening = [{ name = "screen", centre = ["5 in", "6 in"], size = ["6 in", "4 in"], radius = "1/4 in" }]\n'
    'recess = [{ name = "frame", centre = ["5 in", "6 in"], size = ["7 in", "5 in"], radius = "1/4 in", '
    'island = [{ diameter = "0.66 in", centre = ["2 in", "6 in"] }], depth = "1/4 in", face = "back" }]'
)  # the island leaves the rim one place, too small for a tab


def told(folder: Path, unit: str, feature: str) -> str:
    """Everything that a run says of the job's panels, without file, line and key."""
    path = folder / "job.toml"
    path.write_text(JOB.format(unit=unit, feature=feature), encoding="utf-8")
    try:
        found = make(path, Choice(), lambda _: None).gathering.found
    except ProblemsFound as error:
        found = list(error.problems)
    return "\n".join(f"{one.text} ({one.allowed})" for one in found if one.place.key.startswith("panel"))


@pytest.mark.parametrize(
    ("unit", "least", "hole", "flutes"),
    [("inch", "0.1875 in", "0.125 in", "0.5 in"), ("mm", "4.763 mm", "3.175 mm", "12.7 mm")],
)
def test_why_no_tool_fits_a_hole(tmp_path: Path, unit: str, least: str, hole: str, flutes: str) -> None:
    said = told(tmp_path, unit, SCREW.format(diameter="1/8 in"))
    assert said.startswith("panel front 5 mm: screw: no tool fits (T1 1/4 in up-cut: too wide, it bores holes from ")
    assert f"T2 5/32 in long up-cut: too wide, it bores holes from {least}, this one is {hole};" in said
    assert f"T3 1/8 in up-cut: its flutes are {flutes} long, " in said


def test_a_hole_of_three_sixteenths_is_bored_by_the_five_thirty_seconds_bit(tmp_path: Path) -> None:
    assert told(tmp_path, "inch", SCREW.format(diameter="3/16 in")) == ""


def test_where_a_tool_leaves_corners(tmp_path: Path) -> None:
    said = told(tmp_path, "inch", PLATE)
    assert said.startswith("panel front 5 mm: plate: T")
    assert re.search(r" cannot reach 4 spots: \(4\.0\d+ in, 5\.5\d+ in\) 0\.187\d in, \(", said)
    assert " mm" not in said.replace("front 5 mm", "")


def test_which_piece_of_scrap_no_tab_holds(tmp_path: Path) -> None:
    said = told(tmp_path, "inch", BEHIND)
    assert said.startswith(
        "a piece of scrap, 5.2362 x 3.2283 in at (5.3937 in, 6.378 in) on the sheet, would come free"
    )
    assert " mm" not in said
