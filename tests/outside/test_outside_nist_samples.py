"""The sample programs of NISTIR 6556, appendix C, written out from their description, behave as the report says.

Source: Kramer, Proctor, Messina: The NIST RS274NGC Interpreter, version 3, 2000. Places marked computed are worked out
by hand from the words.
"""

import re
from collections import Counter
from itertools import pairwise
from math import degrees
from pathlib import Path

import pytest

from cncpanel.proof.reader import Reading, read

SAMPLES = Path(__file__).resolve().parents[2] / "fixtures" / "programs" / "good" / "samples"
INCH = 25.4


def sample(name: str) -> str:
    return (SAMPLES / f"{name}.nc").read_text(encoding="ascii")


def told(reading: Reading) -> list[str]:
    """What was found but for the missing preamble, which the report does not ask for."""
    return [str(finding) for finding in reading.findings if finding.kind != "preamble"]


def test_the_greeting_is_engraved_as_described() -> None:
    reading = read(sample("hello"))
    assert [] == told(reading)
    known = [move for move in reading.moves if all(v == v for v in move.start)]
    assert (0.0, 81.0) == (min(m.end[0] for m in known), max(m.end[0] for m in known))
    assert {50.0, 2.0, -0.5} == {move.end[2] for move in reading.moves}
    assert all(before.end == after.start for before, after in pairwise(known))


def test_the_greetings_arcs_are_those_of_the_report() -> None:
    """Section 6 of the digest: 270 degrees, two full circles, the R arc's centre, half a turn."""
    arcs = {move.line: move for move in read(sample("hello")).moves if move.kind == "arc"}
    lines = sample("hello").splitlines()
    by_number = {lines[line - 1].split()[0]: move for line, move in arcs.items()}
    assert pytest.approx(270) == degrees(by_number["n0190"].sweep)
    assert (13.5, 2.5) == by_number["n0190"].centre[:2]
    assert [pytest.approx(360)] * 2 == [degrees(by_number[n].sweep) for n in ("n0310", "n0420")]
    assert (pytest.approx(66.5), pytest.approx(0.8775, abs=6e-5)) == by_number["n0500"].centre[:2]
    assert pytest.approx(77.364, abs=6e-4) == degrees(by_number["n0500"].sweep)
    assert pytest.approx(180) == degrees(by_number["n0590"].sweep)


def test_the_greetings_tool_change_line_sets_speed_tool_and_spindle_in_their_order() -> None:
    """Table 8: S, T, M6 (which stops the spindle), then M3."""
    events = [event.kind for event in read(sample("hello")).events if event.line == 3]
    assert ["speed", "tool named", "change", "spindle on"] == events


def test_every_expression_has_the_value_that_is_written_beside_it() -> None:
    reading = read(sample("expressions"))
    assert [] == told(reading)
    beside = {
        number: float(found[1])
        for number, line in enumerate(sample("expressions").splitlines(), 1)
        if (found := re.search(r"x.*\((-?[\d.]+)\)$", line))
    }
    assert len(beside) >= 40
    assert {line: pytest.approx(value, abs=2e-6) for line, value in beside.items()} == {
        move.line: move.end[0] for move in reading.moves if move.line in beside
    }


def test_the_cycles_run_in_every_plane() -> None:
    reading = read(sample("cycles"))
    assert [] == told(reading)
    lines = Counter(move.line for move in reading.moves)
    text = sample("cycles").splitlines()
    cycles = [number for number, line in enumerate(text, 1) if re.search(r"g8[1-9]|same", line)]
    assert 33 == len(cycles)
    assert all(lines[number] for number in cycles)


def planes(kind: str = "feed") -> list[list[tuple[float, ...]]]:
    """Every plane's ends as (first axis, second, normal), inches, in order."""
    found = []
    for axes, first in (((0, 1, 2), 3), ((2, 0, 1), 18), ((1, 2, 0), 33)):
        moves = [m for m in read(sample("cycles")).moves if first <= m.line < first + 15 and m.kind == kind]
        found.append([tuple(round(m.end[axis] / INCH, 6) for axis in axes) for m in moves])
    return found


def test_each_plane_is_drilled_alike() -> None:
    """Computed: G81 twice, three in a row by increments, G82, G83 in three bites, G84 to G89."""
    bottoms = [(1, 2, 0.5), (2, 2, 0.5), (3, 3, 0.5), (4, 4, 0.5), (5, 5, 0.5), (1, 2, 0.5)]
    pecks = [(1, 2, 1.7), (1, 2, 0.9), (1, 2, 0.5)]
    tap = [(1, 2, 0.5), (1, 2, 2.5)]
    bores = [(2, 2, 0.5), (2, 2, 2.5), (3, 2, 0.5)]
    back = [(4, 2, 1), (4, 2, 0.5)]
    last = [(5, 2, 0.5), (6, 2, 0.5), (6, 2, 2.5)]
    expected = [*bottoms, *pecks, *tap, *bores, *back, *last]
    xy, xz, yz = planes()
    assert expected == xy == xz == yz
    assert planes("rapid")[0] == planes("rapid")[1] == planes("rapid")[2]


def test_the_spindle_turns_back_to_lift_a_tap_and_on_again() -> None:
    """G84: stopped at the bottom, the other way up, stopped, clockwise again."""
    text = sample("cycles").splitlines()
    line = next(number for number, words in enumerate(text, 1) if "g84" in words)
    events = [(e.kind, e.text) for e in read(sample("cycles")).events if e.line == line]
    assert [("spindle off", ""), ("spindle on", "M4"), ("spindle off", ""), ("spindle on", "M3")] == events
