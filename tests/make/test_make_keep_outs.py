"""A job's keep-outs are real to the witness: clamps and screws stand, used places are gone, flaws stay out of parts."""

from dataclasses import replace
from pathlib import Path

import pytest

from cncpanel.errors import Gathering
from cncpanel.job.model import KeepOut
from cncpanel.job.read import read_job
from cncpanel.machine.read import shipped_machines
from cncpanel.make.choice import Choice
from cncpanel.make.flow import Made, make
from cncpanel.make.sheet_given import circumstances_of
from cncpanel.proof.circumstances import Circumstances
from cncpanel.proof.obstacle import Obstacle
from cncpanel.proof.prove import prove
from cncpanel.proof.report import Report

JOB = """
[job]
name = "Small"
machine = "{machine}"

[[stock]]
name = "ply"
material = "plywood"
thickness = 9
sheet = [340, 200]
count = 1

{keep_outs}

[[panel]]
name = "lid"
stock = "ply"
size = [100, 100]
"""
KEEP_OUT = """
[[stock.keep_out]]
kind = "{kind}"
at = [{x}, {y}]
size = [{width}, {depth}]
{more}
"""


def keep_out(kind: str, *place: float, more: str = "") -> str:
    x, y, width, depth = place
    return KEEP_OUT.format(kind=kind, x=x, y=y, width=width, depth=depth, more=more)


def made(folder: Path, machine: str, *keep_outs: str) -> Made:
    path = folder / "small.toml"
    path.write_text(JOB.format(machine=machine, keep_outs="\n".join(keep_outs)), encoding="utf-8")
    return make(path, Choice(), lambda _: None)


def again(result: Made, circumstances: Circumstances) -> Report:
    """The same programs, judged in other circumstances."""
    one = result.sheets[0]
    texts = [(written.program.name, written.text) for written in one.programs]
    return prove(texts, result.machine, one.target, circumstances=circumstances)


def kinds(report: Report) -> set[str]:
    return {finding.kind for finding in report.findings if finding.severity != "remark"}


@pytest.mark.parametrize("machine", ["desktop-router", "nesting-router"])
def test_parts_clear_of_a_tall_clamp_pass_and_the_tool_travels_over_it(tmp_path: Path, machine: str) -> None:
    result = made(tmp_path, machine, keep_out("clamp", 0, 0, 30, 40, more="height = 18"))
    assert result.passed
    over = "Z32" if machine == "nesting-router" else "Z23"  # 18 and 5 over the sheet; Z0 the table or the sheet
    assert over in result.sheets[0].programs[0].text


@pytest.mark.parametrize("machine", ["desktop-router", "shop-router"])
def test_a_part_stays_so_far_from_a_tall_clamp_that_the_nut_passes_beside_it(tmp_path: Path, machine: str) -> None:
    """A trim router's nut is 30 mm over its tip, 20.4 over the sheet at a through cut, and 22 mm wide."""
    result = made(tmp_path, machine, keep_out("clamp", 0, 0, 20, 200, more="height = 40"))
    (sheet,) = result.sheets
    assert kinds(sheet.report) == set()
    used = next(run.tool for run in sheet.runs.runs if run.kind == "outline")
    apart = sheet.sheet.parts[0].x - 20
    assert apart >= used.radius + used.nut_diameter / 2
    known = circumstances_of(sheet.sheet.stock, result.machine)
    (clamp,) = known.holding
    near = replace(known, holding=(replace(clamp, xmax=clamp.xmax + apart - result.layout.gap),))
    found = [finding for finding in again(result, near).findings if finding.kind == "holding-hit"]
    assert "collet nut meets the clamp" in found[0].text


def test_clear_is_believed_where_it_asks_for_more_than_the_gap(tmp_path: Path) -> None:
    result = made(tmp_path, "shop-router", keep_out("clamp", 0, 0, 20, 200, more="height = 3\nclear = 70"))
    assert result.sheets[0].sheet.parts[0].x >= 90 - 1e-6


@pytest.mark.parametrize("machine", ["shop-router", "shop-router-inch"])
def test_a_clamp_that_stands_in_the_way_is_hit(tmp_path: Path, machine: str) -> None:
    """Wherever the sheet lies turned, the job's clamp turns with it."""
    result = made(tmp_path, machine)
    (part,) = result.sheets[0].sheet.parts
    beside = result.read.job.stock[0].model_copy(
        update={"keep_out": _keep_out(result, tmp_path, part.x + 114, part.y + 20)}
    )
    report = again(result, circumstances_of(beside, result.machine))
    assert kinds(report) == set()
    onto = result.read.job.stock[0].model_copy(
        update={"keep_out": _keep_out(result, tmp_path, part.x + 95, part.y + 20)}
    )
    assert "holding-hit" in kinds(again(result, circumstances_of(onto, result.machine)))


