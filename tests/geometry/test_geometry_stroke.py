"""The band along a path, with every kind of end."""

from math import pi

import pytest
from counting import counted

from cncpanel.geometry.contour import Path, Vertex
from cncpanel.geometry.stroke import stroke

LINE = Path((Vertex(0, 0), Vertex(100, 0)))
CORNER = Path((Vertex(0, 0), Vertex(50, 0), Vertex(50, 40)))


def test_ends_decide_how_far_a_band_goes() -> None:
    areas = {end: stroke(LINE, 8, end, end)[0].area for end in ("flat", "square", "round")}
    assert areas == pytest.approx({"flat": 800, "square": 864, "round": 800 + 16 * pi})
    assert stroke(LINE, 8, "flat", "square")[0].bounds == pytest.approx((0, -4, 104, 4))
    assert stroke(LINE, 8, "round", "flat")[0].bounds == pytest.approx((-4, -4, 100, 4))


def test_a_corner_is_round_outside_and_sharp_inside() -> None:
    (band,) = stroke(CORNER, 8, "flat", "flat")
    assert counted((band,)) == [[(6, 1)]]
    assert band.area == pytest.approx(90 * 8 - 16 + 4 * pi)


def test_a_band_along_an_arc_has_both_its_radii() -> None:
    (band,) = stroke(Path((Vertex(0, 0, 1.0), Vertex(100, 0))), 10, "flat", "flat")
    assert sorted(round(s.radius, 9) for s in band.outer.segments if s.is_arc) == [45, 55]
    assert band.area == pytest.approx(pi * 50 * 10)


def test_an_arc_narrower_than_the_band_fills_to_its_centre() -> None:
    (band,) = stroke(Path((Vertex(0, 0, 1.0), Vertex(6, 0))), 10, "flat", "flat")
    assert band.area == pytest.approx(pi * 8 * 8 / 2)


def test_a_band_that_closes_round_something_has_a_hole() -> None:
    ring = Path((Vertex(0, 0), Vertex(50, 0), Vertex(50, 40), Vertex(0, 40), Vertex(0, 0)))
    (band,) = stroke(ring, 6, "square", "flat")
    assert len(band.holes) == 1
    assert band.bounds == pytest.approx((-3, -3, 53, 43))


def test_smooth_joints_leave_no_trace() -> None:
    smooth = Path((Vertex(0, 0), Vertex(50, 0, 0.41421356237309503), Vertex(60, 10), Vertex(60, 50)))
    assert counted(stroke(smooth, 8, "flat", "flat")) == [[(6, 2)]]
    assert counted(stroke(Path((Vertex(0, 0), Vertex(50, 0), Vertex(90, 0))), 8, "flat", "flat")) == [[(4, 0)]]


def test_a_path_without_length_is_a_dot_or_nothing() -> None:
    dot = Path((Vertex(3, 3), Vertex(3, 3)))
    assert stroke(dot, 8, "round", "round")[0].area == pytest.approx(16 * pi)
    assert stroke(dot, 8, "flat", "flat") == ()
    assert stroke(Path(()), 8, "round", "round") == ()
    assert stroke(LINE, 0, "round", "round") == ()
