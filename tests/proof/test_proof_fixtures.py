"""Every program of fixtures/programs: the good ones clean, the bad ones found out at the right line."""

import re
from collections import Counter
from dataclasses import replace
from pathlib import Path

import pytest
from proof_scene import PROGRAMS, judge, machine, scene_target

from cncpanel.machine.model import Machine
from cncpanel.machine.read import read_machine
from cncpanel.make.cutting_limits import cutting_limits
from cncpanel.proof.load import Allowed, CuttingLimits
from cncpanel.proof.obstacle import Obstacle
from cncpanel.proof.report import Report
from cncpanel.proof.target import Target

TOLD = {
    head: lines
    for part in (PROGRAMS / "bad" / "told.txt").read_text("utf-8").split("== ")[1:]
    for head, *lines in [part.strip().splitlines()]
}
GOOD = sorted((PROGRAMS / "good").glob("*.nc"))
BAD = sorted((PROGRAMS / "bad").glob("*.nc"))
EXPECTED = re.compile(r"\(EXPECT ([A-Z0-9-]+) AT (\d+)( AS A REMARK)?\)")
HELD = re.compile(r"\(HOLDING ([\d. ]+)\)")  # a clamp that is given with the program: at X Y, size X Y, height
MACHINE = re.compile(r"\(MACHINE ([a-z0-9-]+\.toml)\)")  # beside the program; else the scene's
MATERIAL = re.compile(r"\(MATERIAL ([A-Z]+)\)")  # without it load and power are not judged
USES = re.compile(r"\(USES ([T\d ]+)\)")  # the tools that were planned, in order
ALLOWED = re.compile(r"\(ALLOWED ([\d. ]+)\)")  # a tool, a feed, and the mm2 that the feed was given for
GROUND = re.compile(r"\((FLAW|USED) ([\d. ]+)\)")  # a place of the sheet: at X Y, size X Y
RECESS = re.compile(r"\(RECESS ([\d.]+) DEEP\)")  # the depth that is wanted; else the scene's


def held(numbers: str) -> Obstacle:
    x, y, width, depth, height = map(float, numbers.split())
    return Obstacle(kind="clamp", xmin=x, ymin=y, xmax=x + width, ymax=y + depth, height=height)


def allowed(numbers: str) -> Allowed:
    tool, feed, section = map(float, numbers.split())
    return Allowed(tool=int(tool), feed=feed, section=section)


def machine_of(text: str) -> Machine:
    named = MACHINE.search(text)
    return read_machine(named[1], beside=PROGRAMS / "bad") if named else machine()


def limits_of(text: str, on: Machine) -> CuttingLimits | None:
    material = MATERIAL.search(text)
    if material is None:
        return None
    return replace(cutting_limits(material[1].lower(), on, ()), allowed=tuple(map(allowed, ALLOWED.findall(text))))


def ground_of(text: str, kind: str) -> tuple[Obstacle, ...]:
    """The places of one kind; nothing stands on them."""
    return tuple(held(f"{numbers} 0") for said, numbers in GROUND.findall(text) if said == kind)


def wanted_of(text: str) -> Target:
    asked = RECESS.search(text)
    recess = {"size": (40, 30), "at": (20, 15), "radius": 4, "depth": float(asked[1])} if asked else None
    return scene_target(recess=[recess]) if recess else scene_target()


def test_there_are_programs_of_both_kinds() -> None:
    assert len(GOOD) >= 1
    assert len(BAD) >= 40


@pytest.mark.parametrize("path", GOOD, ids=lambda path: path.stem)
def test_a_good_program_passes_without_a_word(path: Path) -> None:
    report = judge(path.read_text(encoding="ascii"))
    assert list(map(str, report.findings)) == []
    assert report.verdict == "pass"


def judged(text: str) -> Report:
    on = machine_of(text)
    uses = USES.search(text)
    return judge(
        text,
        wanted_of(text),
        on=on,
        holding=tuple(map(held, HELD.findall(text))),
        limits=limits_of(text, on),
        uses=tuple(int(tool[1:]) for tool in uses[1].split()) if uses else None,
        used=ground_of(text, "USED"),
        flaws=ground_of(text, "FLAW"),
    )


def in_full(report: Report) -> list[str]:
    """The first finding of each kind with all that it tells, numbers to what a reader sees, and how many there are."""
    kinds = Counter(found.kind for found in report.findings)
    told = []
    for kind, count in kinds.items():
        found = next(found for found in report.findings if found.kind == kind)
        axes = zip("XYZ", (found.x, found.y, found.z), strict=True)
        place = " ".join(f"{axis}{at:.2f}" for axis, at in axes if at is not None)
        amounts = " of ".join(f"{amount:.3g}" for amount in (found.measure, found.limit) if amount is not None)
        told.append(" | ".join(filter(None, (f"{count} {found}", place, amounts))))
    return told


@pytest.mark.parametrize("path", BAD, ids=lambda path: path.stem)
def test_a_bad_program_fails_at_its_line_and_is_told_why_in_full(path: Path) -> None:
    """The words stand in told.txt, read over by hand."""
    text = path.read_text(encoding="ascii")
    expected = EXPECTED.search(text)
    assert expected is not None
    report = judged(text)
    assert (expected[1].lower(), int(expected[2])) in [(found.kind, found.line) for found in report.findings]
    assert report.verdict == ("pass with remarks" if expected[3] else "fail")
    assert TOLD[path.stem] == in_full(report)
