"""A panel cut from both faces: two set-ups, what they say, and the planted faults that their joint proof must catch."""

import re
from collections.abc import Iterable
from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest
import shapely

from cncpanel import wanted
from cncpanel.errors import ProblemsFound
from cncpanel.layout.layout import placement
from cncpanel.layout.side import Side
from cncpanel.make.choice import Choice
from cncpanel.make.flow import Made, make
from cncpanel.make.paper_set import setup_of
from cncpanel.make.sheet_set import SheetSet
from cncpanel.make.turned_set import turn_of
from cncpanel.proof.both_sides import both_sides_findings, slack
from cncpanel.proof.finding import Finding
from cncpanel.proof.program import read_programs
from cncpanel.proof.prove import Witnessed, witnessed
from cncpanel.proof.setup import Setup
from cncpanel.proof.sheet_ground import as_it_lies

DECK = Path(__file__).parents[2] / "fixtures" / "jobs" / "control_deck.toml"
SMALL = """
[job]
name = "Lid"
machine = "shop-router"
[settings.turning]
axis = "x"
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
size = [150, 90]
recess = [
    {name = "over", size = [40, 30], at = [20, 20], depth = 6},
    {name = "under", size = [40, 30], at = [45, 35], depth = 7, face = "back"},
]
hole = [{centre = [120, 20], diameter = 10, depth = 5, face = "back"}, {centre = [120, 60], diameter = 10}]
"""


def made_of(text: str, folder: Path) -> Made:
    path = folder / "lid.toml"
    path.write_text(text, encoding="utf-8")
    return make(path, Choice(), lambda _: None)


@pytest.fixture(scope="module")
def lid(tmp_path_factory: pytest.TempPathFactory) -> Made:
    return made_of(SMALL, tmp_path_factory.mktemp("lid"))


@cache
def deck() -> Made:
    return make(DECK, Choice(), lambda _: None)


def kinds(findings: Iterable[Finding]) -> set[str]:
    return {finding.kind for finding in findings if finding.severity != "remark"}


def first_of(made: Made) -> SheetSet:
    before = made.sheets[0].before
    assert before is not None
    return before


def proven(made: Made, one: SheetSet, texts: list[str]) -> Witnessed:
    setup = Setup(made.machine, one.sheet.stock.thickest)
    return witnessed(read_programs([("planted", text) for text in texts], setup), made.machine, one.target)


def texts(one: SheetSet) -> list[str]:
    return [written.text for written in one.programs]


def both(made: Made, first: Witnessed, second: Witnessed) -> list[Finding]:
    sheet = made.sheets[0]
    setup = Setup(made.machine, sheet.sheet.stock.thickest)
    turn = turn_of(first_of(made).sheet, made.machine, made.read.job.settings)
    return list(both_sides_findings(first.carved, second.carved, as_it_lies(sheet.target, setup), setup, turn))


def test_both_set_ups_of_the_deck_are_proven_together() -> None:
    made = deck()
    assert made.passed
    assert ["side1"] * 3 + ["side2"] * 3 == [w.program.name.split("-")[3] for w in made.sheets[0].written]


@pytest.mark.parametrize("machine", ["nesting-router", "shop-router-inch"])
def test_the_lid_passes_on_every_machine(machine: str, tmp_path: Path) -> None:
    made = made_of(SMALL.replace("shop-router", machine), tmp_path)
    assert set() == kinds(made.sheets[0].report.findings)
    assert made.sheets[0].before is not None


@pytest.mark.parametrize(("axis", "more"), [("y", "mirrored = 1\ncopies = 0\n"), ("x", 'face = "back"\n')])
def test_it_passes_about_either_axis_and_for_every_hand(axis: str, more: str, tmp_path: Path) -> None:
    made = made_of(
        SMALL.replace('"x"', f'"{axis}"').replace("size = [150, 90]\n", f"size = [150, 90]\n{more}"), tmp_path
    )
    assert set() == kinds(made.sheets[0].report.findings)


def test_what_has_one_face_has_one_set_up(tmp_path: Path) -> None:
    made = made_of(SMALL.replace(', face = "back"', ""), tmp_path)
    assert made.sheets[0].before is None
    assert [None] == [sheet.sheet.side for sheet in made.sheets]


