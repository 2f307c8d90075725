"""Skins by hand, and where a broken bit's program is begun again within a line that makes several moves."""

from itertools import pairwise
from math import radians, tan

import pytest
import shapely
from proof_scene import machine
from removal_moves import line
from shapely.affinity import translate

from cncpanel.proof.cuts import cuts_of
from cncpanel.proof.motion import Move, Point3
from cncpanel.proof.resumed import OVER_GROUND, _entered
from cncpanel.proof.setup import Setup
from cncpanel.proof.skin import Skinned, skinned

SETUP = Setup(machine(), 18.0)
SHEET = shapely.box(0, 0, 300, 200)
DEEP = {"through": -18.5, "skin": -17.6}


def square(skin: float, deep: float = DEEP["skin"]) -> list[Move]:
    """Round 106 mm square with the 6 mm tool: right through but for `skin` mm of the first side."""
    down, corners = DEEP["through"], [(156.0, 50.0), (156.0, 156.0), (50.0, 156.0), (50.0, 50.0)]
    places: list[Point3] = [(50.0, 50.0, deep), (50.0 + skin, 50.0, deep), (50.0 + skin, 50.0, down)]
    places += [(x, y, down) for x, y in corners]
    return [line(a, b, number) for number, (a, b) in enumerate(pairwise(places), 1)]


def skins(moves: list[Move], lower: float = 0.0) -> list[Skinned]:
    return list(skinned(SHEET, cuts_of("", moves, SETUP.tools, SETUP.top), SETUP, lower, ()))


@pytest.mark.parametrize("skin", [8.0, 26.0])
def test_a_piece_that_hangs_on_a_short_bit_of_floor_hangs_on_that(skin: float) -> None:
    (found,) = skins(square(skin))
    assert (
        0.4 * (skin - 6) <= found.section <= 0.4 * (skin - 3) + 0.2
    )  # to the kerf round the corner, less a disc or none
    assert found.shape.area == pytest.approx(100 * 100, rel=1e-3)


def test_what_a_skin_that_is_cut_in_part_leaves_is_told_at_the_end() -> None:
    """Round once 2 mm over the table, so that the whole rim is a skin; then all but 26 mm of it through."""
    corners = [(50.0, 50.0), (156.0, 50.0), (156.0, 156.0), (50.0, 156.0), (50.0, 50.0)]
    rough = [line((*a, -16.0), (*b, -16.0), number) for number, (a, b) in enumerate(pairwise(corners), 1)]
    moves = [*rough, *square(26.0)]
    before, after = skins(moves)
    assert (before.since, before.until) == (len(rough), len(rough) + 1)  # straight down at the floor's end
    assert (after.since, after.until) == (len(moves), len(moves))
    assert 0.4 * 20 <= after.section <= 0.4 * 23
    assert before.section > 600
    known = [shapely.box(53, 53, 153, 153)]
    assert [before] == list(skinned(SHEET, cuts_of("", moves, SETUP.tools, SETUP.top), SETUP, 0.0, (), known))


def test_a_piece_that_hangs_on_a_skin_is_the_square_within() -> None:
    moves = square(100.0)
    (found,) = skins(moves)
    assert found.shape.area == pytest.approx(100 * 100, rel=1e-3)
    assert found.thinnest == pytest.approx(0.4)
    assert len(moves) == found.since
    assert len(moves) == found.until
    (worse,) = skins(moves, 0.1)
    assert worse.section == pytest.approx(found.section * 0.3 / 0.4, rel=1e-3)
    assert found.section == pytest.approx(0.4 * 100, rel=0.1)  # under the side of the square


def test_a_skin_with_a_tab_is_found_wherever_the_work_zero_lies() -> None:
    """Zero 25 mm and 40 mm outside the sheet's corner, and at the table instead of the sheet's top."""
    there = Setup(machine(), 18.0, (-25.0, -40.0, -18.0))
    assert (*there.corner, there.top) == (25.0, 40.0, 18.0)
    *sides, last = square(100.0)
    over = [last.start, (50.0, 108.0, -18.5), (50.0, 108.0, -12.0), (50.0, 96.0, -12.0), (50.0, 96.0, -18.5), last.end]
    tab = [line(a, b, number) for number, (a, b) in enumerate(pairwise(over), len(sides) + 1)]
    moved = [
        line((a[0] + 25, a[1] + 40, a[2] + 18), (b[0] + 25, b[1] + 40, b[2] + 18), one.line)
        for one in (*sides, *tab)
        for a, b in [(one.start, one.end)]
    ]
    sheet = translate(SHEET, 25.0, 40.0)
    (found,) = skinned(sheet, cuts_of("", moved, there.tools, there.top), there, 0.0, ())
    (here,) = skins([*sides, *tab])
    (bare,) = skins(square(100.0))
    assert found.section == pytest.approx(here.section)
    assert here.section > bare.section + 6 * (18 - 12)
    assert (found.since, found.until) == (here.since, here.until)


def test_a_floor_thicker_than_a_skin_leaves_the_sheet_in_one_piece() -> None:
    assert [] == skins(square(100.0, -15.9))
    assert len(skins(square(100.0, -16.1))) == 1


@pytest.mark.parametrize(("lines", "wanted", "first"), [((1, 2, 3, 3, 3, 4), 4, 2), ((1, 2, 3, 4, 5, 6), 4, 4)])
def test_a_line_that_makes_several_moves_is_taken_up_at_its_first(
    lines: tuple[int, ...], wanted: int, first: int
) -> None:
    """Down, then level ways of 20 mm there and back, each long enough for the slope that leads in."""
    levels: list[Point3] = [(20.0 * (number % 2), 0.0, -5.0) for number in range(6)]
    places: list[Point3] = [(0.0, 0.0, 1.0), *levels]
    moves = [line(a, b, number) for (a, b), number in zip(pairwise(places), lines, strict=True)]
    found = _entered(moves, 0, wanted, len(moves), SETUP)
    assert first == found.first
    assert moves[first].start == found.lead[-1].end


def test_the_way_in_slopes_down_no_more_steeply_than_the_machines_ramps() -> None:
    """From just over the ground already cut, over the last of the path that the run made before."""
    ways = [(0.0, 0.0, 1.0), (0.0, 0.0, -5.0), (20.0, 0.0, -5.0), (20.0, 20.0, -5.0), (0.0, 20.0, -5.0)]
    moves = [line(a, b, number) for number, (a, b) in enumerate(pairwise(ways), 1)]
    lead = _entered(moves, 0, 3, 4, SETUP).lead
    begin, end = lead[0].start, lead[-1].end
    assert (20.0, 20.0, -5.0) == end
    assert begin[2] == pytest.approx(-5 + OVER_GROUND)
    assert (end[2] - begin[2]) / (begin[1] - end[1]) == pytest.approx(tan(radians(10)))  # the scene's ramps