def _keep_out(result: Made, folder: Path, x: float, y: float) -> tuple[KeepOut, ...]:
    """As the job reader would give it."""
    other = folder / "other"
    other.mkdir(exist_ok=True)
    path = other / "small.toml"
    text = JOB.format(machine=result.machine.name, keep_outs=keep_out("clamp", x, y, 40, 20, more="height = 12"))
    path.write_text(text.replace("size = [100, 100]", "size = [20, 20]"), encoding="utf-8")
    return read_job(path, Gathering()).job.stock[0].keep_out


def test_a_part_on_a_used_place_or_a_flaw_is_told(tmp_path: Path) -> None:
    result = made(tmp_path, "shop-router")
    (part,) = result.sheets[0].sheet.parts
    place = Obstacle(kind="used", xmin=part.x + 10, ymin=part.y + 10, xmax=part.x + 20, ymax=part.y + 20, height=0)
    assert "part-on-used" in kinds(again(result, Circumstances(used=(place,))))
    assert "part-on-flaw" in kinds(again(result, Circumstances(flaws=(place,))))
    away = replace(place, xmin=300, xmax=310)
    assert kinds(again(result, Circumstances(used=(away,), flaws=(away,)))) == set()


def test_a_clamp_may_stand_on_a_flaw(tmp_path: Path) -> None:
    result = made(tmp_path, "shop-router", keep_out("defect", 290, 150, 40, 40), keep_out("clamp", 295, 140, 40, 60))
    assert [finding for finding in result.sheets[0].report.findings if finding.severity != "remark"] == []
    assert result.passed


def test_a_short_drill_near_the_rim_keeps_its_nut_off_a_tall_clamp_too(tmp_path: Path) -> None:
    """The outline's nut stays over the clamp; the drill's, nearer the sheet, comes 8 mm out of the part."""
    text = shipped_machines()["shop-router"].read_text(encoding="utf-8").replace("stick_out = 24 ", "stick_out = 40 ")
    head, drill = text.split('name = "4 mm drill"')
    short = drill.replace("cutting_length = 40", "cutting_length = 18", 1).replace(
        "stick_out = 50", "stick_out = 26", 1
    )
    (tmp_path / "short.toml").write_text(f'{head}name = "4 mm drill"{short}', encoding="utf-8")
    job = JOB.format(machine="short.toml", keep_outs=keep_out("clamp", 0, 0, 40, 200, more="height = 21"))
    job = job.replace("[[stock]]", "[settings]\ngap = 6.2\n\n[[stock]]", 1)
    hole = '[[panel.hole]]\ncentre = [{x}, 50]\ndiameter = 4\ndepth = 7\ntool = "4 mm drill"\n'
    holes = hole.format(x=6) + hole.format(x=94)
    (tmp_path / "small.toml").write_text(job + holes, encoding="utf-8")
    result = make(tmp_path / "small.toml", Choice(), lambda _: None)
    assert result.passed
    (part,) = result.sheets[0].sheet.parts
    assert part.x - 40 == pytest.approx(14 - 6 + result.read.job.settings.spare, abs=0.1)


def test_roughing_that_leaves_more_than_the_spare_keeps_its_nut_off_a_tall_clamp(tmp_path: Path) -> None:
    job = JOB.format(machine="shop-router", keep_outs=keep_out("clamp", 0, 0, 40, 200, more="height = 60"))
    job = job.replace("[[stock]]", "[settings]\nspare = 0\nwall_allowance = 0.5\n\n[[stock]]", 1)
    (tmp_path / "small.toml").write_text(job, encoding="utf-8")
    assert make(tmp_path / "small.toml", Choice(), lambda _: None).passed


def test_roughing_beside_a_low_clamp_leaves_no_more_than_there_is_room_for(tmp_path: Path) -> None:
    """A gap of 6.1 beside a tool of 6 has no room for the 0.3 that roughing leaves elsewhere."""
    job = JOB.format(machine="shop-router", keep_outs=keep_out("clamp", 0, 0, 40, 200))
    job = job.replace("[[stock]]", "[settings]\nspare = 0\ngap = 6.1\n\n[[stock]]", 1)
    (tmp_path / "small.toml").write_text(job, encoding="utf-8")
    assert make(tmp_path / "small.toml", Choice(), lambda _: None).passed
