"""Layouts with keep-outs and parts in openings, cut and proven to the end; three demo consoles on common sheets."""

from dataclasses import replace
from pathlib import Path

from cncpanel.errors import Gathering
from cncpanel.job.read import read_job
from cncpanel.layout.judge import faults
from cncpanel.layout.place import lay_out
from cncpanel.make.choice import Choice
from cncpanel.make.flow import make, prepare
from cncpanel.make.sheet_set import sheet_set
from cncpanel.panel.resolve import resolve

CLAMPED = """\
[job]
name = "Clamped"
machine = "shop-router"

[[stock]]
name = "ply 18"
material = "plywood"
thickness = 18
sheet = [700, 420]
count = 1

[[stock.keep_out]]
kind = "clamp"
at = [0, 180]
size = [60, 60]

[[stock.keep_out]]
kind = "used"
at = [600, 0]
size = [100, 420]

[[panel]]
name = "board"
stock = "ply 18"
size = [200, 150]
copies = 3
"""
NESTED = """\
[job]
name = "Nested"
machine = "shop-router"

[settings]
use_openings = true

[[stock]]
name = "ply 18"
material = "plywood"
thickness = 18
sheet = [520, 420]
count = 1

[[panel]]
name = "frame"
stock = "ply 18"
size = [480, 380]

[[panel.opening]]
at = [80, 80]
size = [320, 220]
radius = 6

[[panel]]
name = "tag"
stock = "ply 18"
size = [100, 80]
"""


def told(text: str) -> None:
    """Nobody listens."""


def written(folder: Path, text: str) -> Path:
    path = folder / "job.toml"
    path.write_text(text)
    return path


def errors(made_sheet) -> list[str]:
    return [finding.kind for finding in made_sheet.report.findings if finding.severity != "remark"]


def test_parts_beside_a_clamp_and_a_used_piece_are_cut_and_proven(tmp_path: Path) -> None:
    made = make(written(tmp_path, CLAMPED), Choice(), told)
    assert [len(sheet.sheet.parts) for sheet in made.sheets] == [3]
    assert [errors(sheet) for sheet in made.sheets] == [[]]


def test_the_witness_finds_a_cut_into_a_clamp(tmp_path: Path) -> None:
    made = prepare(written(tmp_path, CLAMPED), Choice(), told)
    sheet = made.layout.sheets[0]
    stray = replace(sheet, parts=(replace(sheet.parts[0], x=62, y=170, angle_deg=0),))
    found = sheet_set(stray, 1, made.plans, made.machine, made.read, Gathering())
    gouges = [finding.text for finding in found.report.findings if finding.kind == "gouge"]
    assert gouges
    assert all("the clamp at 0, 180" in text for text in gouges)


def test_a_part_in_an_openings_waste_is_cut_and_proven(tmp_path: Path) -> None:
    made = make(written(tmp_path, NESTED), Choice(), told)
    assert [len(sheet.sheet.parts) for sheet in made.sheets] == [2]
    assert [errors(sheet) for sheet in made.sheets] == [[]]
    assert {tab.part for tab in made.sheets[0].runs.tabs} == {"frame", "tag"}


def test_without_leave_no_part_lies_in_an_opening(tmp_path: Path) -> None:
    made = prepare(written(tmp_path, NESTED.replace("use_openings = true", "")), Choice(steps=0), told)
    assert [len(sheet.parts) for sheet in made.layout.sheets] == [1, 1]


def test_three_demo_consoles_take_at_most_a_sheet_more_than_area_alone(fixtures: Path) -> None:
    gathering = Gathering()
    panels = [
        replace(panel, copies=3 * panel.copies, mirrored=3 * panel.mirrored)
        for panel in resolve(read_job(fixtures / "jobs" / "millrace.toml", gathering), gathering)
    ]
    layout = lay_out(panels, 6, gathering)
    assert faults(layout, {panel.index: panel for panel in panels}) == ()
    assert (layout.packed[0].bound.area_sheets, len(layout.sheets)) == (5, 6)
