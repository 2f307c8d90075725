"""Ends chained, doubles dropped, holes nested; what is no clean contour is named where it lies."""

from math import cos, pi, radians, sin
from pathlib import Path

import pytest
from dxf_drawn import box, drawn, lines


def square(space, gap: float = 0.0) -> None:
    lines(space, (0, 0), (100, 0), (100, 100), (0, 100), (0, gap))


def test_a_gap_within_the_tolerance_is_closed_and_said(tmp_path: Path) -> None:
    outcome = drawn(tmp_path, lambda s: square(s, gap=0.03))
    assert outcome.only.outer.area == pytest.approx(10000, abs=2)
    assert len(outcome.only.outer.vertices) == 4
    assert outcome.warnings == ["1 gaps closed, the widest 0.0300 mm"]


def test_a_wider_gap_is_named_with_its_ends_and_size(tmp_path: Path) -> None:
    (problem,) = drawn(tmp_path, lambda s: square(s, gap=0.4)).problems
    assert problem.startswith(
        "a contour does not close: it runs from (0.000, 0.000) to (0.000, 0.400), a gap of 0.400 mm (4 strokes"
    )
    assert "gaps up to 0.05 mm are closed" in problem


def test_coordinates_are_said_in_the_drawings_own_unit(tmp_path: Path) -> None:
    (problem,) = drawn(tmp_path, lambda s: square(s, gap=0.4), units=1).problems
    assert "to (0.000, 0.400), a gap of 10.160 mm" in problem


def test_the_tolerance_is_the_jobs(tmp_path: Path) -> None:
    outcome = drawn(tmp_path, lambda s: square(s, gap=0.4), tolerance=0.5)
    assert outcome.only.outer.area == pytest.approx(10000, abs=25)


def test_a_curve_of_lines_shorter_than_the_tolerance_keeps_its_shape(tmp_path: Path) -> None:
    """A 3 mm circle as 600 lines of 0.016 mm: joined by their true ends, given back as arcs."""
    ring = [(1.5 * cos(i * pi / 300), 1.5 * sin(i * pi / 300)) for i in range(600)]

    def draw(space):
        box(space, -20, -20, 40, 40)
        lines(space, *ring, ring[0])

    shape = drawn(tmp_path, draw).only
    (hole,) = shape.holes
    assert hole.area == pytest.approx(pi * 2.25, rel=0.004)
    assert len(hole.vertices) < 8


def test_a_contour_that_branches_is_named(tmp_path: Path) -> None:
    def draw(space):
        square(space)
        lines(space, (100, 100), (150, 150))

    problems = drawn(tmp_path, draw).problems
    assert "a contour branches at (100.000, 100.000): 3 strokes meet (two at every point)" in problems


def test_a_contour_that_crosses_itself_is_named(tmp_path: Path) -> None:
    corners = [(0, 0), (100, 100), (100, 0), (0, 100)]
    outcome = drawn(tmp_path, lambda s: s.add_lwpolyline(corners, close=True))
    assert "a contour crosses or touches itself at (50.000, 50.000)" in outcome.problems


def test_an_arc_that_crosses_its_own_contour_is_named(tmp_path: Path) -> None:
    corners = [(0, 0, 0), (100, 0, 0), (100, 10, -1), (0, 10, 0)]
    (problem,) = drawn(tmp_path, lambda s: s.add_lwpolyline(corners, format="xyb", close=True)).problems
    assert problem.startswith("a contour crosses or touches itself at (")
    x = float(problem.split("(")[1].split(",")[0])
    assert min(abs(x - 50 - s * (50**2 - 10**2) ** 0.5) for s in (-1, 1)) < 1e-3


def test_a_contour_that_doubles_back_is_named(tmp_path: Path) -> None:
    corners = [(0, 0), (100, 0), (100, 50), (100, 20), (100, 80), (0, 80)]
    outcome = drawn(tmp_path, lambda s: s.add_lwpolyline(corners, close=True))
    assert outcome.problems[0].startswith("a contour crosses or touches itself at (100.000, ")


def test_two_contours_that_cross_are_named_once(tmp_path: Path) -> None:
    def draw(space):
        box(space, 0, 0, 100, 100)
        space.add_circle((100, 50), 10)

    (problem,) = drawn(tmp_path, draw).problems
    assert problem.startswith("two contours cross or touch at (100.000, ")


def test_smooth_joints_are_not_crossings(tmp_path: Path) -> None:
    corners = [
        (10, 0, 0), (90, 0, 0.41421356), (100, 10, 0), (100, 40, 0.41421356),
        (90, 50, 0), (10, 50, 0.41421356), (0, 40, 0), (0, 10, 0.41421356),
    ]  # fmt: skip
    shape = drawn(tmp_path, lambda s: s.add_lwpolyline(corners, format="xyb", close=True)).only
    assert shape.outer.area == pytest.approx(5000 - (4 - pi) * 100, abs=1e-4)


