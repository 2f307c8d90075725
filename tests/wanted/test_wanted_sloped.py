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
machine = "shop-router"

[settings]
tab_shape = "sloped"

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
copies = 2

[[panel.opening]]
name = "window"
size = [150, 90]
radius = 10
at = [40, 40]
"""


def report(tmp_path: Path, **declared: object) -> Report:
    """The witness's word on the job's programs, its tabs declared otherwise than they were cut."""
    path = tmp_path / "slopes.toml"
    path.write_text(JOB, encoding="utf-8")
    gathering = Gathering()
    read, machine = read_job(path, gathering), read_machine("shop-router")
    panels = resolve(read, gathering)
    plans = plan(panels, machine, read.job.settings, gathering)
    (sheet,) = lay_out(panels, 12.0, gathering).sheets
    runs = sheet_runs(sheet, {p.panel.index: p for p in plans}, machine, read.job.settings, gathering)
    programs = sheet_programs(sheet, runs, machine, read.job.job, gathering)
    assert gathering.problems == ()
    assert sum(tab.flank_deg == 5 for tab in runs.tabs) >= 6
    tabs = [replace(tab, **declared) if tab.flank_deg else tab for tab in runs.tabs]  # type: ignore[arg-type]
    spots = [spot for p in plans for spot in p.spots]
    target = wanted.target(read, sheet, machine, tabs, spots)
    return prove([(program.name, program_text(program, machine)) for program in programs], machine, target)


def test_sloped_tabs_pass(tmp_path: Path) -> None:
    assert [str(finding) for finding in report(tmp_path).findings] == []


@pytest.mark.parametrize("deg", [None, 5.5])
def test_slopes_that_reach_farther_than_declared_are_left_standing(deg: float | None, tmp_path: Path) -> None:
    assert {finding.kind for finding in report(tmp_path, flank_deg=deg).findings} == {"leftover"}


def test_a_core_wider_than_was_left_is_thin(tmp_path: Path) -> None:
    assert "tab-thin" in {finding.kind for finding in report(tmp_path, width=9.0).findings}
