"""Tabs against the force of the passes that free a piece."""

from itertools import pairwise

import pytest
from passes_bench import made, plan, shop, shop_router, tool

from cncpanel.geometry.contour import polygon
from cncpanel.machine.read import read_machine
from cncpanel.passes.grip import SAFETY, STRENGTH, freeing_force, tabs_against
from cncpanel.passes.hold import SMALL as SMALL_PART
from cncpanel.passes.hold import SMALL_MORE
from cncpanel.proof.holding import LEAST
from cncpanel.proof.load import CuttingLimits

SMALL = polygon([(0, 0), (200, 0), (200, 100), (0, 100)])


def test_the_force_is_that_of_the_deepest_step_at_full_width() -> None:
    bench, cutter = shop(), tool(1)
    depths = (0.0, *bench.step_depths(cutter, "slot", -bench.bottom))
    step = max(b - a for a, b in pairwise(depths))
    data = bench.data(cutter, "slot", step, cutter.cut_diameter)
    assert freeing_force(cutter, bench) == data.force_n
    rate = cutter.cut_diameter * step * data.feed / 60  # mm3/s; P = ap ae vf kc (Dijet p. 551), F = P / v
    assert freeing_force(cutter, bench) == pytest.approx(rate * 35 / 1000 / data.peripheral_speed_m_s, rel=0.02)


def test_as_many_tabs_as_hold_twice_the_force_at_their_least_section() -> None:
    bench = shop()
    table = bench.machine.table
    height = bench.tab_height - table.z_error - table.flatness - table.thickness_spread
    one = height * bench.tab_width * STRENGTH
    assert [1, 2, 3] == [tabs_against(share * one / SAFETY, bench) for share in (0.99, 1.01, 2.9)]


def test_a_dial_set_by_hand_may_stand_lower_than_told_and_pushes_harder() -> None:
    by_hand = read_machine("shop-router-inch")
    bench, cutter = shop(by_hand), by_hand.tool[0]
    depths = (0.0, *bench.step_depths(cutter, "slot", -bench.bottom))
    data = bench.data(cutter, "slot", max(b - a for a, b in pairwise(depths)), cutter.cut_diameter)
    assert data.rpm > by_hand.spindle.rpm_min
    assert freeing_force(cutter, bench) == pytest.approx(data.force_n * data.rpm / by_hand.spindle.rpm_min)


def test_tabs_that_may_be_cut_away_hold_nothing() -> None:
    away = shop_router(tab_height=0.4)  # zero, table and thickness are out by as much
    assert tabs_against(100.0, shop(away)) == 0
    with pytest.raises(AssertionError, match=r"what holds it bears 0 N, 0\.00 times what the passes push with"):
        made([(0, 100, 100)], [plan(0, SMALL)], away)


def test_thin_tabs_are_more_tabs() -> None:
    usual = made([(0, 100, 100)], [plan(0, SMALL)])
    thin = shop_router(tab_height=0.6, tab_width=3.0)
    more = made([(0, 100, 100)], [plan(0, SMALL)], thin)
    asked = tabs_against(freeing_force(tool(1), shop(thin)), shop(thin))
    assert asked > len(usual.tabs)
    assert len(more.tabs) >= asked


def test_a_small_part_is_held_against_half_as_much_again() -> None:
    thin = shop_router(tab_height=0.6, tab_width=3.0)
    sides = SMALL_PART**0.5
    small = polygon([(0, 0), (sides - 2, 0), (sides - 2, sides - 2), (0, sides - 2)])
    large = polygon([(0, 0), (sides + 2, 0), (sides + 2, sides + 2), (0, sides + 2)])
    count = {name: len(made([(0, 100, 100)], [plan(0, one)], thin).tabs) for name, one in (("s", small), ("l", large))}
    force, bench = freeing_force(tool(1), shop(thin)), shop(thin)
    assert count["s"] >= tabs_against(SMALL_MORE * force, bench) > count["l"] >= tabs_against(force, bench)


def test_maker_and_witness_reckon_with_the_same_tab_and_the_same_safety() -> None:
    assert (LEAST, CuttingLimits(specific_force=35.0).tab_strength) == (SAFETY, STRENGTH)
