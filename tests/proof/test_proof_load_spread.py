"""The spread of loads: where stretches fall, and what bands hold."""

import pytest

from cncpanel.machine.read import read_machine
from cncpanel.proof.load import Allowed, CuttingLimits, Stretch
from cncpanel.proof.load_spread import load_spreads
from cncpanel.proof.material import Placed
from cncpanel.proof.motion import Move
from cncpanel.proof.setup import Setup

SHOP = Setup(read_machine("shop-router"), 18.0)
LIMITS = CuttingLimits(specific_force=20.0, chip_most={1: 0.2}, allowed=(Allowed(tool=1, feed=6000.0, section=20.0),))


def stretch(section, *, length=100.0, feed=6000.0, rpm=18000.0, wide=6.0):
    """`section` mm2 for each mm of way, `wide` mm of the 6 mm tool engaged."""
    move = Move(1, "feed", (0.0, 0.0, -5.0), (length, 0.0, -5.0), feed, rpm, True, 1)
    return Stretch(
        placed=Placed("sheet.nc", move, 0),
        begun=0,
        volume=section * length,
        area=wide * length,
        length=length,
        across=length,
    )


def spread(measure, *some):
    (found,) = (one for one in load_spreads(some, SHOP, LIMITS) if one.measure == measure)
    return found


def test_engagement_is_the_share_of_what_the_feed_was_given_for():
    # 100 mm at 6000 mm/min: one second each, at 25, 50 and 105 % of 20 mm2
    found = spread("engagement", stretch(5.0), stretch(10.0), stretch(21.0))
    assert found.seconds == (0, 0, 1.0, 0, 0, 1.0, 0, 0, 0, 0, 1.0)
    assert (found.low, found.high, found.most) == (0.25, 1.05, 1.05)


def test_at_the_limit_is_not_over_it():
    assert spread("engagement", stretch(20.001)).seconds[-2:] == (1.0, 0.0)


def test_power_is_the_share_of_what_the_spindle_gives_at_that_speed():
    # P = k v: 20 N/mm2 x 9 mm2 x 100 mm/s is 18 W; 1800 W from 18000 rpm on, 900 at half of that
    assert spread("power", stretch(9.0)).most == pytest.approx(0.01)
    assert spread("power", stretch(9.0, rpm=9000.0)).most == pytest.approx(0.02)


def test_chips_thin_where_less_than_half_the_tool_is_engaged():
    # 6000 / (18000 x 2) is 0.1667 a tooth; at w/D = 0.1 it is 2 sqrt(0.1 x 0.9) = 0.6 of that (Helical's factor)
    assert spread("chip", stretch(5.0)).most == pytest.approx(6000 / 36000 / 0.2)
    assert spread("chip", stretch(5.0, wide=0.6)).most == pytest.approx(0.6 * 6000 / 36000 / 0.2)


def test_four_fifths_of_the_time_lie_in_the_band():
    # ten seconds at 50 %, one at 10 %, one at 90 %: the outer two are less than a tenth each
    found = spread("engagement", stretch(2.0), *[stretch(10.0)] * 10, stretch(18.0))
    assert (found.low, found.high, found.most) == (0.5, 0.5, 0.9)
    assert sum(found.seconds) == pytest.approx(12.0)


def test_a_pass_lighter_than_cells_can_tell_has_no_engagement():
    # 0.3 mm of an 18 mm wall: half a cell of 0.5 mm is 4.5 mm2, more than 0.15 x 20
    measures = {one.measure for one in load_spreads([stretch(5.4, wide=0.3)], SHOP, LIMITS)}
    assert measures == {"chip", "power"}


def test_what_is_not_known_has_no_spread():
    bare = CuttingLimits(specific_force=20.0)
    assert [one.measure for one in load_spreads([stretch(5.0)], SHOP, bare)] == ["power"]
    assert load_spreads([], SHOP, LIMITS) == ()