def test_the_second_set_up_says_how_the_sheet_lies(lid: Made) -> None:
    (second,) = texts(lid.sheets[0])
    assert "(SET-UP 2 OF 2)\n(SHEET TURNED OVER ABOUT ITS LONG MIDDLE LINE, MACHINE X)\n" in second
    assert "(MSG,SHEET TURNED OVER ABOUT ITS LONG MIDDLE LINE, MACHINE X)" in second
    assert all("(SET-UP 1 OF 2, NOTHING COMES FREE IN IT)" in text for text in texts(first_of(lid)))


def test_dowels_fall_on_their_own_holes_when_the_sheet_is_turned(lid: Made) -> None:
    sides = [one.sheet.side for one in lid.sheets[0].set_ups]
    assert all(isinstance(side, Side) and len(side.dowels) == 2 for side in sides)
    before, after = (set(side.dowels) for side in sides if side)
    assert {(p.x, 220 - p.y) for p in before} == {tuple(p) for p in after} == {tuple(p) for p in before}


def test_pieces_for_the_rack_hold_no_dowel_and_no_part_on_either_side_s_map(tmp_path: Path) -> None:
    least = "[settings.offcuts]\nleast = [60, 40]\n[[stock]]"
    made = made_of(SMALL.replace("[[stock]]", least).replace("[320, 220]", "[420, 300]"), tmp_path)
    maps = [setup_of(made, one) for one in made.sheets[0].set_ups]
    assert all(found.left for found in maps)
    assert {piece.box for piece in maps[0].left} != {piece.box for piece in maps[1].left}
    for found in maps:
        pieces = shapely.union_all([shapely.box(*piece.box) for piece in found.left])
        part = found.sheet.parts[0]
        outline = placement(found.plans[part.panel].panel, part).contour(found.plans[part.panel].panel.outline)
        assert pieces.distance(shapely.box(*outline.bounds)) >= made.layout.gap - 1e-6
        side = found.sheet.side
        assert side is not None
        assert all(pieces.distance(shapely.Point(place)) >= side.dowel / 2 for place in side.dowels)


def test_a_wrong_flip_axis_is_caught(lid: Made) -> None:
    first = first_of(lid)
    other = replace(first, target=wanted.turned_target(lid.read, lid.sheets[0].sheet, "y"))
    assert {"gouge", "leftover"} & kinds(proven(lid, other, texts(first)).report.findings)


def test_set_up_one_shifted_is_caught(lid: Made) -> None:
    first = first_of(lid)
    moved = [re.sub(r"X(-?\d+\.\d+)", lambda x: f"X{float(x[1]) + 0.5:.4f}", text) for text in texts(first)]
    assert {"gouge", "leftover"} & kinds(proven(lid, first, moved).report.findings)


def test_side_two_run_before_the_turn_is_caught(lid: Made) -> None:
    first = first_of(lid)
    found = proven(lid, first, texts(lid.sheets[0]))
    untouched = proven(lid, lid.sheets[0], texts(lid.sheets[0]))
    assert {"gouge", "leftover"} & kinds(found.report.findings)
    assert "frees-before-turn" in kinds(both(lid, found, untouched))


def test_a_web_that_is_too_thin_is_told_with_its_line(lid: Made) -> None:
    (text,) = texts(lid.sheets[0])
    deep = text.replace("Z-6.0000", "Z-9.5000")
    assert deep != text
    second = proven(lid, lid.sheets[0], [deep])
    found = [
        one for one in both(lid, proven(lid, first_of(lid), texts(first_of(lid))), second) if one.kind == "thin-web"
    ]
    assert found
    assert all("Z-9.5000" in "".join(deep.splitlines()[: one.line]) for one in found)
    assert "leaves 1.50 mm over what set-up one cut from below" in found[0].text
    turn = turn_of(first_of(lid).sheet, lid.machine, lid.read.job.settings)
    worst = max(1.5 - slack(turn, Setup(lid.machine, 18.0)), 0.0)  # 18 - 9.5 - 7
    assert (found[0].severity, found[0].measure, found[0].limit) == ("safety", round(worst, 4), turn.least)
    where = placement(lid.panels[0], lid.sheets[0].sheet.parts[0])
    corners = [where.point(corner) for corner in ((45.0, 35.0), (60.0, 50.0))]  # where both recesses lie
    over = shapely.box(*map(min, zip(*corners, strict=True)), *map(max, zip(*corners, strict=True)))
    assert all(over.buffer(1.0).contains(shapely.Point(one.x, one.y)) for one in found)


