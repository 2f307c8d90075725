"""Screws in the waste: holes first, a stop to drive them, heads that everything after keeps clear of."""

from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

import pytest
import shapely

from cncpanel.errors import Gathering, ProblemsFound
from cncpanel.job.holding import ScrewSettings
from cncpanel.job.read import read_job
from cncpanel.machine.read import read_machine
from cncpanel.make.choice import Choice
from cncpanel.make.flow import Made, make
from cncpanel.make.given import holding_of
from cncpanel.make.holding_checks import lengths
from cncpanel.make.sheet_given import circumstances_of
from cncpanel.passes.screws import reach_beside
from cncpanel.proof.circumstances import Circumstances
from cncpanel.proof.prove import prove
from cncpanel.proof.report import Report

JOB = """
[job]
name = "Small"
machine = "nesting-router"
[settings.screws]
diameter = 4
head = 9
head_height = 3
length = {length}
hole = {hole}
[[stock]]
name = "mdf"
material = "mdf"
thickness = 12
measured = [11.9, 12.1]
sheet = [{sheet}, {width}]
count = 1
margin = {margin}
{keep_outs}
[[panel]]
name = "lid"
stock = "mdf"
size = [200, 140]
"""
GIVEN = 'keep_out = [{ kind = "screw", at = [5, 5], size = [10, 10], hole = 4.5 }]'


def job(folder: Path, **values: object) -> Path:
    path = folder / "small.toml"
    known = {"length": 24, "hole": 4.5, "margin": 40, "keep_outs": "", "sheet": 340, "width": 260}
    path.write_text(JOB.format(**(known | values)), encoding="utf-8")
    return path


def problems(path: Path) -> list[str]:
    with pytest.raises(ProblemsFound) as raised:
        make(path, Choice(), lambda _: None)
    return [str(problem).removeprefix(f"{path.parent}/") for problem in raised.value.problems]


@pytest.fixture(scope="module")
def small(tmp_path_factory: pytest.TempPathFactory) -> Made:
    return make(job(tmp_path_factory.mktemp("screws")), Choice(), lambda _: None)


def lines_of(made: Made) -> list[str]:
    return made.sheets[0].programs[0].text.splitlines()


def again(made: Made, lines: Sequence[str], circumstances: Circumstances | None = None) -> Report:
    """Another text of the same sheet's program, judged as `make` does."""
    one = made.sheets[0]
    given = circumstances or circumstances_of(one.sheet.stock, made.machine)
    return prove([("planted", "\n".join(lines) + "\n")], made.machine, one.target, circumstances=given)


def kinds(report: Report) -> set[str]:
    return {finding.kind for finding in report.findings if finding.severity != "remark"}


def stop_at(lines: Sequence[str]) -> int:
    said = next(number for number, line in enumerate(lines) if "DRIVE" in line)
    return next(number for number in range(said, len(lines)) if lines[number] == "M0")


def test_holes_come_first_then_a_stop_then_all_else_and_it_is_proven(small: Made) -> None:
    lines = lines_of(small)
    stop = stop_at(lines)
    before, after = lines[:stop], lines[stop:]
    assert sum("PART SCREWS" in line for line in before) == 1
    assert not any("PART LID" in line for line in before)
    assert not any("PART SCREWS" in line for line in after)
    x, y = small.machine.motion.park
    park = f"G0 X{x:.4f} Y{y:.4f}"
    assert before[-3:-1] == [park, "(MSG,DRIVE 4 SCREWS INTO THE HOLES JUST MADE)"]
    assert [line.split()[0] for line in before[-6:-3]] == ["G53", "M5", "G4"]
    assert len(small.sheets[0].runs.screws) == 4
    assert small.passed
    assert kinds(again(small, lines)) == set()


def test_screws_stand_clear_of_every_tool_and_of_the_rim(small: Made) -> None:
    one = small.sheets[0]
    ways = [[run.start, *((step.x, step.y) for step in run.steps)] for run in one.runs.runs if run.kind != "screw"]
    others = shapely.union_all([shapely.LineString(way).buffer(one.runs.runs[-1].tool.radius) for way in ways])
    assert not others.is_empty
    for keep in one.runs.screws:
        x, y = keep.centre
        assert min(x, y, 340 - x, 260 - y) >= 12
        assert others.distance(shapely.Point(x, y)) >= 4.5 + 2
    assert len({keep.centre for keep in one.runs.screws}) == 4


def test_a_stop_that_is_missing_is_told(small: Made) -> None:
    lines = lines_of(small)
    del lines[stop_at(lines)]
    assert "screw-not-driven" in kinds(again(small, lines))