def test_holes_nest_by_depth_and_a_solid_in_a_hole_is_its_own(tmp_path: Path) -> None:
    def draw(space):
        space.add_circle((50, 50), 5)
        box(space, 0, 0, 100, 100)
        space.add_circle((50, 50), 20)
        box(space, 10, 10, 10, 10)
        box(space, 200, 0, 30, 30)

    outcome = drawn(tmp_path, draw)
    assert outcome.shapes is not None
    counted = sorted((round(s.outer.area, 1), len(s.holes)) for s in outcome.shapes)
    assert counted == [(round(pi * 25, 1), 0), (900.0, 0), (10000.0, 2)]
    assert all(c.area > 0 for s in outcome.shapes for c in (s.outer, *s.holes))


def test_doubles_are_dropped_reversed_ones_too(tmp_path: Path) -> None:
    def draw(space):
        square(space)
        lines(space, (0, 0), (0, 100), (100, 100))
        space.add_circle((50, 50), 10)
        space.add_circle((50, 50), 10.001)

    outcome = drawn(tmp_path, draw)
    assert len(outcome.only.holes) == 1
    assert outcome.warnings == ["strokes left out: 3 drawn twice"]


def test_a_cut_out_drawn_once_closed_and_once_as_lines_is_one(tmp_path: Path) -> None:
    def draw(space):
        box(space, 0, 0, 100, 100)
        box(space, 20, 20, 30, 30)
        lines(space, (50, 20), (20, 20), (20, 50), (50, 50), (50, 20))

    outcome = drawn(tmp_path, draw)
    assert len(outcome.only.holes) == 1
    assert outcome.warnings == ["strokes left out: 1 drawn twice"]


@pytest.mark.parametrize("angle_deg", [0, 30, 45, 90, 135, 180, 200, 315])
def test_overlapping_lines_in_any_direction_are_joined(tmp_path: Path, angle_deg: float) -> None:
    c, s = cos(radians(angle_deg)), sin(radians(angle_deg))

    def turned(*points):
        return [(500 + x * c - y * s, -300 + x * s + y * c) for x, y in points]

    def draw(space):
        lines(space, *turned((60, 0), (0, 0)))
        lines(space, *turned((40, 0), (100, 0)))
        lines(space, *turned((100, 0), (100, 50), (0, 50), (0, 0)))
        lines(space, *turned((0, 10), (0, 30)))

    outcome = drawn(tmp_path, draw)
    assert outcome.only.outer.area == pytest.approx(5000)
    assert outcome.warnings == ["strokes left out: 2 laid over others"]


def test_a_stray_arc_on_a_circle_is_no_contour_of_its_own(tmp_path: Path) -> None:
    def draw(space):
        box(space, 0, 0, 100, 100)
        space.add_circle((50, 50), 20)
        space.add_arc((50, 50), 20, 10, 80)

    outcome = drawn(tmp_path, draw)
    assert len(outcome.only.holes) == 1
    assert outcome.warnings == ["strokes left out: 1 laid over others"]


def test_parallel_lines_near_each_other_both_stay(tmp_path: Path) -> None:
    """A slot of 0.6 mm: wider than the tolerance, so its walls are two."""

    def draw(space):
        box(space, 0, 0, 100, 100)
        lines(space, (20, 50), (80, 50), (80, 50.6), (20, 50.6), (20, 50))

    assert drawn(tmp_path, draw).only.holes[0].area == pytest.approx(36)


def test_a_line_drawn_by_both_its_edges_is_warned_of(tmp_path: Path) -> None:
    def draw(space):
        box(space, 0, 0, 100, 100)
        box(space, 0.1, 0.1, 99.8, 99.8)

    outcome = drawn(tmp_path, draw)
    assert outcome.problems == []
    (warning,) = outcome.warnings
    assert warning.startswith("1 shape narrower than 0.5 mm, the first at (0.000, 0.000)")


def test_two_contours_that_touch_in_a_corner_are_refused(tmp_path: Path) -> None:
    def draw(space):
        box(space, 0, 0, 50, 50)
        box(space, 50, 50, 50, 50)

    assert drawn(tmp_path, draw).problems == ["two contours cross or touch at (50.000, 50.000)"]


def test_many_mistakes_are_counted_after_the_twentieth(tmp_path: Path) -> None:
    def draw(space):
        for i in range(30):
            lines(space, (0, i), (100, i))

    problems = drawn(tmp_path, draw).problems
    assert len(problems) == 21
    assert problems[-1] == "and 10 more of the kind"
