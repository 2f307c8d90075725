"""Edges made through every layer and judged by the witness: good ones pass, planted faults are told with their line."""

from collections.abc import Callable
from dataclasses import replace
from functools import cache
from math import sqrt
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest

from cncpanel.machine.model import Machine
from cncpanel.make.choice import Choice
from cncpanel.make.flow import Made, make
from cncpanel.proof.cuts import Cut, cuts_of, deepest
from cncpanel.proof.finding import Finding
from cncpanel.proof.prove import as_it_lies, prove
from cncpanel.proof.reader import read
from cncpanel.proof.rim import RimJudge
from cncpanel.proof.setup import Setup
from cncpanel.proof.target import NO_SECTIONS, Target

JOB = """
[job]
name = "rims"
machine = "shop-router"

[settings]
packing = { steps = 0 }

[[stock]]
name = "board"
material = "mdf"
thickness = 18
sheet = [500, 260]
count = 1

[[panel]]
name = "plate"
stock = "board"
size = [110, 80]
radius = [0, 10, 0, 0]
opening = [{ name = "eye", diameter = 40, centre = [40, 40], edge = [{ round = 6 }] }]
edge = [{ round = 6 }]
"""
ROUND_OVER = 8


@cache
def made(job: str = JOB) -> Made:
    with TemporaryDirectory() as folder:
        path = Path(folder) / "rims.toml"
        path.write_text(job, encoding="utf-8")
        return make(path, Choice(), lambda _: None)


def judged(
    change: Callable[[str], str] = str, machine: Machine | None = None, target: Target | None = None, job: str = JOB
) -> list[Finding]:
    """What the sections find in the job's programs after a change of their text, the machine or the target."""
    (sheet,) = made(job).sheets
    wanted = target or sheet.target
    setup = Setup(machine or made(job).machine, wanted.thickness)
    cuts: list[Cut] = []
    for written in sheet.programs:
        reading = read(change(written.text), setup.control)
        cuts += cuts_of(written.program.name, reading.moves, setup.tools, setup.top)
    return list(RimJudge(as_it_lies(wanted, setup), deepest(cuts), setup, 0.0).findings())


def whole_verdict(target: Target, job: str = JOB) -> set[str]:
    """The kinds of errors that the whole witness finds against another target."""
    (sheet,) = made(job).sheets
    report = prove([(written.program.name, written.text) for written in sheet.programs], made(job).machine, target)
    return {finding.kind for finding in report.findings if finding.severity != "remark"}


def deeper(amount: float) -> Callable[[str], str]:
    """The round-over's last pass deeper by so much."""

    def change(text: str) -> str:
        assert "Z-6.0000" in text
        return text.replace("Z-6.0000", f"Z{-6.0 - amount:.4f}")

    return change


def ground(**changes: float) -> Machine:
    """The machine with its round-over ground otherwise than the programs think."""
    machine = made().machine
    tools = tuple(t.model_copy(update=changes) if t.number == ROUND_OVER else t for t in machine.tool)
    return machine.model_copy(update={"tool": tools})


def test_rounded_rims_are_within_two_hundredths_of_the_quarter_circle() -> None:
    (sheet,) = made().sheets
    assert [str(f) for f in sheet.report.findings if f.severity != "remark"] == []
    assert [rim.name for rim in sheet.target.rims] == ["plate, edge 1", "plate, edge 1 of eye"]


@pytest.mark.parametrize("amount", [pytest.param(0.1, marks=pytest.mark.slow), 0.03])
def test_a_pass_that_is_too_deep_is_a_gouge_with_its_line(amount: float) -> None:
    found = judged(deeper(amount))
    assert {finding.kind for finding in found} == {"gouge"}
    assert all(finding.line > 0 for finding in found)
    assert max(finding.measure or 0 for finding in found) == pytest.approx(amount, abs=0.003)