def test_a_hole_that_is_missing_is_told(small: Made) -> None:
    lines = lines_of(small)
    first = next(number for number, line in enumerate(lines) if "PART SCREWS" in line)
    up = [number for number in range(first, len(lines)) if lines[number].startswith("G0 Z")]
    assert {"no-screw-hole", "leftover"} <= kinds(again(small, lines[: first + 1] + lines[up[0] + 1 :]))


def test_a_cut_of_the_loose_sheet_is_told(small: Made) -> None:
    lines = lines_of(small)
    stop = next(n for n in range(stop_at(lines), 0, -1) if lines[n] == "M5")
    planted = [*lines[:stop], "G0 X100.0000 Y10.0000", "G1 Z11.0000 F900", "G0 Z60.0000", *lines[stop:]]
    (found,) = (finding for finding in again(small, planted).findings if finding.kind == "cut-before-screws")
    assert found.program == "planted"
    assert planted[found.line - 1] == "G1 Z11.0000 F900"


def test_a_head_in_a_tools_way_is_told_from_the_stop_on_only(small: Made) -> None:
    one = small.sheets[0]
    given = circumstances_of(one.sheet.stock, small.machine)
    lid = one.target.pieces[0].shape.bounds
    first = given.holding[0]
    larger = replace(first, xmax=max(first.xmax, lid[0]), ymax=max(first.ymax, lid[1]))
    report = again(small, lines_of(small), replace(given, holding=(larger, *given.holding[1:])))
    hits = [finding for finding in report.findings if finding.kind == "holding-hit"]
    assert hits
    assert min(finding.line for finding in hits) > stop_at(lines_of(small))


def test_screws_that_stand_from_the_start_are_hit_by_their_own_holes(small: Made) -> None:
    standing = circumstances_of(small.sheets[0].sheet.stock, small.machine).screwed_down
    assert "holding-hit" in kinds(again(small, lines_of(small), standing))


def test_a_holding_file_says_screws_that_are_driven(small: Made, tmp_path: Path) -> None:
    path = tmp_path / "holding.toml"
    tables = []
    for held in circumstances_of(small.sheets[0].sheet.stock, small.machine).holding:
        size = held.xmax - held.xmin, held.ymax - held.ymin
        at = f"at = [{held.xmin}, {held.ymin}]\nsize = [{size[0]}, {size[1]}]"
        tables.append(f'[[holding]]\nkind = "screw"\n{at}\nheight = 3\ndriven = true\n')
    path.write_text("\n".join(tables), encoding="utf-8")
    holding = holding_of(path, small.machine, Gathering())
    assert holding == circumstances_of(small.sheets[0].sheet.stock, small.machine).holding
    assert kinds(again(small, lines_of(small), Circumstances(holding=holding))) == set()


def test_a_screw_that_is_too_long_or_too_short_is_refused(tmp_path: Path) -> None:
    board = read_machine("nesting-router").table.spoilboard
    stock = read_job(job(tmp_path)).job.stock[0]
    settings = read_job(job(tmp_path)).job.settings
    assert settings.screws is not None
    least, most = lengths(settings.screws, stock, read_machine("nesting-router"))
    assert most < 11.9 + board
    assert least >= 12.1 + 8
    said = f"small.toml:9: settings.screws.length: a screw of {most + 1:g} mm goes through mdf and the spoilboard into"
    assert problems(job(tmp_path, length=most + 1)) == [f"{said} the table ({least:g} to {most:g})"]
    short = f"small.toml:9: settings.screws.length: a screw of {least - 1:g} mm has less than 8 mm of grip under mdf"
    assert problems(job(tmp_path, length=least - 1)) == [f"{short} ({least:g} to {most:g})"]


def test_waste_without_room_and_holes_without_a_tool_are_refused(tmp_path: Path) -> None:
    said = problems(job(tmp_path, margin=8, sheet=216, width=156))
    assert said == [
        "small.toml:20: panel[0]: sheet 1: its waste has no room for two screws with heads of 9 mm "
        "(a wider margin of the stock, a wider gap, or smaller heads)"
    ]
    (tool,) = problems(job(tmp_path, hole=4.15))
    assert "no tool makes holes of 4.15 mm for screws through 12.1 mm" in tool


def test_places_that_the_job_gives_are_taken_and_no_others(tmp_path: Path) -> None:
    corners = [(5, 5), (325, 5), (5, 245)]
    tables = ", ".join(f'{{ kind = "screw", at = [{x}, {y}], size = [10, 10], hole = 4.5 }}' for x, y in corners)
    made = make(job(tmp_path, keep_outs=f"keep_out = [{tables}]"), Choice(), lambda _: None)
    assert [keep.centre for keep in made.sheets[0].runs.screws] == [(x + 5, y + 5) for x, y in corners]
    assert made.passed


