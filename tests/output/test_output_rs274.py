"""The writer: numbers, arcs, comments, modal words; and whole programs for every shipped machine as golden files."""

import random
from math import cos, hypot, pi, sin, tan
from pathlib import Path

import pytest
from modal_reader import read
from sequence_samples import JOB, SHIPPED, door, machine, sheet

from cncpanel.errors import Gathering
from cncpanel.geometry.point import Point
from cncpanel.geometry.segment import Segment
from cncpanel.output.rs274 import program_text
from cncpanel.output.rs274_comment import comment_lines
from cncpanel.output.rs274_number import scale_of
from cncpanel.sequence.program import Comment, Cut, Dwell, End, Preamble, Program, Rapid, SpindleOn, Stop
from cncpanel.sequence.sheet import sheet_programs
from cncpanel.sequence.trace import frame_trace

SHOP = machine("shop-router")
WRITTEN = Path(__file__).parents[2] / "fixtures" / "programs" / "written"


def with_dialect(**changes):
    return SHOP.model_copy(update={"dialect": SHOP.dialect.model_copy(update=changes)})


def text_of(*blocks, on=SHOP):
    return program_text(Program(name="p", sheet=1, run=1, of=1, tools=(), blocks=blocks), on)


def lines_of(*blocks, on=SHOP):
    """The written lines after a start at X0 Y0 Z0."""
    return text_of(Rapid(x=0.0, y=0.0, z=0.0), *blocks, on=on).splitlines()[1:]


def cut(x, y, z=0.0, bulge=0.0, feed=1000.0):
    return Cut(x=x, y=y, z=z, feed=feed, bulge=bulge)


@pytest.mark.parametrize("name", SHIPPED)
def test_a_door_with_a_hole_is_written_as_the_golden_file_shows(name):
    router = machine(name)
    programs = sheet_programs(sheet(), door(router), router, JOB, Gathering(), sheets=1)
    trace = frame_trace(sheet(), door(router), programs, router, JOB, sheets=1)
    for program in (*programs, trace):
        expected = (WRITTEN / f"{name}-{program.name}.nc").read_text(encoding="ascii")
        assert expected == program_text(program, router)


def test_every_golden_file_is_written_by_some_shipped_machine():
    assert {path.name.split("-sample-")[0] for path in WRITTEN.glob("*.nc")} == set(SHIPPED)


def test_the_preamble_names_only_what_the_machine_has():
    plain = with_dialect(work_offset=None, path_words="")
    assert text_of(Preamble()).splitlines() == ["G17 G21 G40 G54 G80 G90 G94", "G61"]
    assert text_of(Preamble(), on=plain).splitlines() == ["G17 G21 G40 G80 G90 G94"]
    offsets = with_dialect(length_offsets=True, tool_change="changer")
    assert text_of(Preamble(), on=offsets).startswith("G17 G21 G40 G49 G54 G80 G90 G94\n")


def test_a_word_is_written_only_where_it_changes_something():
    found = lines_of(cut(10, 0), cut(10, 5), cut(10, 5), cut(10, 6, feed=1200.0), Rapid(z=5.0), cut(0, 0, 5))
    assert found == [
        "G1 X10.0000 F1000",
        "Y5.0000",
        "Y6.0000 F1200",
        "G0 Z5.0000",
        "G1 X0.0000 Y0.0000 F1000",
    ]


def test_after_a_stop_nothing_is_taken_for_known():
    found = lines_of(Rapid(z=20.0), Stop(("Fit T2",)), Rapid(z=20.0), Rapid(x=0.0, y=0.0), Rapid(z=20.0))
    assert found == ["Z20.0000", "(MSG,FIT T2)", "M0", "G0 Z20.0000", "X0.0000 Y0.0000"]


def test_a_cut_from_an_unknown_place_is_our_own_fault():
    with pytest.raises(ValueError, match="place that the program did not set"):
        text_of(Stop(()), cut(1, 1))


