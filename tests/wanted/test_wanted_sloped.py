"""Sloped tabs before the witness: it lets their slopes stand and nothing beyond."""

from dataclasses import replace
from pathlib import Path

import pytest

from cncpanel import wanted
from cncpanel.errors import Gathering
from cncpanel.job.read import read_job
from cncpanel.layout.place import lay_out
from cncpanel.machine.read import read_machine
from cncpanel.operation.plan import plan
from cncpanel.output.rs274 import program_text
from cncpanel.panel.resolve import resolve
from cncpanel.passes.sheet import sheet_runs
from cncpanel.proof.prove import prove
from cncpanel.proof.report import Report
from cncpanel.sequence.sheet import sheet_programs

JOB = """
[job]
name = "slopes"
machine = "MACHINE"

[settings]
tab_shape = "sloped"
hold = "HOLD"

[[stock]]
name = "board"
material = "mdf"
thickness = 12
measured = [11.9, 12.1]
sheet = [600, 400]
count = 1

[[panel]]
name = "lid"
stock = "board"
outline = [[0, 0], [260, 0], [260, 160], [180, 240], [0, 240]]

[[panel.opening]]
name = "window"
size = [150, 90]
radius = 10
at = [40, 40]

[[panel]]
name = "key"
stock = "board"
size = [30, 25]

[[panel]]
name = "plate"
stock = "board"
size = [94, 65]

"""


def report(tmp_path: Path, name: str = "shop-router", hold: str = "tabs", **declared: object) -> Report:
    """The witness's word on the job's programs, its tabs declared otherwise than they were cut."""
    path = tmp_path / "slopes.toml"
    path.write_text(JOB.replace("MACHINE", name).replace("HOLD", hold), encoding="utf-8")
    gathering = Gathering()
    read, machine = read_job(path, gathering), read_machine(name)
    panels = resolve(read, gathering)
    plans = plan(panels, machine, read.job.settings, gathering)
    (sheet,) = lay_out(panels, 12.0, gathering).sheets
    runs = sheet_runs(sheet, {p.panel.index: p for p in plans}, machine, read.job.settings, gathering)
    programs = sheet_programs(sheet, runs, machine, read.job.job, gathering)
    assert gathering.problems == ()
    assert sum(tab.flank_deg == machine.cutting.ramp_deg for tab in runs.tabs) >= 1
    tabs = [replace(tab, **declared) if tab.flank_deg else tab for tab in runs.tabs]  # type: ignore[arg-type]
    spots = [spot for p in plans for spot in p.spots]
    target = wanted.target(read, sheet, machine, tabs, spots)
    return prove([(program.name, program_text(program, machine)) for program in programs], machine, target)


SLOW = pytest.mark.slow


@pytest.mark.parametrize(
    ("name", "hold"),
    [
        ("shop-router", "tabs"),
        ("shop-router-inch", "skin"),
        pytest.param("shop-router-inch", "tabs", marks=SLOW),
        pytest.param("shop-router", "skin", marks=SLOW),
        pytest.param("desktop-router", "tabs", marks=SLOW),
    ],
)
def test_sloped_tabs_pass(name: str, hold: str, tmp_path: Path) -> None:
    found = report(tmp_path, name, hold).findings
    assert [str(finding) for finding in found if finding.severity != "remark"] == []


@pytest.mark.parametrize("deg", [None, 5.5])
def test_slopes_that_reach_farther_than_declared_are_left_standing(deg: float | None, tmp_path: Path) -> None:
    assert {finding.kind for finding in report(tmp_path, flank_deg=deg).findings} == {"leftover"}


def test_a_core_wider_than_was_left_is_thin(tmp_path: Path) -> None:
    assert "tab-thin" in {finding.kind for finding in report(tmp_path, width=9.0).findings}