@pytest.mark.parametrize(("count", "hold", "told"), [(1, "screws", 1), (2, "screws", 0), (1, "vacuum", 0)])
def test_one_screw_alone_is_warned_of_where_no_vacuum_holds_too(
    count: int, hold: str, told: int, tmp_path: Path
) -> None:
    keep_outs = 'keep_out = [{ kind = "screw", at = [5, 5], size = [10, 10] }, { at = [300, 5], size = [30, 30] }]'
    if count == 1:
        keep_outs = keep_outs.replace("}, {", '}, { kind = "defect", ')
    machine = "shop-router" if hold == "screws" else "nesting-router"
    text = job(tmp_path, keep_outs=keep_outs).read_text().replace("nesting-router", machine)
    path = tmp_path / "held.toml"
    path.write_text(
        text.replace("[settings.screws]", "[settings]").split("diameter = 4")[0] + text[text.index("[[stock") :]
    )
    made = make(path, Choice(steps=0), lambda _: None)
    words = "stock[0].keep_out[0]: warning: one screw alone: mdf would turn about it under the tool"
    assert sum(words in str(one) for one in made.gathering.warnings) == told


def test_a_sheet_that_is_turned_over_is_not_screwed_down_at_a_stop(tmp_path: Path) -> None:
    path = job(tmp_path, margin=40, sheet=420)
    back = 'recess = [{ name = "under", size = [40, 30], at = [20, 20], depth = 4, face = "back" },'
    front = '{ name = "over", size = [40, 30], at = [90, 20], depth = 4 }]\n'
    path.write_text(path.read_text(encoding="utf-8").replace("size = [200", f"{back}{front}size = [200"), "utf-8")
    said = "\n".join(problems(path))
    assert "is cut from both faces and screwed down at a stop of its programs" in said


def test_a_nut_that_comes_as_low_as_a_head_keeps_off_by_its_own_radius(small: Made) -> None:
    screw = ScrewSettings(diameter=4, head=9, head_height=3, length=24)
    run = next(run for run in small.sheets[0].runs.runs if run.kind == "outline")
    reach = reach_beside(screw)
    deepest = -min(step.z for step in run.steps)
    assert reach(run) == max(
        run.tool.radius, run.tool.shank_diameter / 2 if run.tool.cutting_length < deepest + 5 else 0
    )
    low = run.tool.model_copy(update={"stick_out": deepest + 2, "cutting_length": deepest + 1, "nut_diameter": 40})
    assert reach(replace(run, tool=low)) == 20


def test_holes_are_bored_by_a_tool_whose_shank_stays_over_the_highest_sheet(tmp_path: Path) -> None:
    """The 1/8 in bit has 12.7 mm of flutes under a wider shank; the cut is 12.635, the sheet may stand 0.1 higher."""
    path = job(tmp_path, keep_outs="", sheet=640, width=560, length=22, hole=4.5)
    path.write_text(path.read_text().replace("nesting-router", "shop-router-inch"))
    with pytest.raises(ProblemsFound, match=r"no tool makes holes of 4\.5 mm for screws through 12"):
        make(path, Choice(steps=0), lambda _: None)
    wider = path.read_text().replace("hole = 4.5", "hole = 5.5").replace("head = 9", "head = 10")
    path.write_text(wider)
    made = make(path, Choice(steps=0), lambda _: None)
    assert {run.tool.number for run in made.sheets[0].runs.runs if run.kind == "screw"} == {2}
    assert [str(f) for f in made.sheets[0].report.findings if f.severity != "remark"] == []


POST = '{{ kind = "screw", at = {at}, size = [10, 10], height = 60 }}'  # stands before any screw is driven


def test_the_nut_that_drills_for_a_screw_passes_what_stands_beside_it(tmp_path: Path) -> None:
    beside = GIVEN.replace("}]", "}, " + POST.format(at="[24, 5]") + "]")
    assert problems(job(tmp_path, keep_outs=beside)) == [
        "small.toml:20: panel[0]: T7 4.5 mm drill has no room for the screw at 5, 5 beside what holds the sheet "
        "(another place, or lower clamps)"
    ]


def test_screws_keep_their_drills_nut_off_what_stands_high(tmp_path: Path) -> None:
    post = shapely.box(26, 0, 36, 10)
    made = make(job(tmp_path, keep_outs=f"keep_out = [{POST.format(at=[26, 0])}]"), Choice(), lambda _: None)
    assert made.passed
    (sheet,) = made.sheets
    nuts = [shapely.Point(keep.centre).buffer(sheet.runs.runs[0].tool.nut_diameter / 2) for keep in sheet.runs.screws]
    assert len(nuts) >= 4
    assert not any(nut.intersects(post) for nut in nuts)
