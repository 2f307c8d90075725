"""Which places of a slot are opened, and slots that stay in one piece."""

from itertools import pairwise
from math import cos, pi, sin, tan

from cncpanel.geometry.contour import polygon
from cncpanel.geometry.point import Point
from cncpanel.geometry.ring import rings_of
from cncpanel.geometry.segment import Segment
from cncpanel.passes.bends import BEND, ends_and_bends
from cncpanel.passes.line import one_line

DIAMETER = 12.0


def bent(*angles: float, length: float = 5.0) -> list[Segment]:
    """Lines of that length, turned by each angle in its turn."""
    heading, at, chain = 0.0, Point(0.0, 0.0), []
    for angle in (0.0, *angles):
        heading += angle
        goal = Point(at.x + length * cos(heading), at.y + length * sin(heading))
        chain.append(Segment(at, goal))
        at = goal
    return chain


def test_a_straight_slot_is_opened_at_both_ends() -> None:
    slot = bent(0.0)
    assert ends_and_bends(slot, DIAMETER) == [slot[0].start, slot[-1].end]


def test_a_bend_of_lines_is_opened_and_a_hint_of_one_is_not() -> None:
    assert len(ends_and_bends(bent(1.1 * BEND), DIAMETER)) == 3
    assert len(ends_and_bends(bent(0.9 * BEND), DIAMETER)) == 2


def test_a_turn_of_many_small_bends_is_opened_as_one() -> None:
    small = bent(*[BEND / 3] * 12, length=0.5)
    assert len(ends_and_bends([*small[:1], *small[1:]], DIAMETER)) > 2
    wide = bent(*[BEND / 3] * 12, length=5.0)
    assert len(ends_and_bends(wide, DIAMETER)) == 2


def test_a_way_there_and_back_round_a_tight_arc_is_opened_where_it_turns() -> None:
    there = Segment(Point(0.0, 0.0), Point(6.0, 0.0))
    turn = Segment(there.end, Point(6.0, 0.2), tan(pi / 4))
    back = Segment(turn.end, Point(0.0, 0.2))
    close = Segment(back.end, there.start, tan(pi / 4))
    assert ends_and_bends([there, turn, back, close], DIAMETER) == [there.start, turn.end]


def test_a_line_there_and_back_keeps_its_short_pieces_but_for_those_at_its_ends() -> None:
    """Gone in between they would leave a gap over which the tool went on wrongly."""
    loop = polygon([(0, 0), (10, 0), (10.2, 0.1), (20, 2), (20, 2.2), (10.2, 0.3), (10, 0.2), (0, 0.2)])
    line = one_line(rings_of([loop])[0], 1.0)
    assert len(line) == 3
    assert all(a.end == b.start for a, b in pairwise(line))
    assert min(segment.length for segment in line) < 1.0 < min(line[0].length, line[-1].length)
