"""Floors and webs that zeros, table and thickness may take away: refused before any program, as the witness has it."""

from pathlib import Path

import pytest

from cncpanel.errors import ProblemsFound
from cncpanel.machine.read import read_machine
from cncpanel.make.choice import Choice
from cncpanel.make.flow import Made, make

JOB = """
[job]
name = "Thin"
machine = "{machine}"
[settings]
{settings}
[[stock]]
name = "board"
material = "mdf"
thickness = 18
sheet = [500, 300]
count = 1
[[panel]]
name = "lid"
stock = "board"
size = [200, 160]
{features}
"""
SUNK = "recess = [{ size = [60, 60], centre = [100, 80], depth = 8, radius = 6 }]\n"


def made(folder: Path, features: str, settings: str = "", machine: str = "shop-router") -> Made:
    path = folder / "thin.toml"
    path.write_text(JOB.format(machine=machine, settings=settings, features=features), encoding="utf-8")
    return make(path, Choice(), lambda _: None)


def told(folder: Path, features: str, settings: str = "", machine: str = "shop-router") -> list[str]:
    with pytest.raises(ProblemsFound) as raised:
        made(folder, features, settings, machine)
    return [problem.text for problem in raised.value.problems if not problem.warning]


def under(centre: tuple[float, float], depth: float) -> str:
    return f'hole = [{{ diameter = 20, centre = [{centre[0]}, {centre[1]}], depth = {depth}, face = "back" }}]\n'


def test_a_floor_within_the_machines_error_is_refused(tmp_path: Path) -> None:
    """Shop router: 0.1 of zero, 0.1 of table, 0.2 of thickness."""
    lowered = read_machine("shop-router").table.lowered
    assert lowered == pytest.approx(0.4)
    recess = "recess = [{{ size = [60, 60], centre = [100, 80], depth = {:g}, radius = 6 }}]\n"
    (text,) = told(tmp_path, recess.format(18 - lowered + 0.1), "least_floor = 0")
    assert text == (
        "panel lid: recess 1: a floor of 0.3 mm may be cut through: zero, table and thickness are out by up to 0.4 mm"
    )
    assert made(tmp_path, recess.format(18 - lowered - 0.05), "least_floor = 0").passed


def test_before_the_turn_a_floor_under_1_mm_is_none(tmp_path: Path) -> None:
    (text,) = told(tmp_path, SUNK + under((30, 30), 17.1), "least_floor = 0.5")
    assert text == (
        "panel lid: hole 1: a floor of 0.9 mm counts as cut through before the sheet is turned over, and nothing may "
        "come free then"
    )
    assert made(tmp_path, SUNK + under((30, 30), 17), "least_floor = 0.5").passed


@pytest.mark.parametrize("machine", ["shop-router", "nesting-router"])
def test_what_stays_between_both_faces_is_judged_at_worst(tmp_path: Path, machine: str) -> None:
    """Z on the sheet's top: thickness and both zeros; on the table: its flatness twice as well."""
    table = read_machine(machine).table
    out = table.thickness_spread + 2 * (table.z_error + (table.flatness if table.z_zero == "table" else 0.0))
    just = 18 - 8 - 2 - out
    (text,) = told(tmp_path, SUNK + under((100, 80), just + 0.05), machine=machine)
    assert text.startswith("panel lid: recess 1 and hole 1, from the other face, may leave no more than 1.95 mm")
    assert made(tmp_path, SUNK + under((100, 80), just - 0.05), machine=machine).passed


def test_what_a_sheet_off_its_place_brings_together_counts_too(tmp_path: Path) -> None:
    beside = 130 + 10 + 0.1  # the hole's rim 0.1 mm from the recess's, seen from above
    (text,) = told(tmp_path, SUNK + under((beside, 80), 9))
    assert "recess 1 and hole 1, from the other face, may leave no more than 0.7 mm between them" in text
    assert made(tmp_path, SUNK + under((beside + 2, 80), 9)).passed


def test_marks_and_rims_count_as_they_are_deep_there(tmp_path: Path) -> None:
    mark = (
        SUNK.replace("depth = 8", 'depth = 15.7, face = "back"')
        + 'mark = [{ text = "A", at = [95, 75], height = 20 }]\n'
    )
    (text,) = told(tmp_path, mark)
    assert text.startswith("panel lid: mark 1 and recess 1, from the other face, may leave no more than 1.5 mm")
    beside = 'recess = [{{ size = [60, 60], centre = [100, {}], depth = 13.5, radius = 6, face = "back" }}]\n'
    rim = "edge = [{{ round = 6 }}]\n" + beside
    (text,) = told(tmp_path, rim.format(31.5))
    assert text.startswith("panel lid: edge 1 of the outline and recess 1, from the other face, may leave no more than")
    assert made(tmp_path, rim.format(34)).passed  # 4 mm from the rim a rounding of 6 is 0.34 mm deep


def test_letters_that_no_copy_has_meet_nothing(tmp_path: Path) -> None:
    """A mirrored copy's L has its upright at its right; there are no mirrored copies here."""
    behind = 'recess = [{ size = [8, 40], centre = [76, 60], depth = 16, radius = 2, face = "back" }]\n'
    letter = 'mark = [{ text = "L", at = [40, 20], height = 60 }]\n'
    assert made(tmp_path, behind + letter).passed
    assert told(tmp_path, behind + 'mark = [{ text = " ", at = [20, 20], height = 60 }]\n') == [
        'panel "lid", mark[0]: its text is blank: there is nothing to cut'
    ]
    told(tmp_path, behind + letter + "copies = 0\nmirrored = 1\n")
