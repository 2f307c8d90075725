"""Chip, power and engagement from what is really taken: a slot's figures by hand, limits put just under and over."""

import pytest
from proof_scene import Circumstances, good_text, machine, prove, scene_target

from cncpanel.machine.model import Machine
from cncpanel.proof.carved import carved
from cncpanel.proof.finding import Finding
from cncpanel.proof.load import Allowed, CuttingLimits, Stretch, stretches
from cncpanel.proof.material import Placed
from cncpanel.proof.reader import read
from cncpanel.proof.rough_stock import blank
from cncpanel.proof.setup import Setup

SLOT = """G17 G21 G90 G94 G54 G80 G40
(TOOL T1 6 MM)
G53 G0 Z0
M3 S10000
G0 X20 Y50
G0 Z1
G1 Z-3 F300
G1 X80 F1200
G1 Y54
G1 X20
G0 Z20
M30
"""  # 6 mm wide and 3 deep; then back beside it, 4 mm wide


def placed(text: str) -> list[Placed]:
    setup = Setup(machine(), 18.0)
    return [Placed("slot", move, 0) for move in read(text, setup.control).moves]


def slot() -> dict[int, Stretch]:
    """By line."""
    on = machine()
    found = stretches(carved(placed(SLOT), blank((300.0, 200.0), 18.0, on).sheet, Setup(on, 18.0)))
    return {stretch.placed.move.line: stretch for stretch in found}


def test_a_slots_removal_rate_is_width_by_depth_by_feed() -> None:
    """6 mm by 3 mm by 1200 mm/min is 360 mm3/s; the plunge has taken a tool's radius of it."""
    stretch = slot()[8]
    assert pytest.approx(360, rel=0.02) == stretch.rate
    assert pytest.approx(18, rel=0.02) == stretch.section


def test_a_neighbouring_way_takes_what_is_left_of_its_width() -> None:
    """4 mm of 6 by 3 deep."""
    assert pytest.approx(12, rel=0.08) == slot()[10].section


def test_a_chip_is_the_advance_of_a_tooth() -> None:
    """1200 mm/min over 10000 turns of two teeth: 0.06 mm, in a cut wider than half the tool."""
    tool = Setup(machine(), 18.0).tools[1]
    assert pytest.approx(0.06) == slot()[8].chip(tool, 10000)


def findings(limits: CuttingLimits, on: Machine | None = None, text: str = SLOT) -> list[Finding]:
    on = on or machine()
    report = prove([("slot", text)], on, blank((300.0, 200.0), 18.0, on), circumstances=Circumstances(limits=limits))
    return [finding for finding in report.findings if finding.kind in ("power", "chip-load", "engagement")]


def test_power_past_the_spindles_is_found_at_its_line() -> None:
    """360 mm3/s at 35 N/mm2 is 12.6 W."""
    weak = machine(spindle={"power": 10})
    (finding,) = [f for f in findings(CuttingLimits(specific_force=35), weak) if f.line == 8]
    assert ("power", pytest.approx(12.6, rel=0.02), 10) == (finding.kind, finding.measure, finding.limit)
    assert [] == findings(CuttingLimits(specific_force=35), machine(spindle={"power": 12}))


def test_a_chip_past_the_tables_is_found() -> None:
    thick = findings(CuttingLimits(specific_force=35, chip_most={1: 0.05}))
    assert {("chip-load", 8), ("chip-load", 10)} <= {(finding.kind, finding.line) for finding in thick}
    assert [] == findings(CuttingLimits(specific_force=35, chip_most={1: 0.055}))


def test_more_material_than_the_feed_was_given_for_is_a_remark_at_the_worst_place() -> None:
    given = (Allowed(tool=1, feed=1200, section=12.5), Allowed(tool=1, feed=600, section=18))
    (finding,) = findings(CuttingLimits(specific_force=35, allowed=given))
    assert ("engagement", "remark", 8) == (finding.kind, finding.severity, finding.line)
    slower = SLOT.replace("X80 F1200", "X80 F600").replace("G1 X20\n", "G1 X20 F1200\n")
    assert [] == findings(CuttingLimits(specific_force=35, allowed=given), text=slower)


def test_the_good_program_asks_too_much_of_nothing() -> None:
    limits = CuttingLimits(specific_force=35, chip_most={1: 0.2, 3: 0.1})
    report = prove([("plate", good_text())], machine(), scene_target(), circumstances=Circumstances(limits=limits))
    assert () == report.findings
