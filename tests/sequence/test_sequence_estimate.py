"""The time estimate of whole programs."""

import pytest
from sequence_samples import JOB, door, machine, sheet

from cncpanel.errors import Gathering
from cncpanel.sequence.estimate import STOP_S, estimate
from cncpanel.sequence.program import Cut, Dwell, Program, Rapid, Stop, ToolChange
from cncpanel.sequence.sheet import sheet_programs

SHOP = machine("shop-router")


def of(*blocks, on=SHOP):
    return estimate(Program(name="p", sheet=1, run=1, of=1, tools=(SHOP.tool[0],), blocks=blocks), on)


def test_a_slow_cut_takes_its_length_over_its_feed_and_a_ramp():
    found = of(Rapid(x=0.0, y=0.0, z=0.0), Cut(x=100.0, y=0.0, z=0.0, feed=600.0))
    (cut,) = found.tools
    assert cut.cut_s == pytest.approx(100 / 10 + 10 / SHOP.motion.acceleration_xy)
    assert cut.cut_length_m == pytest.approx(0.1)
    assert found.rapid_s == 0.0


def test_cuts_are_counted_for_the_tool_that_cuts_them():
    cut = [Cut(x=x, y=0.0, z=0.0, feed=600.0) for x in (100.0, 0.0)]
    found = of(Rapid(x=0.0, y=0.0, z=0.0), cut[0], ToolChange(2), cut[1], cut[0], Stop(("x",), 3), cut[1])
    assert [(t.number, pytest.approx(t.cut_length_m)) for t in found.tools] == [(1, 0.1), (2, 0.2), (3, 0.1)]
    assert 2 * SHOP.motion.tool_change_s == found.change_s


def test_stops_and_dwells_are_added():
    found = of(Dwell(5.0), Stop(("look",)))
    assert (found.dwell_s, found.change_s) == (5.0, STOP_S)
    assert found.total_s == 5.0 + STOP_S


def test_a_tight_arc_is_slower_than_its_feed():
    arc = Cut(x=1.0, y=0.0, z=0.0, feed=12000.0, bulge=1.0)
    radius, acceleration = 0.5, SHOP.motion.acceleration_xy
    found = of(Rapid(x=0.0, y=0.0, z=0.0), arc)
    assert found.tools[0].cut_s > 1.5707 / (acceleration * radius) ** 0.5


def test_a_tangent_path_is_not_slowed_where_its_pieces_meet():
    whole = of(Rapid(x=0.0, y=0.0, z=0.0), Cut(x=100.0, y=0.0, z=0.0, feed=6000.0))
    pieces = of(Rapid(x=0.0, y=0.0, z=0.0), *(Cut(x=float(x), y=0.0, z=0.0, feed=6000.0) for x in range(1, 101)))
    assert whole.total_s == pytest.approx(pieces.total_s)


@pytest.mark.parametrize("name", ["desktop-router", "shop-router", "nesting-router"])
def test_a_program_takes_longer_than_its_cuts_at_full_feed(name):
    router = machine(name)
    for program in sheet_programs(sheet(), door(router), router, JOB, Gathering()):
        found = estimate(program, router)
        assert found.band_s[0] < found.total_s < found.band_s[1]
        metres = sum(tool.cut_length_m for tool in found.tools)
        fastest = max(block.feed for block in program.blocks if isinstance(block, Cut))
        assert sum(tool.cut_s for tool in found.tools) > metres * 1000 / fastest * 60
        assert all(found.assumptions)