def test_a_step_that_rounding_leaves_without_length_is_dropped():
    assert lines_of(cut(0.00004, 0), cut(10, 0, feed=900.0)) == ["G1 X10.0000 F900"]


def test_a_number_is_never_minus_nothing_and_has_no_exponent():
    found = lines_of(cut(1, 0), cut(-0.00004, 0.00001), cut(1e-5, 12345.678912))
    assert found == ["G1 X1.0000 F1000", "X0.0000", "Y12345.6789"]


def test_feeds_are_whole_and_never_above_what_was_asked():
    assert lines_of(cut(1, 0, feed=2999.7), cut(2, 0, feed=2999.9999999), cut(3, 0, feed=0.2)) == [
        "G1 X1.0000 F2999",
        "X2.0000 F3000",
        "X3.0000 F1",
    ]


def test_inches_are_inches_in_every_number():
    inch = with_dialect(unit="inch", decimals=5)
    found = lines_of(cut(25.4, 0, feed=2540.0), cut(50.8, 25.4, 0, tan(pi / 8), feed=1200.0), on=inch)
    assert found == ["G1 X1.00000 F100", "G3 X2.00000 Y1.00000 I0.00000 J1.00000 F47.2"]


def test_a_dwell_is_in_the_controls_own_unit():
    assert lines_of(Dwell(2.5)) == ["G4 P2.50"]
    assert lines_of(Dwell(2.5), on=with_dialect(dwell_unit="ms")) == ["G4 P2500"]


def test_speeds_and_ends_follow_the_machine():
    assert lines_of(SpindleOn(18000.0), End(), on=with_dialect(end_word="M30")) == ["M3 S18000", "M30"]
    percent = text_of(End(), on=with_dialect(percent_lines=True))
    assert percent == "%\nM2\n%\n"


def test_a_quarter_turn_is_one_block_and_more_than_half_a_turn_is_two():
    assert lines_of(cut(10, 10, 0, tan(pi / 8))) == ["G3 X10.0000 Y10.0000 I0.0000 J10.0000 F1000"]
    found = lines_of(cut(10, 10, -3, tan(3 * pi / 8)))
    assert len(found) == 2
    assert all("I" in line and "J" in line for line in found)


def test_nearly_a_full_circle_never_becomes_nothing_or_a_full_circle():
    almost = 2 * pi - 1e-7
    end = Point(10 - 10 * cos(almost), -10 * sin(almost))
    reading = read(text_of(Rapid(x=0.0, y=0.0, z=0.0), cut(*end, 0, tan(almost / 4))))
    arcs = [move for move in reading.moves if move.centre]
    assert pytest.approx(2 * pi, abs=1e-4) == sum(move.sweep for move in arcs)
    assert all(hypot(move.centre[0] - 10, move.centre[1]) < 0.001 for move in arcs)


def test_a_helix_reaches_every_height_in_proportion_to_its_sweep():
    for sweep, expected in ((0.9 * pi, [-4.0]), (1.5 * pi, [-2.0, -4.0])):
        moves = read(text_of(Rapid(x=0.0, y=0.0, z=0.0), cut(10, 0, -4, tan(sweep / 4)))).moves[1:]
        assert expected == [move.end[2] for move in moves]
        assert sum(move.sweep for move in moves) == pytest.approx(sweep, abs=1e-4)


def test_tiny_and_huge_arcs_are_lines():
    assert lines_of(cut(0.006, 0.006, 0, 0.4)) == ["G1 X0.0060 Y0.0060 F1000"]
    found = lines_of(cut(1000, 0, 0, 1e-3))
    assert all("I" not in line for line in found)
    assert len(found) > 1


def test_without_arcs_no_chord_is_further_off_than_the_tolerance():
    found = read(text_of(Rapid(x=0.0, y=0.0, z=0.0), cut(40, 0, -2, 1.0), on=with_dialect(arcs=False)))
    cuts = [move for move in found.moves if move.word == "G1"]
    assert len(cuts) > 50
    for move in cuts:
        middle = [(a + b) / 2 for a, b in zip(move.start, move.end, strict=True)]
        assert 20 - hypot(middle[0] - 20, middle[1]) <= 0.0052
    assert cuts[-1].end == (40, 0, -2)


