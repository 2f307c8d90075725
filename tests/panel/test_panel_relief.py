"""Corner reliefs: what they let in, and that they take no more than they must."""

from math import pi

import pytest
import shapely
from resolving import Resolve

from cncpanel.geometry.region import Region

PANEL = '[[panel]]\nname = "a"\nstock = "mdf"\nsize = [400, 300]\n'
RADIUS = 3.2  # settings.relief_radius where the job does not say


def recess(resolved: Resolve, more: str) -> Region:
    text = f"recess = [{{centre = [200, 150], size = [80, 50], depth = 5, {more}}}]"
    return resolved(PANEL + text).panel.recesses[0].region


def polygon(region: Region) -> shapely.Polygon:
    """Chords within 0.001 mm."""
    points = []
    for segment in region.outer.segments:
        pieces = 200 if segment.is_arc else 1
        points += [segment.point_at(i / pieces) for i in range(pieces)]
    return shapely.Polygon(points)


@pytest.mark.parametrize("relief", ["corner", "long", "short"])
@pytest.mark.parametrize("turn", [0, 33])
def test_a_round_tool_clears_the_whole_square_with_its_corners(resolved: Resolve, relief: str, turn: int) -> None:
    """Outside judge: GEOS erodes and dilates by the tool; what is left of the rectangle is nothing."""
    reach = polygon(recess(resolved, f'relief = "{relief}", turn_deg = {turn}'))
    square = polygon(recess(resolved, f"turn_deg = {turn}"))
    for tool in (3.0, 3.175):
        opened = reach.buffer(-tool + 0.002, quad_segs=64).buffer(tool, quad_segs=64)
        assert square.difference(opened).area < 0.005


def test_a_bite_into_both_walls_takes_no_more_than_the_closed_form(resolved: Resolve) -> None:
    """The disc lies (pi / 2 - 1) r2 outside the corner; its centre is r / sqrt 2 from each wall.

    The rule of the dog-bone (fyord.io, "dog-bone"), recomputed.
    """
    bitten = recess(resolved, 'relief = "corner"')
    assert bitten.area == pytest.approx(80 * 50 + 4 * (pi / 2 - 1) * RADIUS**2, abs=0.1)
    assert bitten.bounds[0] == pytest.approx(160 - RADIUS * (1 - 0.5**0.5), abs=0.002)


@pytest.mark.parametrize(("relief", "wider", "higher"), [("long", 0.0, RADIUS), ("short", RADIUS, 0.0)])
def test_a_bite_into_one_wall_leaves_the_other_whole(
    resolved: Resolve, relief: str, wider: float, higher: float
) -> None:
    bitten = recess(resolved, f'relief = "{relief}"')
    assert bitten.area == pytest.approx(80 * 50 + 4 * pi * RADIUS**2 / 2, abs=0.1)
    expected = (160 - wider, 125 - higher, 240 + wider, 175 + higher)
    assert bitten.bounds == pytest.approx(expected, abs=0.003)


def test_rounded_corners_and_the_outside_of_notches_are_left(resolved: Resolve) -> None:
    assert recess(resolved, 'radius = 4, relief = "corner"').area == pytest.approx(80 * 50 - (4 - pi) * 16)
    outline = "[[0, 0], [60, 0], [60, 30], [30, 30], [30, 60], [0, 60]]"
    text = f'opening = [{{outline = {outline}, at = [100, 100], relief = "corner"}}]'
    contour = resolved(PANEL + text).panel.openings[0].contour
    assert Region(contour).area == pytest.approx(2700 + 5 * (pi / 2 - 1) * RADIUS**2, abs=0.1)


def test_a_blind_square_end_of_a_groove_is_relieved_and_one_at_the_rim_is_not(resolved: Resolve) -> None:
    blind = "groove = [{path = [[50, 100], [200, 100]], width = 10, depth = 6}]"
    open_end = "groove = [{path = [[0, 100], [200, 100]], width = 10, depth = 6}]"
    bite = (pi / 2 - 1) * RADIUS**2
    for text, length, corners in ((blind, 150, 4), (open_end, 200, 2)):
        region = resolved(PANEL + text).panel.recesses[0].region
        assert region.area == pytest.approx(10 * length + corners * bite, abs=0.1)


def test_the_relief_of_a_narrow_groove_is_no_wider_than_it(resolved: Resolve) -> None:
    text = "groove = [{path = [[50, 100], [200, 100]], width = 4, depth = 3}]"
    region = resolved(PANEL + text).panel.recesses[0].region
    assert region.bounds[0] == pytest.approx(50 - 2 * (1 - 0.5**0.5), abs=0.002)


def test_the_radius_is_the_jobs(resolved: Resolve) -> None:
    text = "[settings]\nrelief_radius = 5\n"
    region = resolved(text + PANEL + 'recess = [{centre = [200, 150], size = [80, 50], depth = 5, relief = "corner"}]')
    bitten = region.panel.recesses[0].region
    assert bitten.area == pytest.approx(80 * 50 + 4 * (pi / 2 - 1) * 25, abs=0.1)
