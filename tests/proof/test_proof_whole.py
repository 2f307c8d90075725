"""Findings that need more than one line of a program: an undercut torn, a floor too thin at worst, no end to moves."""

import pytest
from proof_scene import good_text, judge, machine, scene_target

from cncpanel.machine.model import Machine
from cncpanel.machine.tool import Tool
from cncpanel.proof import program, reader
from cncpanel.proof.setup import Setup

SLOT_CUTTER = {
    "number": 5,
    "name": "slot",
    "kind": "slot-cutter",
    "diameter": 12,
    "neck_diameter": 4,
    "flutes": 2,
    "cutting_length": 3,
    "stick_out": 30,
    "nut_diameter": 30,
    "shank_diameter": 6,
    "plunges": False,
    "rpm_max": 24000,
}
SLOT = """G17 G21 G40 G54 G80 G90 G94
G61
G53 G0 Z0
G0 X0 Y190
(MSG,FIT T5 SLOT)
M0
G53 G0 Z0
M3 S12000
G4 P3
G0 X-10 Y20
G0 Z-8
G1 X60 F600
{out}
G53 G0 Z0
M5
G0 X0 Y190
M30
"""


def with_slot_cutter() -> Machine:
    on = machine()
    return on.model_copy(update={"tool": (*on.tool, Tool.model_validate(SLOT_CUTTER))})


@pytest.mark.parametrize(("out", "torn"), [("G1 Z5", [13]), ("G1 X-10\nG1 Z5", []), ("G1 X50 Z-7", [13])])
def test_a_slot_cutter_that_goes_up_inside_its_slot_is_told(out: str, torn: list[int]) -> None:
    report = judge(SLOT.format(out=out), scene_target().untouched(), on=with_slot_cutter())
    assert torn == [found.line for found in report.findings if found.kind.startswith("undercut")][: len(torn) or None]


def test_a_floor_thinner_than_zero_and_sheet_may_be_out_is_told() -> None:
    """0.05 of the zero, 0.1 of the table and 0.1 of the sheet, which is 0.2 over the underside here."""
    deep = {"size": (40, 30), "at": (20, 15), "radius": 4, "depth": 17.8}
    found = [one for one in judge(good_text(), scene_target(recess=[deep])).findings if one.kind == "floor-at-worst"]
    assert [(0.2, 0.25)] == [(round(one.measure or 0, 6), round(one.limit or 0, 6)) for one in found]


def test_what_a_short_program_makes_of_itself_has_an_end(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(reader, "MOST_MOVES", 1000)
    cycles = "G91 G81 X1 Z-1 R1 L300 F100\n" * 5
    text = f"G21 G90 G17 G94\nG0 X0 Y0 Z5\nM3 S1000\n{cycles}M2\n"
    read = reader.read(text)
    assert ["too-long"] == [one.kind for one in read.findings if one.kind == "too-long"]
    assert 1000 == len(read.moves) + len(read.events)


def test_the_end_holds_for_all_programs_of_a_sheet_together(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(program, "MOST_MOVES", 100)
    text = "G21 G90 G17 G94\nG0 X0 Y0 Z5\n" + "X1\nX0\n" * 30 + "M2\n"
    read = program.read_programs([("a", text), ("b", text), ("c", text)], Setup(machine(), 18.0))
    assert [62, 38, 1] == [len(one.reading.moves) + len(one.reading.events) for one in read]
    assert [0, 1, 1] == [sum(found.kind == "too-long" for found in one.reading.findings) for one in read]


def test_the_report_says_how_closely_it_compared() -> None:
    report = judge(good_text())
    assert ["walls and floors", "depths"] == [one.split(" of ")[0] for one in report.tolerances]
    assert 0.5 == report.numbers["cell_mm"]
    assert (0.0, 0.0) == (report.numbers["gouge_most_mm"], report.numbers["leftover_most_mm"])
