"""Tabs stand on the sheet's underside, and nowhere that the first set-up drilled, bored or engraved it."""

from collections.abc import Iterable
from pathlib import Path

import pytest

from cncpanel.machine.read import shipped_machines
from cncpanel.make.choice import Choice
from cncpanel.make.flow import Made, make

LID = """
[job]
name = "Lid"
machine = "{machine}"
[settings]
tab_width = {width}
[[stock]]
name = "mdf"
material = "mdf"
thickness = 18
sheet = [320, 220]
count = 1
margin = 25
[[panel]]
name = "lid"
stock = "mdf"
size = [90, 70]
{features}
"""


def holes(places: Iterable[tuple[float, float]], diameter: float) -> str:
    return "".join(
        f'[[panel.hole]]\ncentre = [{x}, {y}]\ndiameter = {diameter}\ndepth = 9\nface = "back"\n' for x, y in places
    )


# beside both long rims, and the short ones but for the room of a tab or two
DRILLED = holes([*((x, y) for x in range(5, 90, 10) for y in (5, 65)), *((x, y) for x in (5, 85) for y in (20, 35))], 5)
BORED = holes([*((x, y) for x in range(9, 90, 18) for y in (9, 61)), (9, 27), (81, 43)], 12)
MARKED = "".join(
    f'[[panel.mark]]\ntext = "HHHHHH"\nat = [6, {y}]\nheight = 8\nface = "back"\n' for y in (4, 58)
)  # letters over all of both long rims


def made_of(folder: Path, features: str, machine: str = "shop-router", width: float = 8) -> Made:
    path = folder / "lid.toml"
    path.write_text(LID.format(machine=machine, width=width, features=features), encoding="utf-8")
    return make(path, Choice(), lambda _: None)


@pytest.mark.parametrize("features", [DRILLED, BORED, MARKED], ids=["drilled", "bored", "marked"])
def test_no_tab_stands_where_the_other_face_is_cut_beneath(features: str, tmp_path: Path) -> None:
    made = made_of(tmp_path, features)
    assert made.sheets[0].before is not None
    assert made.passed
    assert len(made.sheets[0].runs.tabs) >= 2


def test_narrow_tabs_keep_off_what_a_sheet_off_its_place_brings_beneath_them(tmp_path: Path) -> None:
    """The turned sheet may lie 3 mm off, a tab of 2 mm keeps 2 mm away by its width."""
    text = shipped_machines()["shop-router"].read_text(encoding="utf-8")
    machine = tmp_path / "loose.toml"
    machine.write_text(text.replace("error = 0.3", "error = 3"), encoding="utf-8")
    made = made_of(tmp_path, holes([(x, y) for x in range(9, 90, 9) for y in (6, 64)], 5), "loose.toml", 2)
    assert made.machine.turning.error == 3
    assert made.passed


def test_an_opening_over_a_blind_hole_of_the_other_face_is_cleared_whole(tmp_path: Path) -> None:
    made = made_of(
        tmp_path,
        "opening = [{diameter = 56, centre = [45, 35]}]\n" + holes([(45, 35)], 60),
    )
    assert made.passed
    assert not any(tab.feature == "opening 1" for tab in made.sheets[0].runs.tabs)
