"""How far a tab's bar may reach: to the next part, over its whole width, however askew or far that part is."""

import pytest
import shapely

from cncpanel.proof.target import Piece, Tab, Target
from cncpanel.proof.wanted_shape import INTO, WIDEST, WantedShape, whole_bar

HELD = shapely.box(0, 0, 100, 100)
TAB = Tab(name="held", x=50, y=100, along=(-1, 0), width=8, top=-16)


def reach(other: shapely.Polygon | None, within: float) -> float:
    """How far the bar goes from the wall, which faces upwards."""
    pieces = [Piece(name="held", shape=HELD)] + ([Piece(name="other", shape=other)] if other else [])
    sheet = shapely.box(-50, -50, 300, 300)
    wanted = WantedShape(Target(sheet=sheet, thickness=18, pieces=tuple(pieces), floors=()), ())
    bar = whole_bar(TAB, wanted, within)
    assert bar.bounds[:3] == pytest.approx((46, 100, 54))
    assert bar.area == pytest.approx(8 * (bar.bounds[3] - 100))  # a rectangle
    return bar.bounds[3] - 100


def test_a_bar_ends_a_little_inside_the_part_that_it_meets() -> None:
    assert reach(shapely.box(0, 116, 100, 140), 48) == pytest.approx(16 + INTO)


def test_a_bar_that_meets_a_part_askew_goes_into_it_over_its_whole_width() -> None:
    """A rim at 45 degrees is met 4 mm later at one side of an 8 mm bar than in its middle."""
    askew = shapely.Polygon([(0, 66), (100, 166), (0, 166)])
    assert reach(askew, 48) == pytest.approx(20 + INTO)


def test_a_bar_may_cross_as_much_scrap_as_the_tools_in_use_are_wide() -> None:
    far = shapely.box(0, 132, 100, 150)
    assert reach(far, 48) == pytest.approx(32 + INTO)
    assert reach(far, 24) == WIDEST
    assert reach(None, 48) == WIDEST
