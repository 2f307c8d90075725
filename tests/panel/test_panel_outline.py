"""Outlines by size and by points."""

from math import pi

import pytest
from resolving import Resolve

PANEL = '[[panel]]\nname = "a"\nstock = "mdf"\n'


def test_four_radii_go_round_from_the_lower_left(resolved: Resolve) -> None:
    panel = resolved(PANEL + "size = [100, 80]\nradius = [10, 0, 20, 0]").panel
    assert panel.outline.area == pytest.approx(8000 - (1 - pi / 4) * (100 + 400))
    corners = {(round(v.x, 6), round(v.y, 6)) for v in panel.outline.vertices}
    assert corners == {(10, 0), (100, 0), (100, 60), (80, 80), (0, 80), (0, 10)}


def test_radii_that_need_more_than_a_side_are_told_with_the_side(resolved: Resolve) -> None:
    told = resolved(PANEL + "size = [100, 30]\nradius = 16").problems
    assert told == ['panel[0].radius: panel "a": the radii at both ends of the right side take 32 mm of its 30 mm']


def test_a_clockwise_outline_is_turned_round_without_a_word(resolved: Resolve) -> None:
    found = resolved(PANEL + "outline = [[0, 0], [0, 50], [100, 50], [100, 0]]")
    assert found.panel.outline.area == 5000
    assert found.warnings == []


def test_an_outline_drawn_elsewhere_comes_to_the_origin_with_its_features(resolved: Resolve) -> None:
    outline = "outline = [[100, 200], [300, 200], [300, 400], [100, 400]]\n"
    panel = resolved(PANEL + outline + "hole = [{centre = [150, 250], diameter = 5}]").panel
    assert panel.outline.bounds == (0, 0, 200, 200)
    assert panel.holes[0].centre == (50, 50)


def test_positions_are_told_in_the_coordinates_of_the_drawing(resolved: Resolve) -> None:
    outline = "outline = [[100, 200], [300, 200], [300, 400], [100, 400]]\n"
    told = resolved(PANEL + outline + "hole = [{centre = [104, 250], diameter = 5}]").problems
    assert told == [
        'panel[0].hole[0]: panel "a", hole[0]: only 1.5 mm stay between it and the rim at (100.75 mm, 250 mm)'
    ]


def test_an_arc_through_a_point_is_exact(resolved: Resolve) -> None:
    outline = "outline = [[0, 0], [100, 0], {to = [100, 100], through = [150, 50]}, [0, 100]]"
    assert resolved(PANEL + outline).panel.outline.area == pytest.approx(100 * 100 + pi * 50**2 / 2)


def test_an_outline_that_crosses_itself_is_told_where(resolved: Resolve) -> None:
    told = resolved(PANEL + "outline = [[0, 0], [60, 60], [60, 0], [0, 60]]").problems
    assert told == ['panel[0].outline: panel "a": the outline crosses or touches itself at (30 mm, 30 mm)']


def test_points_in_one_line_enclose_nothing(resolved: Resolve) -> None:
    told = resolved(PANEL + "outline = [[0, 0], [60, 0], [100, 0]]").problems
    assert told == ['panel[0].outline: panel "a": the outline encloses no area']


def test_every_doubled_point_is_told(resolved: Resolve) -> None:
    told = resolved(PANEL + "outline = [[0, 0], [60, 0], [60, 0], [60, 60], [0, 0]]").problems
    assert told == [
        'panel[0].outline[2]: panel "a": two points follow each other at (60 mm, 0 mm)',
        'panel[0].outline[0]: panel "a": two points follow each other at (0 mm, 0 mm)',
    ]


def test_a_through_point_beyond_the_ends_makes_no_arc(resolved: Resolve) -> None:
    told = resolved(PANEL + "outline = [[0, 0], [100, 0], {to = [100, 100], through = [100, 150]}, [0, 100]]").problems
    assert told == ['panel[0].outline[2]: panel "a": no arc leads through these points']


def test_a_corner_radius_that_does_not_fit_names_its_corner(resolved: Resolve) -> None:
    told = resolved(PANEL + "outline = [[0, 0], {to = [100, 0], radius = 60}, [100, 50], [0, 50]]").problems
    assert told == ['panel[0].outline[1]: panel "a": radius 60 mm does not fit at (100 mm, 0 mm)']


def test_two_radii_on_one_edge_are_told_by_how_much_they_miss(resolved: Resolve) -> None:
    corners = "{to = [100, 0], radius = 30}, {to = [100, 50], radius = 30}"
    told = resolved(PANEL + f"outline = [[0, 0], {corners}, [0, 50]]").problems
    text = "the radii at both ends of the edge from (100 mm, 0 mm) to (100 mm, 50 mm) need 10 mm more than it has"
    assert told == [f'panel[0].outline[1]: panel "a": {text}']


def test_an_outline_with_a_neck_thinner_than_a_web_is_told_where(resolved: Resolve) -> None:
    left, right = "[0, 0], [100, 0], [100, 48.5], [150, 48.5], [150, 0]", "[250, 0], [250, 100], [150, 100]"
    told = resolved(PANEL + f"outline = [{left}, {right}, [150, 51.5], [100, 51.5], [100, 100], [0, 100]]").problems
    assert told == ['panel[0]: panel "a": its outline leaves a neck too thin at (125 mm, 50 mm)']


def test_inch_jobs_are_told_inches(resolved: Resolve) -> None:
    head = (
        '[job]\nname = "t"\nunits = "inch"\nmachine = "shop"\n[[stock]]\nname = "mdf"\nmaterial = "mdf"\n'
        "thickness = 0.75\nsheet = [96, 48]\ncount = 1\n"
    )
    told = resolved(PANEL + "size = [10, 2]\nradius = 1.25", head).problems
    assert told == ['panel[0].radius: panel "a": the radii at both ends of the right side take 2.5 in of its 2 in']
