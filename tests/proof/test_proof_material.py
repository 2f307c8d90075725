"""Ways down and rapids through what is left: told by their slope, their tool and what the cuts before them took."""

from itertools import pairwise
from math import pi, tan

import pytest
import shapely
from proof_scene import machine
from removal_moves import arc, line

from cncpanel.proof.cuts import cuts_of
from cncpanel.proof.finding import Finding
from cncpanel.proof.material import STEEP, Placed, Stock, material_findings
from cncpanel.proof.motion import Move
from cncpanel.proof.setup import Setup

SETUP = Setup(machine(), 18.0)
SHEET = shapely.box(0, 0, 300, 200)
SIX, FOUR = 1, 2  # the tools: only the second one's end cuts over its centre


def told(move: Move, before: tuple[Move, ...] = ()) -> list[Finding]:
    cuts = cuts_of("p", before, SETUP.tools, SETUP.top)
    return list(material_findings([Placed("p", move, len(cuts))], Stock(SHEET, cuts), SETUP))


def down(drop: float, sweep: float = 2 * pi, tool: int = SIX) -> Move:
    """A helix of 4 mm about (100, 100), from 1 mm deep."""
    return arc((104.0, 100.0, -1.0), (100.0, 100.0), sweep, -drop)._replace(tool=tool)


@pytest.mark.parametrize("sweep", [2 * pi, pi, -pi / 2])
def test_a_helix_is_as_steep_as_its_drop_to_its_way_seen_from_above(sweep: float) -> None:
    steepest = STEEP * 4 * abs(sweep)
    assert [] == told(down(steepest * 0.99, sweep))
    assert ["plunge"] == [one.kind for one in told(down(steepest * 1.01, sweep))]


def test_the_steepest_way_that_is_no_plunge_lies_just_over_twenty_degrees() -> None:
    assert tan(20 * pi / 180) < STEEP < tan(20.5 * pi / 180)
    assert [] == told(line((50, 50, -1.0), (60, 50, -1.0 - 10 * tan(20 * pi / 180))))
    assert ["plunge"] == [one.kind for one in told(line((50, 50, -1.0), (60, 50, -1.0 - 10 * tan(20.5 * pi / 180))))]


def test_an_end_that_cuts_over_the_centre_may_plunge_with_a_remark() -> None:
    (flat,) = told(down(12.0, tool=FOUR))
    assert ("flat-plunge", "remark") == (flat.kind, flat.severity)
    assert flat.measure == pytest.approx(13)  # how deep it goes
    (end,) = told(down(12.0))
    assert ("plunge", "safety") == (end.kind, end.severity)
    assert end.measure == pytest.approx(13)


def test_where_all_is_taken_a_plunge_and_a_rapid_meet_nothing() -> None:
    slot = line((40, 50, -5.0), (80, 50, -5.0))
    assert [] == told(line((60, 50, -1.0), (60, 50, -5.0)), (slot,))
    assert ["plunge"] == [one.kind for one in told(line((60, 50, -1.0), (60, 50, -5.1)), (slot,))]
    rapid = line((45, 50, -4.0), (75, 50, -4.0))._replace(kind="rapid")
    assert [] == told(rapid, (slot,))
    (met,) = told(rapid._replace(end=(75, 51, -4.0)), (slot,))
    assert ("rapid-in-material", "safety", 4.0) == (met.kind, met.severity, met.measure)


COUNT = 25.4e-4  # mm; the last decimal of inches with four
DIALECT = machine().dialect.model_copy(update={"unit": "inch", "decimals": 4})
COARSE = Setup(machine().model_copy(update={"dialect": DIALECT}), 18.0)


def told_in_counts(*places: tuple[int, int]) -> list[str]:
    """From 1 mm deep through places given in counts: X onwards, Z down."""
    points = [(50 + x * COUNT, 50.0, -1 - z * COUNT) for x, z in places]
    moves = [Placed("p", line(a, b), 0) for a, b in pairwise(points)]
    return [one.kind for one in material_findings(moves, Stock(SHEET, []), COARSE)]


def test_what_rounding_to_the_last_decimal_may_do_to_a_short_way_down_is_no_plunge() -> None:
    assert told_in_counts((0, 0), (60, 5), (61, 6), (121, 11)) == []
    assert told_in_counts((0, 0), (2, 2)) == ["plunge"]  # more than both ends' rounding


@pytest.mark.parametrize(
    "stairs",
    [
        [(n, n) for n in range(9)],
        [(0, n) for n in range(9)],
        [place for n in range(9) for place in ((n, n), (n + 1, n))],
    ],
    ids=["aslant", "upright", "in steps"],
)
def test_short_ways_down_one_after_the_other_are_judged_together(stairs: list[tuple[int, int]]) -> None:
    assert set(told_in_counts(*stairs)) == {"plunge"}
