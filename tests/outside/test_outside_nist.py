"""Programs behave as NISTIR 6556 says (Kramer, Proctor, Messina: The NIST RS274NGC Interpreter, version 3, 2000).

Cases marked computed are worked out from the report's rules by hand; the report's own examples are named.
"""

from math import degrees, hypot

import pytest

from cncpanel.proof.reader import Reading, read

HEAD = "G17 G21 G90 G94 F600\n"


def run(body: str, start: tuple[float, float, float] = (0.0, 0.0, 0.0)) -> Reading:
    return read(f"{HEAD}{body}\nM2\n", start=start)


def arc(start: tuple[float, float], block: str) -> tuple[tuple[float, float], float, float]:
    """Centre, sweep in degrees, length in the plane."""
    reading = run(block, (*start, 0.0))
    assert () == reading.findings
    (move,) = reading.moves
    assert move.centre is not None
    return (move.centre[0], move.centre[1]), degrees(move.sweep), move.radius * move.sweep


def kinds(body: str, start: tuple[float, float, float] = (0.0, 0.0, 0.0)) -> list[str]:
    return [finding.kind for finding in run(body, start).findings]


# Section 3.5.3; A is the report's example, R from its sample program C.1, the others computed.
GOOD_ARCS = [
    ("A", (7, 7), "G2 X10 Y16 I3 J4 Z9", (10, 11), 143.130, 12.4905),
    ("B", (5, 0), "G3 X0 Y5 I-5 J0", (0, 0), 90, 7.8540),
    ("C", (0, 0), "G2 X10 Y0 I5 J0", (5, 0), 180, 15.7080),
    ("D", (5, 0), "G3 X5 Y0 I-5", (0, 0), 360, 31.4159),
    ("E", (0, 0), "G2 X10.0019 Y0 I5 J0", (5, 0), 180, 15.7080),
    ("G", (0, 0), "G2 X10 Y0.1 I5 J0", (5, 0), 178.854, 15.6080),
    ("I", (5, 0), "G3 X5 Y0.0005 I-5", (0, 0), 0.0057, 0.0005),
    ("I clockwise", (5, 0), "G2 X5 Y0.0005 I-5", (0, 0), 359.994, 31.4154),
    ("K", (0, 0), "G2 X10 Y0 R5", (5, 0), 180, 15.7080),
    ("L", (0, 0), "G2 X10 Y0 R6", (5, -3.31662), 112.885, 11.8213),
    ("M", (0, 0), "G2 X10 Y0 R-6", (5, 3.31662), 247.115, 25.8778),
    ("N", (0, 0), "G3 X10 Y0 R6", (5, 3.31662), 112.885, 11.8213),
    ("R", (16, 2.5), "G3 X13.5 Y0 I-2.5", (13.5, 2.5), 270, 11.7810),
    ("sample C.1, R arc", (64, 4), "G2 X69 R4", (66.5, 0.8775), 77.364, 5.4011),
]


@pytest.mark.parametrize(("name", "start", "block", "centre", "sweep", "length"), GOOD_ARCS)
def test_an_arc_has_the_centre_and_sweep_of_the_report(
    name: str,
    start: tuple[float, float],
    block: str,
    centre: tuple[float, float],
    sweep: float,
    length: float,
) -> None:
    found_centre, found_sweep, found_length = arc(start, block)
    assert centre == pytest.approx(found_centre, abs=6e-5)
    assert sweep == pytest.approx(found_sweep, abs=6e-4)
    assert length == pytest.approx(found_length, abs=6e-5)


BAD_ARCS = [
    ("F", (0, 0), "G2 X10.0021 Y0 I5 J0", "arc-radius"),
    ("H", (5, 0), "G3 X0 Y5 I5 J0", "arc-radius"),
    ("J", (0, 0), "G2 X10 Y0 I0 J0", "arc-zero-radius"),
    ("O", (0, 0), "G2 X10 Y0 R4.9", "arc-too-small"),
    ("P", (0, 0), "G2 X7.072 Y7.071 R5", "arc-too-small"),
    ("Q", (5, 0), "G3 X5 Y0 R5", "arc-same-point"),
    ("S", (0, 0), "G2 X10 Y0 R5 I5", "arc-mixed"),
    ("no centre", (0, 0), "G2 X10 Y0", "arc-missing"),
    ("wrong letter", (0, 0), "G2 X10 Y0 I5 K1", "arc-offset"),
    ("only the normal axis", (0, 0), "G2 Z4 I5", "arc-axes"),
    ("full circle without a coordinate", (0, 0), "G2 I5", "axis-missing"),
]


