"""Tiles cover the panel, hang together and are called differently."""

import pytest
import shapely
from paper_samples import seen

from cncpanel.drawing.clear_first import boxed
from cncpanel.drawing.match_marks import match_marks
from cncpanel.drawing.page import Line
from cncpanel.drawing.template import template
from cncpanel.drawing.tiles import Tiling, count, row_letters, tiling
from cncpanel.geometry.contour import polygon
from cncpanel.geometry.point import Point
from cncpanel.geometry.region import Region, flat, region_of

A4 = (190.0, 277.0)
HOOK = region_of(polygon([(0, 0), (1500, 0), (1500, 60), (60, 60), (60, 900), (0, 900)]))
NEEDLE = region_of(polygon([(0, 0), (1000, 997), (1000, 1000)]))


def tiles(region: Region, size: tuple[float, float] = A4, overlap: float = 10) -> Tiling:
    return tiling(region.bounds, region, size, overlap)


@pytest.mark.parametrize("region", [HOOK, NEEDLE])
@pytest.mark.parametrize("size", [A4, (80.0, 90.0), (2000.0, 2000.0)])
def test_the_tiles_cover_the_panel(region: Region, size: tuple[float, float]) -> None:
    windows = shapely.union_all([shapely.box(*tile.window) for tile in tiles(region, size).tiles])
    assert 0 == flat(region).difference(windows).area


def test_tiles_that_miss_the_panel_are_left_out() -> None:
    made = tiles(HOOK)
    assert len(made.tiles) < made.columns * made.rows
    assert all(shapely.box(*tile.window).intersects(flat(HOOK)) for tile in made.tiles)


@pytest.mark.parametrize("region", [HOOK, NEEDLE])
@pytest.mark.parametrize("size", [A4, (80.0, 90.0)])
def test_every_tile_is_joined_to_the_others(region: Region, size: tuple[float, float]) -> None:
    made = tiles(region, size)
    reached, todo = {made.tiles[0]}, [made.tiles[0]]
    while todo:
        here = todo.pop()
        for joint in made.joints:
            if here in (joint.first, joint.second):
                other = joint.second if here == joint.first else joint.first
                todo += [] if other in reached else [other]
                reached.add(other)
    assert reached == set(made.tiles)


def test_neighbours_share_the_overlap_and_nothing_else() -> None:
    for joint in tiles(HOOK).joints:
        left, low, right, high = joint.strip
        assert sorted((right - left, high - low))[0] == pytest.approx(10)
        assert joint.upright == (right - left < high - low)


def test_marks_lie_in_the_strip_that_both_tiles_show() -> None:
    for joint in tiles(HOOK, (80.0, 90.0), 6).joints:
        left, low, right, high = joint.strip
        for mark in match_marks(joint):
            x, y = mark.centre
            assert left < x - mark.arm < x + mark.arm < right
            assert low < y - mark.arm < y + mark.arm < high


def test_a_mark_moves_where_its_place_is_taken() -> None:
    joint = tiles(HOOK).joints[0]
    first, second = match_marks(joint)
    moved, same = match_marks(joint, [first.box])
    assert (moved.centre != first.centre, same.centre == second.centre) == (True, True)


@pytest.mark.parametrize("job_and_panel", [("rounded_tray", "stand side"), ("millrace", "side")])
def test_no_line_runs_through_a_mark_or_its_name(job_and_panel: tuple[str, str]) -> None:
    drawn = template(seen(*job_and_panel), "mm")
    joints = tiling(drawn.bounds, drawn.whole, (190.0, 277.0), 10.0).joints
    lines = shapely.union_all([shapely.LineString([*points]) for line in drawn.lines for points in flattened(line)])
    marks = [mark for joint in joints for mark in match_marks(joint, drawn.taken, boxed(drawn.lines))]
    assert len(marks) == 2 * len(joints) >= 2
    assert [] == [mark.name for mark in marks if shapely.box(*mark.box).intersects(lines)]


def flattened(line: Line) -> list[list[Point]]:
    return [[segment.point_at(i / 12) for i in range(13)] for segment in line.shape.segments]


def test_an_overlap_that_leaves_nothing_of_a_page_is_refused() -> None:
    with pytest.raises(ValueError, match="an overlap of 50 mm leaves too little"):
        tiles(HOOK, (70.0, 200.0), 50)


ROWS = {1: "A", 8: "H", 9: "J", 13: "N", 14: "P", 24: "Z", 25: "AA", 48: "AZ", 49: "BA", 601: "AAA"}


@pytest.mark.parametrize("number", ROWS)
def test_rows_have_letters_but_none_that_reads_as_a_figure(number: int) -> None:
    assert ROWS[number] == row_letters(number)


@pytest.mark.parametrize(("length", "tiles"), [(190, 1), (190.1, 2), (370, 2), (370.1, 3), (5, 1)])
def test_so_many_tiles_in_a_row(length: float, tiles: int) -> None:
    assert tiles == count(length, 190, 10)
