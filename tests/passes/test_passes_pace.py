"""Feeds of one run against a formula of its own."""

import pytest
from passes_bench import shop, tool

from cncpanel.passes.pace import pace


@pytest.mark.parametrize("number", [1, 3])
def test_in_a_cleared_bend_the_teeth_at_the_wall_bite_as_on_a_straight(number: int) -> None:
    """The centre goes R - r over R as fast as the wall that it sweeps (as handbooks have it, from memory)."""
    cutter = tool(number)
    fed = pace(shop(), cutter, 5.0, 18.0)
    assert len(fed.clear_bends) == 4
    for bend in fed.clear_bends:
        wall = bend.radius + cutter.radius
        assert bend.feed == pytest.approx(fed.clear * (wall - cutter.radius) / wall, rel=0.01)
        assert bend.feed <= fed.clear * (wall - cutter.radius) / wall + 1e-9