@pytest.mark.parametrize(("unit", "decimals"), [("mm", 3), ("mm", 4), ("inch", 4), ("inch", 5)])
def test_thousands_of_random_arcs_hold_the_radius_test_after_rounding(unit, decimals):
    """Source of the test: NISTIR 6556 section 3.5.3.2, in the reader. Three decimals break it unless nudged."""
    control, chance = with_dialect(unit=unit, decimals=decimals), random.Random(11)
    count = scale_of(control.dialect)
    for _ in range(1500):
        radius, first = chance.uniform(0.5, 600), chance.uniform(0, 2 * pi)
        sweep = chance.choice((-1, 1)) * chance.uniform(0.02, 6.2)
        x, y = chance.uniform(0, 2000), chance.uniform(0, 1000)
        start = Point(x + radius * cos(first), y + radius * sin(first))
        end = Point(x + radius * cos(first + sweep), y + radius * sin(first + sweep))
        goal = Segment(start, end, tan(sweep / 4))
        text = text_of(Preamble(), Rapid(x=start.x, y=start.y, z=0.0), cut(*end, 0, goal.bulge), on=control)
        moves = read(text).moves[1:]
        assert moves[-1].end[:2] == pytest.approx(tuple(end), abs=count.unit_mm * 10**-decimals)
        total = sum(m.sweep for m in moves if m.centre)
        if all(m.centre for m in moves):
            assert total == pytest.approx(sweep, abs=0.02 / radius + 1e-4)
        for move in moves:
            assert hypot(move.end[0] - x, move.end[1] - y) == pytest.approx(radius, abs=0.002)
            if move.centre:
                assert hypot(move.centre[0] - x, move.centre[1] - y) <= 0.005 / min(abs(move.sweep), 1.0) ** 2


def test_lines_are_as_short_as_the_control_wants():
    narrow = with_dialect(line_max=40)
    text = text_of(
        Comment("A comment that is a good deal longer than forty characters, so it is split"),
        Rapid(x=1000.0, y=1000.0, z=0.0),
        cut(2440.1234, -1220.1234, -18.1234, feed=12000.0),
        cut(2300.0, -1220.0, -18.0, 1.0),
        on=narrow,
    )
    assert max(map(len, text.splitlines())) <= 40
    assert "G1X2440.1234Y-1220.1234Z-18.1234F12000" in text.splitlines()


def test_a_comment_can_neither_end_early_nor_speak_as_a_message():
    assert comment_lines("bad) G0 (good 100%", 80) == ("(BAD G0 GOOD 100)",)
    assert comment_lines("msg, fire", 80) == ("(_MSG, FIRE)",)
    assert comment_lines("Über café", 80) == ("(UBER CAFE)",)
    for line in comment_lines("x" * 300 + ") G0 Z-50 (\n\t%", 40):
        assert len(line) <= 40
        assert line.count("(") == line.count(")") == 1


@pytest.mark.parametrize(
    "forged",
    [
        "SHEET 9, A",
        "MACHINE NESTING-ROUTER",
        "FIT T12, T3",
        "TOOL T5, T3",
        "RESTART OF US",
        "SET-UP 2 OF 2",
        "LOGOPEN, B",
    ],
)
def test_where_a_comment_is_split_a_name_does_not_begin_a_line_that_is_read_as_the_heads(forged: str):
    head, told = comment_lines(f"JOB {'A' * 32}, {forged}", 40)
    assert (head, told) == (f"(JOB {'A' * 32},)", f"(_{forged})")


def test_a_message_goes_on_in_its_own_words_where_it_is_split():
    lines = comment_lines("RAISE THE TOOL ABOVE ALL CLAMPS THEN SWITCH THE SPINDLE ON", 42, is_message=True)
    assert lines == ("(MSG,RAISE THE TOOL ABOVE ALL CLAMPS THEN)", "(MSG,SWITCH THE SPINDLE ON)")
