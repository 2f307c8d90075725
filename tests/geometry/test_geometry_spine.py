"""The straight way of a disc that covers a sliver: its ends by Pythagoras."""

from math import sqrt

import pytest

from cncpanel.geometry.area import Area


def test_a_strip_is_covered_from_a_way_shorter_than_itself() -> None:
    way = Area.box((0.0, 0.0, 50.0, 4.0)).spine(3.0)
    assert way is not None
    assert way.chord == pytest.approx(50.0 - 2 * sqrt(3.0**2 - 2.0**2))
    assert Area.swept([[way]], 3.0 + 0.01).overlap(Area.box((0.0, 0.0, 50.0, 4.0))) == pytest.approx(200.0)


def test_a_crumb_is_covered_from_one_place() -> None:
    way = Area.box((0.0, 0.0, 2.0, 2.0)).spine(6.0)
    assert way is not None
    assert way.chord == pytest.approx(0.0)


def test_what_is_wider_than_the_disc_has_no_such_way() -> None:
    assert Area.box((0.0, 0.0, 50.0, 12.0)).spine(6.0) is None