def test_a_program_that_breaks_through_is_told(lid: Made) -> None:
    (text,) = texts(lid.sheets[0])
    second = proven(lid, lid.sheets[0], [text.replace("Z-6.0000", "Z-11.5000")])
    found = both(lid, proven(lid, first_of(lid), texts(first_of(lid))), second)
    assert "breaks-through" in kinds(found)


def test_the_worst_web_reckons_with_thickness_and_both_zeros(lid: Made) -> None:
    machine = lid.machine
    turn = turn_of(first_of(lid).sheet, machine, lid.read.job.settings)
    table = machine.table
    expected = 0.4 + table.thickness_spread + 2 * table.z_error
    assert expected == pytest.approx(slack(replace(turn, thinnest=17.6), Setup(machine, 18.0)))


def test_an_edge_stop_needs_no_dowels_but_the_sheet_s_width(tmp_path: Path) -> None:
    made = made_of(SMALL.replace('axis = "x"', 'axis = "x"\nby = "edge"'), tmp_path)
    assert made.passed
    assert all("(SHEET WIDTH MUST MEASURE 220 MM)" in text for one in made.sheets[0].set_ups for text in texts(one))
    assert all("DOWEL" not in text for one in made.sheets[0].set_ups for text in texts(one))


def test_a_sheet_without_room_for_dowels_is_told(tmp_path: Path) -> None:
    with pytest.raises(ProblemsFound) as told:
        made_of(SMALL.replace("[320, 220]", "[178, 118]").replace("margin = 25", "margin = 13"), tmp_path)
    assert "its waste has no room for two dowels of 8 mm" in str(told.value)


def test_no_tab_stands_where_set_up_one_cut_and_one_that_does_is_told(tmp_path: Path) -> None:
    rabbet = 'rabbet = [{side = "left", width = 12, depth = 8, face = "back"}]\nhole = ['
    made = made_of(SMALL.replace("hole = [", rabbet), tmp_path)
    sheet = made.sheets[0]
    assert made.passed
    where = placement(made.panels[0], sheet.sheet.parts[0])
    rim = shapely.LineString([where.point((0.0, 0.0)), where.point((0.0, 90.0))])
    assert sheet.target.tabs
    assert all(rim.distance(shapely.Point(tab.x, tab.y)) > tab.width for tab in sheet.target.tabs)
    first = proven(made, first_of(made), texts(first_of(made)))
    middle = where.point((0.0, 45.0))
    tab = replace(sheet.target.tabs[0], x=middle.x, y=middle.y)
    setup = Setup(made.machine, 18.0)
    turn = turn_of(first_of(made).sheet, made.machine, made.read.job.settings)
    planted = as_it_lies(replace(sheet.target, tabs=(tab,)), setup)
    (told,) = [
        one for one in both_sides_findings(first.carved, None, planted, setup, turn) if one.kind == "tab-undercut"
    ]
    assert told.text == f"a tab of {tab.name} stands where set-up one cut 8.00 mm from below: it holds nothing"
    (lies,) = planted.tabs
    assert (told.x, told.y) == pytest.approx((lies.x, lies.y), abs=1e-4)
    assert (told.severity, told.measure, told.limit) == ("safety", 0.0, turn.tab)


def test_an_opening_over_a_recess_of_the_other_face_is_cleared_whole(tmp_path: Path) -> None:
    """A screen's frame: rounded in front, its rebate behind; no tab could stand on what was cut from below."""
    frame = """
[job]
name = "Frame"
machine = "shop-router"
[[stock]]
name = "board"
material = "mdf"
thickness = 18
sheet = [600, 400]
count = 1
[[panel]]
name = "bezel"
stock = "board"
size = [300, 200]
opening = [{ size = [100, 60], centre = [150, 100], radius = 8 }]
recess = [{ size = [SIZE], centre = [150, 100], depth = 6, radius = 8, face = "back" }]
edge = [{ round = 6, opening = "opening 1" }]
"""
    over = made_of(frame.replace("SIZE", "120, 80"), tmp_path)
    assert over.passed
    whole = [run for run in over.sheets[0].runs.runs if run.feature == "opening 1"]
    assert not any(tab.feature == "opening 1" for tab in over.sheets[0].runs.tabs)
    beside = made_of(frame.replace("SIZE", "120, 40"), tmp_path)  # its ends alone are cut beneath
    assert beside.passed
    assert any(tab.feature == "opening 1" for tab in beside.sheets[0].runs.tabs)
    slug = [run for run in beside.sheets[0].runs.runs if run.feature == "opening 1"]
    assert sum(len(run.steps) for run in whole) > sum(len(run.steps) for run in slug)