@pytest.mark.parametrize(("name", "start", "block", "kind"), BAD_ARCS)
def test_an_arc_that_the_report_forbids_is_a_finding(
    name: str, start: tuple[float, float], block: str, kind: str
) -> None:
    assert [kind] == kinds(block, (*start, 0.0))


def test_the_radius_mismatch_is_measured_against_the_limit() -> None:
    (finding,) = run("G2 X10.0021 Y0 I5 J0").findings
    assert (0.0021, 0.002) == (pytest.approx(finding.measure, abs=1e-9), finding.limit)
    assert 2 == finding.line


def test_an_inch_program_allows_a_fifth_of_a_thou() -> None:
    """Section 3.5.3.2: 0.0002 inch with G20."""
    assert [] == kinds("G20\nG2 X10.0002 Y0 I5 J0")
    assert ["arc-radius"] == kinds("G20\nG2 X10.0003 Y0 I5 J0")


def test_g18_takes_z_first_and_x_second() -> None:
    """Section 4.3.6.1: in the XZ plane the first axis is Z; computed quarter turn from Z+ to X+."""
    (move,) = run("G18\nG3 X5 Z0 K-5", (0, 0, 5)).moves
    assert 90 == pytest.approx(degrees(move.sweep))
    assert (5 * 0.5**0.5, 0.0, 5 * 0.5**0.5) == pytest.approx(move.at(0.5))


def test_a_helix_is_as_long_as_its_thread() -> None:
    """Section 2.1.2.6: the feed runs along the helix; computed from r, sweep and rise of case A."""
    (move,) = run("G2 X10 Y16 I3 J4 Z9", (7, 7, 0)).moves
    assert hypot(12.4905, 9.0) == pytest.approx(move.length, abs=1e-4)


# Section 3.5.16.2: the report's two worked lists of G81.
def test_g81_absolute_makes_the_reports_moves() -> None:
    reading = run("G90 G81 G98 X4 Y5 Z1.5 R2.8", (1, 2, 3))
    assert () == reading.findings
    assert [
        ("rapid", (4, 5, 3)),
        ("rapid", (4, 5, 2.8)),
        ("feed", (4, 5, 1.5)),
        ("rapid", (4, 5, 3)),
    ] == [(move.kind, pytest.approx(move.end)) for move in reading.moves]


def test_g81_incremental_with_repeats_makes_the_reports_moves() -> None:
    reading = run("G91 G81 G98 X4 Y5 Z-0.6 R1.8 L3", (1, 2, 3))
    assert () == reading.findings
    expected = [("rapid", (1, 2, 4.8))]
    for x, y in ((5, 7), (9, 12), (13, 17)):
        expected += [("rapid", (x, y, 4.8)), ("feed", (x, y, 4.2)), ("rapid", (x, y, 4.8))]
    assert expected == [(move.kind, pytest.approx(move.end)) for move in reading.moves]


def test_a_cycles_words_stick_but_its_repeats_do_not() -> None:
    reading = run("G81 X4 Y5 Z1.5 R2.8\nX10", (1, 2, 3))
    assert [(4, 5, 1.5), (10, 5, 1.5)] == [pytest.approx(move.end) for move in reading.moves if move.kind == "feed"]


# Sample program C.2 and section 3.3.2.3: every value is the report's.
EXPRESSIONS = [
    ("1 + 2 * 3 - 4 / 5", 6.2),
    ("2 ** 3 ** 2", 64),
    ("round[-0.5001]", -1),
    ("round[0.4999]", 0),
    ("fix[-2.8]", -3),
    ("fup[-2.8]", -2),
    ("fix[-0.499]", -1),
    ("fup[-0.499]", 0),
    ("1 and 0", 0),
    ("0 or 2", 1),
    ("1 xor 3", 0),
    ("15 mod 4", 3),
    ("sin[30]", 0.5),
    ("acos[0]", 90),
    ("atan[1]/[-1]", 135),
    ("sqrt[3**2 + 4**2]", 5),
    ("ln[exp[2.5]]", 2.5),
]


@pytest.mark.parametrize(("text", "value"), EXPRESSIONS)
def test_an_expression_has_the_reports_value(text: str, value: float) -> None:
    (move,) = run(f"G0 X[{text}]").moves
    assert value == pytest.approx(move.end[0], abs=1e-9)


