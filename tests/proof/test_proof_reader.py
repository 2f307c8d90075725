"""The reader at its limits: zeros and homes, long and hostile programs, words that a control lacks."""

import tracemalloc
from collections.abc import Iterator
from math import isnan

import pytest
from proof_scene import good_text, judge, kinds, machine

from cncpanel.proof.control import Control
from cncpanel.proof.finding import Finding
from cncpanel.proof.reader import Reading, read, walk
from cncpanel.proof.tally import MOST_PER_KIND

HEAD = "G17 G21 G40 G49 G54 G80 G90 G94 F600\n"
AT_ZERO = Control(machine_zero=(100.0, 50.0, -80.0))


def run(body: str, control: Control = AT_ZERO) -> Reading:
    return read(f"{HEAD}{body}\nM2\n", control, (0.0, 0.0, 0.0))


def found(body: str, control: Control = AT_ZERO) -> list[str]:
    return [finding.kind for finding in run(body, control).findings]


def test_g10_moves_the_zero_of_the_work_system_in_force() -> None:
    """The zero lies at machine 100, 50, -80; put to 110 it lies 10 farther along X."""
    reading = run("G10 L2 P1 X110\nG0 X1 Y2 Z3")
    assert () == reading.findings
    assert (11.0, 2.0, 3.0) == reading.moves[-1].end


def test_g10_makes_another_system_known() -> None:
    reading = run("G10 L2 P2 X90 Y60 Z-75\nG55\nG0 X1 Y2 Z3\nG54\nX1 Y2 Z3")
    assert () == reading.findings
    assert [(-9.0, 12.0, 8.0), (1.0, 2.0, 3.0)] == [move.end for move in reading.moves]


def test_a_system_of_which_an_axis_was_not_set_is_a_finding() -> None:
    assert ["work-system"] == found("G10 L2 P2 X90 Y60\nG55\nG0 X1")


def test_g10_is_not_simulated_where_the_machine_knows_no_coordinates() -> None:
    reading = run("G10 L2 P1 X110\nG0 X1 Y2", Control())
    assert [
        "2:1: safety: G10 on a machine that does not know its own coordinates, so where the zero comes to lie "
        "is not simulated (not-simulated)"
    ] == list(map(str, reading.findings))
    assert isnan(reading.moves[-1].end[0])
    assert 2.0 == reading.moves[-1].end[1]


def test_g28_goes_by_way_of_its_point_to_the_place_in_the_parameters() -> None:
    reading = run("#5161=120 #5162=60 #5163=0\nG28 Z30")
    assert () == reading.findings
    assert [("rapid", (0.0, 0.0, 30.0)), ("rapid", (20.0, 10.0, 80.0))] == [(m.kind, m.end) for m in reading.moves]


def test_g30_has_a_place_of_its_own() -> None:
    reading = run("#5181=100 #5182=50 #5183=-70\nG30")
    assert [(0.0, 0.0, 10.0)] == [move.end for move in reading.moves]


def test_home_is_not_known_where_no_parameter_says_it() -> None:
    assert ["not-simulated"] == found("G28")
    assert isnan(run("G28\nG0 X1").moves[-1].end[2])


def test_inverse_time_gives_each_move_the_feed_that_takes_its_time() -> None:
    """NISTIR 6556, 3.5.1: F2 is half a minute a move; 30 mm in that is 60 mm/min."""
    reading = run("G93\nG1 X30 F2\nX30 Y10 F4")
    assert [60.0, 40.0] == [move.feed for move in reading.moves]
    assert ["no-feed"] == found("G93\nG1 X30")


def test_a_long_program_is_read_in_memory_that_does_not_grow() -> None:
    """200,000 lines a line at a time; traced over the last 10,000, where 50 bytes kept a line would show."""
    last = 190_000

    def lines() -> Iterator[str]:
        yield HEAD
        for i in range(200_000):
            if i == last:
                tracemalloc.start()
            yield f"X{i % 997}.{i % 10}" if i % 50 else f"G1 Y{i % 89} F{600 + i % 7}"
        yield "M2"

    moves = sum(not isinstance(item, Finding) for item in walk(lines(), Control(), (0.0, 0.0, 0.0)))
    held, peak = tracemalloc.get_traced_memory()
    tracemalloc.stop()
    assert moves >= 200_000
    assert held < 500_000
    assert peak < 500_000


