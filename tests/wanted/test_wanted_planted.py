"""Faults planted in the maker itself: a job made through every layer with one of them, and the witness's word on it."""

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest

from cncpanel import wanted
from cncpanel.errors import Gathering
from cncpanel.geometry.placement import Placement
from cncpanel.job.read import read_job
from cncpanel.layout import layout
from cncpanel.layout.place import lay_out
from cncpanel.machine.read import read_machine
from cncpanel.operation.operation import Engrave
from cncpanel.operation.plan import plan
from cncpanel.output.rs274 import program_text
from cncpanel.panel.panel import Panel
from cncpanel.panel.resolve import resolve
from cncpanel.passes import work as passes
from cncpanel.passes.sheet import sheet_runs
from cncpanel.proof.prove import prove
from cncpanel.proof.report import Report
from cncpanel.sequence.sheet import sheet_programs

JOB = """
[job]
name = "hands"
machine = "shop-router"

[[stock]]
name = "board"
material = "mdf"
thickness = 12
sheet = [600, 400]
count = 1

[[panel]]
name = "left"
stock = "board"
outline = [[0, 0], [160, 0], [160, 60], [100, 120], [0, 120]]
face = "back"
copies = 1
mirrored = 1

[[panel.recess]]
size = [40, 30]
at = [15, 12]
radius = 4
depth = 5

[[panel.mark]]
text = "left"
at = [20, 70]
height = 12
turn_deg = 20
"""

Placing = Callable[[Panel, layout.Part], Placement]


def report(tmp_path: Path) -> Report:
    path = tmp_path / "hands.toml"
    path.write_text(JOB, encoding="utf-8")
    gathering = Gathering()
    read, machine = read_job(path, gathering), read_machine("shop-router")
    panels = resolve(read, gathering)
    plans = plan(panels, machine, read.job.settings, gathering)
    (sheet,) = lay_out(panels, 12.0, gathering).sheets
    runs = sheet_runs(sheet, {p.panel.index: p for p in plans}, machine, read.job.settings, gathering)
    programs = sheet_programs(sheet, runs, machine, read.job.job, gathering)
    assert gathering.problems == ()
    spots = [spot for p in plans for spot in p.spots]
    target = wanted.target(read, sheet, machine, runs.tabs, spots)
    return prove([(program.name, program_text(program, machine)) for program in programs], machine, target)


def placed(panel: Panel, part: layout.Part, *, mirrored: bool, angle_deg: float) -> Placement:
    """A placement that puts the box's lower left where the part's numbers say, whatever the hand and the turn."""
    turned = Placement(angle_deg=angle_deg, mirrored=mirrored)
    left, low, _, _ = turned.contour(panel.outline).bounds
    return replace(turned, x=part.x - left, y=part.y - low)


def right(panel: Panel, part: layout.Part) -> Placement:
    mirrored = layout.handed_over(panel, mirrored_copy=part.mirrored_copy)
    return placed(panel, part, mirrored=mirrored, angle_deg=part.angle_deg)


def wrong_mirror(panel: Panel, part: layout.Part) -> Placement:
    return placed(panel, part, mirrored=not right(panel, part).mirrored, angle_deg=part.angle_deg)


def wrong_face(panel: Panel, part: layout.Part) -> Placement:
    return placed(panel, part, mirrored=part.mirrored_copy, angle_deg=part.angle_deg)


def wrong_copy(panel: Panel, part: layout.Part) -> Placement:
    return placed(panel, part, mirrored=panel.face == "back", angle_deg=part.angle_deg)


def wrong_turn(panel: Panel, part: layout.Part) -> Placement:
    return placed(panel, part, mirrored=right(panel, part).mirrored, angle_deg=part.angle_deg + 180.0)


def wrong_place(panel: Panel, part: layout.Part) -> Placement:
    there = right(panel, part)
    return replace(there, x=there.x + 0.03)


def test_the_job_as_it_should_be_made_passes(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(passes, "placement", right)
    assert [str(finding) for finding in report(tmp_path).findings] == []


@pytest.mark.parametrize("fault", [wrong_mirror, wrong_face, wrong_copy, wrong_turn, wrong_place])
def test_a_fault_planted_in_the_maker_fails(fault: Placing, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(passes, "placement", fault)
    found = report(tmp_path)
    assert found.verdict == "fail"
    assert {"gouge", "leftover"} & {finding.kind for finding in found.findings}


@pytest.mark.parametrize("copies", [(False,), (True,), (False, True)], ids=["the panel", "its mirrored copy", "both"])
def test_lettering_that_reads_mirrored_fails(
    copies: tuple[bool, ...], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The wrong strokes inside the right box."""
    right_one = Engrave.placed

    def wrong(self: Engrave, placement: Placement) -> Engrave:
        swapped = replace(self, strokes=self.mirrored_strokes, mirrored_strokes=self.strokes)
        of_copy = placement.mirrored != (self.face == "back")
        return right_one(swapped if of_copy in copies else self, placement)

    monkeypatch.setattr(Engrave, "placed", wrong)
    found = report(tmp_path)
    assert found.verdict == "fail"
    assert {"gouge", "leftover"} <= {finding.kind for finding in found.findings}