def test_parameters_are_set_after_the_line_is_read() -> None:
    """Section 3.3.3: #3=15 with #3 used on the same line reads the old value; ##2 looks up twice; #1+2 is [#1]+2."""
    reading = run("#3=6\n#3=15 G0 X#3\nX#3\n#2=3\nX##2\n#1=3\n#5=99\nX[#1+2]\nX#[#1+2]")
    assert () == reading.findings
    assert [6, 15, 15, 5, 99] == [move.end[0] for move in reading.moves]


def test_brackets_may_nest_ten_deep_many_times_over() -> None:
    (move,) = run("G0 X" + "[" * 60 + "7" + "]" * 60).moves
    assert 7 == move.end[0]


def test_spaces_may_stand_inside_numbers() -> None:
    """Section 3.3: g0x +0. 12 34y 7 is g0 x+0.1234 y7."""
    (move,) = run("g0x +0. 12 34y 7").moves
    assert (0.1234, 7) == move.end[:2]


# Section 3.8, table 8.
def test_the_spindle_stops_before_the_motion_of_its_line() -> None:
    reading = run("M3 S9000\nM5 G0 Z50")
    assert [False] == [move.spindle_on for move in reading.moves]


def test_a_tool_change_stops_the_spindle_and_m3_of_the_line_starts_it_again() -> None:
    (move,) = run("M3 S9000\nT2 M6 M3 S18000 G0 X1").moves
    assert (2, True, 18000) == (move.tool, move.spindle_on, move.rpm)


def test_motion_comes_before_the_end_on_its_line() -> None:
    reading = read(f"{HEAD}G1 X10 M30", start=(0, 0, 0))
    assert ((10, 0, 0), ()) == (reading.moves[0].end, reading.findings)


def test_units_and_distance_of_a_line_hold_for_its_own_motion() -> None:
    reading = run("G91 G1 X1\nG20 X1", (5, 0, 0))
    assert [6, 31.4] == [pytest.approx(move.end[0]) for move in reading.moves]


def test_g92_makes_the_current_place_read_the_given_numbers() -> None:
    reading = run("G92 X100\nG0 X101\nG92.2\nG0 X5\nG92.3\nG0 X100", (10, 0, 0))
    assert [11, 5, 10] == [move.end[0] for move in reading.moves]


def test_inverse_time_gives_the_minutes_of_the_move() -> None:
    """Section 3.5.19: F2 with G93 means half a minute for the move; 10 mm in half a minute is 20 mm/min."""
    (move,) = run("G93 G1 X10 F2").moves
    assert 20 == pytest.approx(move.feed)