HOSTILE = {
    "a line over 64 kB": ("G1 X" + "1" * 70_000, "line-length", "70004 characters (at most 256)"),
    "a line of spaces": (" " * 70_000, "line-length", "70000 characters (at most 256)"),
    "a huge count": (
        "G81 X1 Z-1 R1 L99999999",
        "cycle-repeats",
        "G81: 99999999 times 1 bites (at most 100000 moves a line)",
    ),
    "a tiny bite": (
        "G83 X1 Z-9000 R1 Q0.0001",
        "cycle-repeats",
        "G83: 1 times 90010000 bites (at most 100000 moves a line)",  # 9001 mm down in tenths of a micrometre
    ),
    "deep brackets": ("X" + "[" * 200, "number", "a number is missing"),
    "deep closed brackets": ("X" + "[" * 120 + "1" + "]" * 119, "expression", "an expression is not closed"),
    "a coordinate beyond reason": ("G1 X" + "9" * 200, "beyond-reason", "a place more than 100 m from the zero"),
    "a radius beyond reason": ("G2 X1 R" + "9" * 200, "beyond-reason", "an arc of more than 100 m"),
    "a power beyond numbers": ("X[9**999]", "arithmetic", "a number out of range cannot be worked out"),
    "a sum beyond numbers": ("X[9**300*9**300]", "arithmetic", "a number out of range cannot be worked out"),
    "zero bytes": ("G1 X1\x00", "character", "a character of code 0 may not stand here"),
    "a byte beyond ASCII": ("G1 X1\xff", "character", "'ÿ' may not stand here"),
    "signs alone": ("X" + "+-" * 60, "number", "no digits where a number should be"),
}
# What the interpreter of NISTIR 6556 refuses to work out, in our words; powers of zero and overflow are our own.
IMPOSSIBLE = {
    "X[1/0]": "a division by zero",
    "X[1 mod 0]": "a division by zero",
    "X[0**-1]": "zero to a negative power",
    "X[-8**0.5]": "a negative number to a power that is not whole",
    "Xsqrt[-1]": "the square root of a negative number",
    "Xln[0]": "the logarithm of zero or less",
    "Xacos[2]": "the inverse cosine of a number outside -1..1",
    "Xasin[-1.5]": "the inverse sine of a number outside -1..1",
    "Xexp[999]": "a number out of range",
}


@pytest.mark.parametrize("name", HOSTILE)
def test_a_hostile_line_ends_in_a_finding(name: str) -> None:
    line, kind, text = HOSTILE[name]
    assert (kind, text) in [(finding.kind, finding.text) for finding in run(line).findings]


def test_an_arc_beyond_reason_is_told_with_its_reach_and_the_limit() -> None:
    told = next(finding for finding in run("G2 X1 R200000").findings if finding.kind == "beyond-reason")
    assert (200_000.0, 100_000.0) == (told.measure, told.limit)


@pytest.mark.parametrize("line", IMPOSSIBLE)
def test_what_cannot_be_worked_out_is_told_in_words(line: str) -> None:
    (told,) = run(f"G1 {line}").findings
    assert ("arithmetic", f"{IMPOSSIBLE[line]} cannot be worked out", 2) == (told.kind, told.text, told.line)


def test_deep_brackets_that_are_closed_have_a_value() -> None:
    assert 1.0 == run("G1 X" + "[" * 120 + "1" + "]" * 120).moves[-1].end[0]


def test_binary_ends_in_findings_so_many_of_a_kind() -> None:
    noise = "".join(chr((i * 7919 + i // 251) % 256) for i in range(200_000))
    reading = read(noise)
    assert 0 < len(reading.findings) < 20 * MOST_PER_KIND
    assert reading.dropped > 0


def test_what_is_beyond_the_cap_is_counted() -> None:
    report = judge(good_text().replace("M30", "Q0\n" * 120 + "M30"))
    assert MOST_PER_KIND == sum(finding.kind == "negative-word" for finding in report.findings)
    assert report.dropped >= 120 - MOST_PER_KIND


LACKED = {
    "G81": "G81 X1 Z-1 R1 F100",
    "M8": "M8",
    "N": "N10 G0 Z10",
    "#": "#1=2",
    "[": "G0 Z[10+1]",
    "/": "/G0 Z10",
}


@pytest.mark.parametrize("word", LACKED)
def test_a_word_that_the_control_lacks_is_a_finding(word: str) -> None:
    poor = machine(dialect={"lacks": (word,)})
    text = good_text().replace("M30", f"{LACKED[word]}\nM30")
    told = [found for found in judge(text, on=poor).findings if found.kind == "dialect-word"]
    number = good_text().splitlines().index("M30") + 1
    assert (number, LACKED[word].index(word[:1]) + 1) == (told[0].line, told[0].column)
    assert told[0].text.endswith(", which this control does not read")
    assert "dialect-word" not in kinds(judge(text))
    assert "dialect-word" not in kinds(judge(good_text(), on=poor))


def test_no_message_carries_what_would_do_something_to_a_terminal() -> None:
    noise = "\n".join(f"G0 X1{chr(code)}\nG0 X[1{chr(code)}2]\n({chr(code)})" for code in range(256))
    assert all(finding.text.isprintable() for finding in read(noise).findings)
    assert "a character of code 27 may not stand here" in [finding.text for finding in run("G0 X1\x1b").findings]


@pytest.mark.parametrize(
    ("line", "name"),
    [
        ("G41 D-1", "radius index"),
        ("F-1", "feed"),
        ("G43 H-1", "length index"),
        ("G81 X1 Z-1 R1 L-1", "count"),
        ("G4 P-1", "P"),
        ("S-1", "spindle speed"),
        ("T-1", "tool number"),
    ],
)
def test_a_word_that_is_never_negative_is_told_by_its_name(line: str, name: str) -> None:
    told = [(one.text, one.line) for one in run(line).findings if one.kind == "negative-word"]
    assert [(f"a negative {name}", 2)] == told
