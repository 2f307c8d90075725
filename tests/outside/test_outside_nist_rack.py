"""Clauses of NISTIR 6556's checklist that need the rack or the way: indexes too large, probing, radius compensation.

Source: the report's sections 3.5.9, 3.5.10 and appendix B, and the messages of its interpreter.
"""

import pytest

from cncpanel.proof.control import Control
from cncpanel.proof.finding import Finding
from cncpanel.proof.reader import Reading, read

HEAD = "G17 G21 G40 G49 G54 G80 G90 G94 F600 T1\nG0 X0 Y0 Z5\n"
RACK = Control(machine_zero=(0.0, 0.0, 0.0), slots=11, radii={1: 3.0, 11: 8.0})


def run(body: str, control: Control = RACK) -> Reading:
    return read(f"{HEAD}{body}\nM2\n", control)


def told(body: str, control: Control = RACK) -> list[Finding]:
    return [finding for finding in run(body, control).findings if finding.kind != "not-simulated"]


def places(body: str) -> list[tuple[str, int, int]]:
    return [(finding.kind, finding.line - 2, finding.column) for finding in told(body)]


@pytest.mark.parametrize(("body", "column"), [("T12", 1), ("G43 H12", 5), ("G41 D12", 5)])
def test_an_index_beyond_the_rack_is_told_w6(body: str, column: int) -> None:
    (finding,) = told(body)
    assert ("index-too-large", 3, column, 12, 11) == (
        finding.kind, finding.line, finding.column, finding.measure, finding.limit,
    )  # fmt: skip
    assert [] == told(body.replace("12", "11"))


def test_without_a_known_rack_no_index_is_too_large() -> None:
    assert [] == told("T60", Control())


@pytest.mark.parametrize(
    ("body", "kind", "line", "column"),
    [
        ("G38.2 X0.25", "probe", 1, 1),
        ("G91 G38.2 X0.25", "probe", 1, 5),
        ("G38.2 X9 A4", "probe", 1, 1),
        ("G93 G38.2 X9", "probe", 1, 5),
        ("F0\nG38.2 X9", "no-feed", 2, 1),
    ],
)
def test_probing_has_rules_m5(body: str, kind: str, line: int, column: int) -> None:
    assert [(kind, line, column)] == places(body)
    assert "not-simulated" in [finding.kind for finding in run(body).findings]


def test_probing_from_a_hundredth_of_an_inch_is_allowed() -> None:
    assert [] == places("G38.2 X0.254")


@pytest.mark.parametrize(
    ("way", "line", "column"),
    [
        ("G41 G1 X10\nY10", 2, 1),
        ("G42 G1 X10\nY-10", 2, 1),
        ("G41 G1 X10\nX20\nX30 Y0.2", 3, 1),
        ("G41 G1 X10\nG3 X14 Y4 J4\nG1 Y9\nX0", 4, 1),
        ("G42 D0 G1 X1\nY-10", 2, 1),
    ],
)
def test_a_concave_corner_is_told_k4(way: str, line: int, column: int) -> None:
    assert [("compensation", line, column)] == places(way)
    assert "concave" in told(way)[0].text


@pytest.mark.parametrize(
    "way",
    [
        "G41 G1 X10\nY-10",
        "G42 G1 X10\nY10",
        "G41 G1 X10\nX20\nX30 Y0.09",
        "G41 G1 X10\nG3 X14 Y4 J4\nG1 Y9\nX20",
        "G41 G1 X10\nZ4\nX20\nG40 X30\nG1 Y40\nG1 X0",
    ],
)
def test_convex_corners_and_turns_within_a_hundredth_of_a_radian_are_not(way: str) -> None:
    assert [] == places(way)


def test_a_first_place_inside_the_tools_circle_is_told_k5() -> None:
    (finding,) = told("G41 G1 X2.9")
    assert ("compensation", 2.9, 3.0) == (finding.kind, finding.measure, finding.limit)
    assert [] == told("G41 G1 X3.1")
    assert [] == told("G41 D0 G1 X2.9")


def test_the_radius_is_that_of_the_index() -> None:
    assert [8.0] == [finding.limit for finding in told("G41 D11 G1 X7")]


def test_an_arc_that_the_tool_does_not_fit_into_is_told_k6() -> None:
    (finding,) = told("G41 G1 X10\nG3 X12 Y2 J2")
    assert ("compensation", 4, 2.0, 3.0) == (finding.kind, finding.line, finding.measure, finding.limit)
    assert [] == told("G41 G1 X10\nG2 X12 Y-2 J-2")
    assert [] == told("G42 G1 X10\nG3 X12 Y2 J2")


@pytest.mark.parametrize("number", range(5211, 5217))
def test_a_zero_set_by_its_parameter_is_never_passed_over(number: int) -> None:
    """Table 2 of the report: these hold G92's offsets, and those from 5220 on the work systems."""
    for index in (number, number + 10, 5220, 5386):
        (finding,) = run(f"  #{index}=3").findings
        assert ("not-simulated", "safety", 3) == (finding.kind, finding.severity, finding.column)


def test_a_change_of_units_while_a_zero_is_held_is_never_passed_over() -> None:
    """The report converts positions alone (section 4.3.3.3); other controls convert zeros too."""
    assert ["not-simulated"] == [finding.kind for finding in run("G92 X1\nG20").findings]
    assert ["not-simulated"] == [finding.kind for finding in run("G10 L2 P2 X1\nG20").findings]
    assert [] == told("G92 X1\nG21")
    assert () == run("G20").findings


def test_numbers_near_whole_ones_are_whole_as_written() -> None:
    """Section 3.3.2.1: within 0.0001."""
    reading = run("T1.99995 M6\nG10 L2.00005 P1.99995 X3 Y3 Z3\nG55 X1")
    assert () == reading.findings
    assert (2, (1.0 + 3.0, 3.0, 5.0)[0]) == (reading.moves[-1].tool, reading.moves[-1].end[0])
    assert ["zero-repeats"] == [finding.kind for finding in told("G81 X1 Z-1 R1 L0.00005")]


def test_every_word_of_a_line_that_cannot_be_read_is_told() -> None:
    assert [("number", 1, 5), ("character", 1, 10), ("number", 1, 14)] == places("G0 X-- Y1e4 Z--")
    assert [("number", 1, 6), ("number", 1, 15)] == places("G0 X[FOO[1]] Y--")
    assert [("arithmetic", 1, 9), ("number", 1, 16)] == places("G0 X[1/0+Y--] Y--")
    assert [("number", 1, 8), ("group-clash", 1, 4)] == places("G0 G1 X--5")
    assert [("character", 1, 7)] == places("G0 X1 ;X-- Y--")
