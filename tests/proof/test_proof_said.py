"""What comments tell the operator of zero, unit and work offset is held to what the program is judged by."""

import pytest
from proof_scene import good_text, judge, machine

from cncpanel.proof.said import said_findings

HEAD = "(UNITS MM, WORK OFFSET G54, DWELLS IN SECONDS, TOOLS BY HAND AT STOPS)\n"


def _told(text: str) -> list[tuple[int, str]]:
    return [(one.line, one.text) for one in said_findings(text, machine())]


def test_a_head_that_says_what_is_so_is_taken() -> None:
    zero = "(Z0 THE SHEET'S TOP, SET AT X15 Y195 WHERE NO PROGRAM CUTS)\n(MSG,SET Z0 THE SHEET'S TOP)\n"
    assert _told(HEAD + zero) == []


@pytest.mark.parametrize("before", ["(", "(MSG,SET "])
def test_another_zero_than_the_machines_is_told(before: str) -> None:
    expected = "its operator is told Z0 THE SPOILBOARD'S SURFACE, it is judged by Z0 THE SHEET'S TOP"
    assert _told(f"G61\n{before}Z0 THE SPOILBOARD'S SURFACE, SET BESIDE THE SHEET)\n") == [(2, expected)]


def test_another_unit_and_another_work_offset_are_told() -> None:
    text = HEAD.replace("MM", "INCH").replace("G54", "G55")
    assert [told for _, told in _told(text)] == [
        "its operator is told UNITS INCH, it is judged by UNITS MM",
        "its operator is told WORK OFFSET G55, it is judged by WORK OFFSET G54",
    ]


def test_a_part_of_such_a_name_tells_nothing() -> None:
    assert _told("(PART UNITS INCH, OUTLINE, T1)\n(_UNITS INCH, X)\n") == []


def test_a_good_program_with_a_forged_zero_fails() -> None:
    text = good_text().replace("Z0 THE SHEET'S TOP", "X", 1)
    assert judge(text).findings == ()
    forged = judge("(Z0 THE SPOILBOARD'S SURFACE, SET BESIDE THE SHEET)\n" + text)
    assert [(one.kind, one.severity, one.line) for one in forged.findings] == [("told-otherwise", "safety", 1)]
    assert forged.verdict == "fail"
