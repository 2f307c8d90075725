"""Canned cycles move by move, as NIST IR 6556 (RS274/NGC version 3), section 3.5.16, tells them."""

import pytest

from cncpanel.proof.cycle import BACK_OFF
from cncpanel.proof.reader import Reading, read

HEAD = "G17 G21 G40 G49 G54 G80 G90 G94 G98 F600\nM3 S6000\nG0 X0 Y0 Z10\n"


def run(line: str) -> Reading:
    reading = read(f"{HEAD}{line}\nG80\nM2\n", start=(0.0, 0.0, 20.0))
    assert () == reading.findings
    return reading


def ways(line: str) -> list[tuple[str, float]]:
    """Kind and Z of every move of the cycle's line."""
    return [(move.kind, move.end[2]) for move in run(line).moves if move.line == 4]


def test_a_drill_goes_down_at_a_feed_and_up_at_a_rapid() -> None:
    assert [("rapid", 10), ("rapid", 2), ("feed", -5), ("rapid", 10)] == ways("G81 X5 Y6 Z-5 R2")


def test_a_pecking_drill_goes_back_to_just_over_where_it_was_at_a_rapid() -> None:
    """Bites of 3 mm from the retract height: -1 and -4, then the bottom."""
    bites = [("feed", -1), ("rapid", 10), ("rapid", -1 + BACK_OFF), ("feed", -4), ("rapid", 10)]
    expected = [("rapid", 10), ("rapid", 2), *bites, ("rapid", -4 + BACK_OFF), ("feed", -5), ("rapid", 10)]
    assert expected == ways("G83 X5 Y6 Z-5 R2 Q3")


@pytest.mark.parametrize(
    ("line", "dwells"),
    [
        ("G81 X5 Y6 Z-5 R2", []),
        ("G82 X5 Y6 Z-5 R2 P1.5", [1.5]),
        ("G82 X5 Y6 Z-5 R2 P0", []),
        ("G83 X5 Y6 Z-5 R2 Q3", []),
        ("G89 X5 Y6 Z-5 R2 P2", [2.0]),
    ],
)
def test_the_tool_dwells_at_the_bottom_where_the_cycle_says_so(line: str, dwells: list[float]) -> None:
    reading = run(line)
    events = [event for event in reading.events if event.kind == "dwell"]
    assert dwells == [event.value for event in events]
    assert all(-5 == reading.moves[event.moves - 1].end[2] for event in events)
