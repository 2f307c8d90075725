"""Every program of fixtures/programs: the good ones clean, the bad ones found out at the right line."""

import re
from pathlib import Path

import pytest
from proof_scene import PROGRAMS, judge

from cncpanel.proof.obstacle import Obstacle

GOOD = sorted((PROGRAMS / "good").glob("*.nc"))
BAD = sorted((PROGRAMS / "bad").glob("*.nc"))
HELD = re.compile(r"\(HOLDING ([\d. ]+)\)")  # a clamp that is given with the program: at X Y, size X Y, height


def held(numbers: str) -> Obstacle:
    x, y, width, depth, height = map(float, numbers.split())
    return Obstacle(kind="clamp", xmin=x, ymin=y, xmax=x + width, ymax=y + depth, height=height)


def test_there_are_programs_of_both_kinds() -> None:
    assert len(GOOD) >= 1
    assert len(BAD) >= 40


@pytest.mark.parametrize("path", GOOD, ids=lambda path: path.stem)
def test_a_good_program_passes_without_a_word(path: Path) -> None:
    report = judge(path.read_text(encoding="ascii"))
    assert list(map(str, report.findings)) == []
    assert report.verdict == "pass"


@pytest.mark.parametrize("path", BAD, ids=lambda path: path.stem)
def test_a_bad_program_fails_at_its_line(path: Path) -> None:
    text = path.read_text(encoding="ascii")
    expected = re.search(r"\(EXPECT ([A-Z0-9-]+) AT (\d+)\)", text)
    assert expected is not None
    report = judge(text, holding=tuple(map(held, HELD.findall(text))))
    assert (expected[1].lower(), int(expected[2])) in [(found.kind, found.line) for found in report.findings]
    assert report.verdict == "fail"
