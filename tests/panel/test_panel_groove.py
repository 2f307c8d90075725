"""Grooves: width, wall, ends."""

from math import atan, pi

import pytest
from resolving import Resolve

PANEL = '[[panel]]\nname = "a"\nstock = "mdf"\nsize = [400, 300]\n'


def test_a_groove_is_as_wide_as_the_thickest_reading_it_houses_and_its_clearance(resolved: Resolve) -> None:
    panel = resolved(
        PANEL + 'groove = [{path = [[50, 100], [200, 100]], houses = "mdf", depth = 6, relief = "none"}]'
    ).panel
    assert panel.recesses[0].region.bounds == pytest.approx((50, 100 - 9.2, 200, 100 + 9.2))


def test_a_loose_groove_is_warned_of(resolved: Resolve) -> None:
    groove = 'groove = [{path = [[50, 100], [200, 100]], houses = "mdf", clearance = 0.3, depth = 6}]'
    text = "18.5 mm wide, a board of the thinnest reading of mdf sits 0.7 mm loose in it"
    assert resolved(PANEL + groove).warnings == [f'panel[0].groove[0].houses: panel "a", groove[0]: {text}']


@pytest.mark.parametrize(("wall", "low", "high"), [("centre", 95, 105), ("left", 100, 110), ("right", 90, 100)])
def test_the_wall_says_on_which_side_of_its_path_a_groove_lies(
    resolved: Resolve, wall: str, low: float, high: float
) -> None:
    groove = f'groove = [{{path = [[50, 100], [200, 100]], width = 10, depth = 6, wall = "{wall}", relief = "none"}}]'
    assert resolved(PANEL + groove).panel.recesses[0].region.bounds == pytest.approx((50, low, 200, high))


def test_round_ends_lie_inside_the_length_of_the_path(resolved: Resolve) -> None:
    groove = 'groove = [{path = [[50, 100], [200, 100]], width = 10, depth = 6, ends = "round"}]'
    region = resolved(PANEL + groove).panel.recesses[0].region
    assert region.bounds == pytest.approx((50, 95, 200, 105))
    assert region.area == pytest.approx(140 * 10 + pi * 25)


@pytest.mark.parametrize(("wall", "middle"), [("centre", 0.0), ("left", 5.0), ("right", -5.0)])
@pytest.mark.parametrize("through", [(200, 120), (200, 80), (200, 30)])
def test_a_groove_along_an_arc_keeps_to_its_circle(
    resolved: Resolve, wall: str, middle: float, through: tuple[int, int]
) -> None:
    """A flat, a deep and a more than half-round arc; its area is width times its middle's length (Pappus)."""
    x, y = through
    rise = abs(150 - y)
    radius, bottom = (50**2 + rise**2) / (2 * rise), 150 - rise
    sweep = 4 * atan(rise / 50)  # counter-clockwise from (150, 150) below to (250, 150): the left is inside
    path = f"[[150, 150], {{to = [250, 150], through = [{x}, {y}]}}]"
    groove = f'groove = [{{path = {path}, width = 10, depth = 6, wall = "{wall}"}}]'
    region = resolved(PANEL + groove).panel.recesses[0].region
    assert region.area == pytest.approx(10 * (radius - middle) * sweep)
    assert region.bounds[1] == pytest.approx(bottom + middle - 5)


def test_a_groove_round_a_bend_keeps_its_width_there(resolved: Resolve) -> None:
    """Two legs of 60 and a quarter of a circle of radius 20 between them, its middle 4 outside the path."""
    path = "[[100, 100], {to = [180, 100], radius = 20}, [180, 180]]"
    groove = f'groove = [{{path = {path}, width = 8, depth = 3, wall = "right", relief = "none"}}]'
    region = resolved(PANEL + groove).panel.recesses[0].region
    assert region.area == pytest.approx(8 * (60 + 24 * pi / 2 + 60))


def test_open_ends_run_on_to_the_rim(resolved: Resolve) -> None:
    groove = (
        'groove = [{path = [[50, 100], [200, 100]], width = 10, depth = 6, ends = ["open", "square"], relief = "none"}]'
    )
    assert resolved(PANEL + groove).panel.recesses[0].region.bounds == pytest.approx((0, 95, 200, 105))


def test_an_open_end_stops_at_the_first_rim_of_a_hollow_outline(resolved: Resolve) -> None:
    outline = "outline = [[0, 0], [300, 0], [300, 100], [200, 100], [200, 40], [100, 40], [100, 100], [0, 100]]\n"
    panel = '[[panel]]\nname = "u"\nstock = "mdf"\n' + outline
    groove = (
        'groove = [{path = [[20, 70], [60, 70]], width = 10, depth = 6, ends = ["square", "open"], relief = "none"}]'
    )
    assert resolved(panel + groove).panel.recesses[0].region.bounds == pytest.approx((20, 65, 100, 75))


def test_mistakes_of_grooves_are_told(resolved: Resolve) -> None:
    grooves = [
        '{path = [[100, 100], [105, 100]], width = 12, depth = 5, ends = "round"}',
        "{path = [[500, 100], [600, 100]], width = 12, depth = 5}",
        '{path = [[100, 200], [500, 200]], width = 12, depth = 5, ends = ["open", "square"]}',
        '{path = [[500, 250], [600, 250]], width = 12, depth = 5, ends = "open"}',
        '{path = [[100, 50], {to = [120, 50], through = [110, 60]}, [300, 50]], width = 40, depth = 5, wall = "right"}',
    ]
    assert resolved(PANEL + f"groove = [{', '.join(grooves)}]").problems == [
        'panel[0].groove[0].ends: panel "a", groove[0]: round ends need 12 mm of an edge of 5 mm',
        'panel[0].groove[2].path: panel "a", groove[2]: '
        "its square end at (500 mm, 200 mm) lies 100 mm outside the panel",
        'panel[0].groove[3].path: panel "a", groove[3]: the groove lies wholly outside the panel',
        'panel[0].groove[4].path: panel "a", groove[4]: '
        "a groove 40 mm wide on the right of its path has no room at a bend",
        'panel[0].groove[1]: panel "a", groove[1]: it reaches 200 mm beyond the panel\'s right side',
    ]