# The conformance checklist, from the report's sections 3.3 to 3.6 and its table of errors.
CHECKLIST = [
    ("L1", "G0 X" + "1" * 260, "line-length"),
    ("L2", "G0 X1 ;here", "character"),
    ("L2", "G0 U4", "character"),
    ("L2", "G0 X1é", "character"),
    ("L2", "G0 X1 (caf\u00e9)", "character"),
    ("L2", "G0 X\u0661", "number"),
    ("L2", "G0 X1\x0cY2", "character"),
    ("L3", "G0 X1 (open", "comment"),
    ("L4", "G0 X1 (one (two))", "comment"),
    ("L5", "G0 X", "number"),
    ("L5", "G0 X.", "number"),
    ("L5", "G0 X--5", "number"),
    ("L5", "G0 X1e3", "character"),
    ("L6", "N123456 G0 X1", "line-number"),
    ("L6", "N000009 G0 X1", "line-number"),
    ("L6", "G0 N5 X1", "line-number"),
    ("L7", "G0 X[1+2", "expression"),
    ("L7", "G0 X[1?2]", "expression"),
    ("L7", "G0 Xsin30", "expression"),
    ("L7", "G0 X[atan[1]]", "expression"),
    ("L7", "#1 5", "parameter-setting"),
    ("L7", "#6000=1", "parameter-number"),
    ("L7", "#0=1", "parameter-number"),
    ("L7", "#1.5=1", "parameter-number"),
    ("L8", "G0 X[1/0]", "arithmetic"),
    ("L8", "G0 Xsqrt[-1]", "arithmetic"),
    ("L8", "G0 Xln[0]", "arithmetic"),
    ("L8", "G0 Xacos[2]", "arithmetic"),
    ("L8", "G0 X[[-2]**0.5]", "arithmetic"),
    ("W1", "G0 X1 X2", "repeated-word"),
    ("W2", "G0 G1 X1", "group-clash"),
    ("W2", "G4 G53 P1", "group-clash"),
    ("W2", "M3 M5", "group-clash"),
    ("W3", "M0 M3 M6 M7 M48", "too-many-m"),
    ("W4", "G73 X1", "unknown-code"),
    ("W4", "G95", "unknown-code"),
    ("W4", "G-1 X1", "negative-code"),
    ("W4", "M99", "unknown-code"),
    ("W5", "S-100", "negative-word"),
    ("W5", "T-1", "negative-word"),
    ("W5", "F-1", "negative-word"),
    ("U1", "D3", "word-unused"),
    ("U2", "H1", "word-unused"),
    ("U3", "G1 X1 I2", "word-unused"),
    ("U4", "G1 X1 L2", "word-unused"),
    ("U5", "G64 P0.05", "word-unused"),
    ("U6", "G1 X1 Q2", "word-unused"),
    ("U7", "G1 X1 R2", "word-unused"),
    ("U8", "G80\nX1", "axis-unused"),
    ("U9", "G80 X1", "axis-with-g80"),
    ("U10", "G1 G92 X1", "two-axis-users"),
    ("M1", "G1 F1200", "axis-missing"),
    ("M1", "G92", "axis-missing"),
    ("M2", "G4", "dwell-missing"),
    ("M4", "G43", "offset-missing"),
    ("D1", "F0\nG1 X1", "no-feed"),
    ("D2", "F0\nG2 X10 Y0 I5", "no-feed"),
    ("D3", "G93\nG1 X1", "no-feed"),
    ("C1", "G53 G2 X10 Y0 I5", "g53"),
    ("C2", "G91 G53 G0 X1", "g53"),
    ("K", "G41 D1", "not-simulated"),
    ("M5", "G38.2 X1", "not-simulated"),
    ("Y2", "G81 X1 Z-1", "cycle-word"),
    ("Y2", "G81 X1 Z2 R1", "cycle-r"),
    ("Y3", "G82 X1 Z-1 R1", "cycle-word"),
    ("Y3", "G83 X1 Z-1 R1", "cycle-word"),
    ("Y4", "G81 X1 Z-1 R1 L0", "zero-repeats"),
    ("Y6", "G93 G81 X1 Z-1 R1 F1", "cycle-feed-mode"),
    ("Y7", "G84 X1 Z-1 R1", "cycle-spindle"),
    ("Y7", "M4 S100\nG84 X1 Z-1 R1", "cycle-spindle"),
    ("Y7", "G86 X1 Z-1 R1 P1", "cycle-spindle"),
    ("Y3", "M3 S100\nG88 X1 Z-1 R1", "cycle-word"),
    ("Y3", "M3 S100\nG87 X1 Z-1 R1 I1 J1", "cycle-word"),
]


@pytest.mark.parametrize(("rule", "body", "kind"), CHECKLIST)
def test_a_broken_rule_of_the_checklist_is_found_on_its_line(rule: str, body: str, kind: str) -> None:
    reading = run(body)
    assert kind in [finding.kind for finding in reading.findings]
    assert {2 + body.count("\n")} == {finding.line for finding in reading.findings if finding.kind == kind}


def test_a_file_needs_an_end_or_percent_lines() -> None:
    """Section 3.1."""
    assert ["no-end"] == [f.kind for f in read(f"{HEAD}G0 X1", start=(0, 0, 0)).findings]
    assert ["percent"] == [f.kind for f in read(f"%\n{HEAD}G0 X1", start=(0, 0, 0)).findings]
    assert [] == [f.kind for f in read(f"%\n{HEAD}G0 X1\n%\nrubbish", start=(0, 0, 0)).findings]


def test_reading_goes_on_and_one_run_lists_every_mistake() -> None:
    reading = run("G1 X1 X2\nG1 X2\nG73\nG2 X5 Y5 I1 J1")
    assert [(2, "repeated-word"), (4, "unknown-code"), (5, "arc-radius")] == [
        (finding.line, finding.kind) for finding in reading.findings
    ]


def test_the_column_points_at_the_word() -> None:
    (finding,) = run("G0 X1 (why) X2").findings
    assert 13 == finding.column