@pytest.mark.slow
def test_a_pass_that_is_not_deep_enough_leaves_some_with_its_line() -> None:
    found = judged(deeper(-0.1))
    assert {finding.kind for finding in found} == {"leftover"}
    assert all(finding.line > 0 for finding in found)
    assert max(finding.measure or 0 for finding in found) == pytest.approx(0.1, abs=0.003)


@pytest.mark.parametrize(
    ("changes", "kind"),
    [
        pytest.param({"profile_radius": 5.9, "diameter": 15.8}, "gouge", marks=pytest.mark.slow),
        ({"profile_radius": 6.1, "diameter": 16.2}, "leftover"),
        pytest.param({"tip_radius": 2.1, "diameter": 16.2}, "gouge", marks=pytest.mark.slow),
        pytest.param({"tip_radius": 1.9, "diameter": 15.8}, "leftover", marks=pytest.mark.slow),
        pytest.param({"tip_length": 0.1}, "leftover", marks=pytest.mark.slow),
    ],
)
def test_a_tool_of_another_form_is_found(changes: dict[str, float], kind: str) -> None:
    assert kind in {finding.kind for finding in judged(machine=ground(**changes))}


def test_a_rim_that_nobody_asked_for_is_a_gouge() -> None:
    (sheet,) = made().sheets
    assert whole_verdict(replace(sheet.target, rims=())) == {"gouge"}


@pytest.mark.slow
def test_a_rim_that_no_program_makes_is_left_over() -> None:
    def without_the_round_over(text: str) -> str:
        head, mark, _ = text.partition("(MSG,FIT T8")
        assert mark
        return head + "M2\n"

    found = judged(without_the_round_over)
    assert {f.kind for f in found} == {"leftover"}
    assert max(f.measure or 0 for f in found) == pytest.approx((sqrt(2) - 1) * 6, abs=0.05)


STRETCHES = JOB.replace(
    "edge = [{ round = 6 }]\n",
    'edge = [{ side = "top", round = 6 }, { side = "left", start = 10, stop = 70, round = 6 }]\n',
)


@pytest.mark.slow
def test_stretches_run_off_at_corners_and_taper_out_within_the_rim() -> None:
    (sheet,) = made(STRETCHES).sheets
    assert [str(f) for f in sheet.report.findings if f.severity != "remark"] == []


@pytest.mark.slow
@pytest.mark.parametrize(("amount", "kinds"), [(0.0, set()), (0.1, {"gouge"})])
def test_where_it_tapers_out_nothing_goes_further_than_the_whole_form(amount: float, kinds: set[str]) -> None:
    (sheet,) = made(STRETCHES).sheets
    tapering = [rim for rim in sheet.target.rims if not rim.tapers.is_empty]
    assert len(tapering) == 1
    only = tuple(replace(rim, sections=NO_SECTIONS) for rim in tapering)
    assert {f.kind for f in judged(deeper(amount), target=replace(sheet.target, rims=only), job=STRETCHES)} == kinds


@pytest.mark.slow
@pytest.mark.parametrize(
    "other",
    [
        'edge = [{ side = "bottom", round = 6 }, { side = "left", start = 10, stop = 70, round = 6 }]\n',
        'edge = [{ side = "top", round = 6 }, { side = "left", start = 10, stop = 66, round = 6 }]\n',
    ],
)
def test_the_wrong_stretch_is_found(other: str) -> None:
    (sheet,) = made(JOB.replace("edge = [{ round = 6 }]\n", other)).sheets
    assert whole_verdict(sheet.target, STRETCHES) & {"gouge", "leftover"}


def test_what_any_of_several_grooves_takes_from_a_rounded_edge_is_no_gouge() -> None:
    """Two grooves run out over one edge; each takes the form away where it crosses it."""
    crossed = "\n".join(line for line in JOB.splitlines() if not line.startswith(("radius", "opening"))) + "\n"
    for x in (30, 80):
        crossed += f"[[panel.groove]]\nwidth = 12\ndepth = 9\npath = [[{x}, 20], [{x}, 80]]\n"
    assert len([floor for floor in made(crossed).sheets[0].target.floors if floor.depth == 9]) == 2
    assert judged(job=crossed) == []
