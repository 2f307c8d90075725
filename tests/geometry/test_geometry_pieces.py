"""A sheet that falls apart at a straight kerf: pieces, dust, rays across the kerf; all reckoned by hand."""

import pytest
import shapely

from cncpanel.geometry.area import Area
from cncpanel.geometry.pieces import Hit, Pieces, coarse_regions
from cncpanel.geometry.point import Point

SHEET = Area(shapely.box(0, 0, 100, 60))
PARTED = Pieces(SHEET, Area(shapely.box(58, -1, 62, 61)))  # 58 x 60 at the left, 38 x 60 at the right


def test_the_largest_piece_comes_first() -> None:
    assert [piece.size for piece in PARTED.areas] == pytest.approx([58 * 60, 38 * 60], abs=0.05)
    assert PARTED.dust == ()


def test_a_web_of_less_than_half_a_millimetre_parts_and_a_flake_of_it_is_dust() -> None:
    kerfs = shapely.union_all([shapely.box(40, -1, 44, 61), shapely.box(44.4, -1, 48, 61)])
    pieces = Pieces(SHEET, Area(kerfs))
    assert [piece.size for piece in pieces.areas] == pytest.approx([52 * 60, 40 * 60], abs=0.05)
    assert [piece.size for piece in pieces.dust] == pytest.approx([0.4 * 60], abs=0.05)
    firm = shapely.union_all([shapely.box(40, -1, 44, 61), shapely.box(44.6, -1, 48, 61)])
    assert len(Pieces(SHEET, Area(firm)).areas) == 3


def test_a_ray_across_a_kerf_meets_the_other_side_and_not_the_wall_that_it_starts_from() -> None:
    """The slanting rays go 3-4-5: 4 mm across are 5 mm of way."""
    across = (Point(58, 30), Point(66, 30))
    slanting = (Point(58, 20), Point(66, 26)), (Point(62, 20), Point(54, 14))
    along = (Point(60, 10), Point(60, 50))
    assert PARTED.hits([across, *slanting, along]) == [
        Hit(1, pytest.approx(4, abs=1e-9)),
        Hit(1, pytest.approx(5, abs=1e-9)),
        Hit(0, pytest.approx(5, abs=1e-9)),
        None,
    ]
    assert PARTED.hits([]) == []


def test_the_nearest_of_several_pieces_on_a_ray_is_met() -> None:
    kerfs = shapely.union_all([shapely.box(20, -1, 24, 61), shapely.box(30, -1, 34, 61)])
    pieces = Pieces(SHEET, Area(kerfs))  # 66, 20 and 6 mm wide: at the right, at the left, between
    assert pieces.hits([(Point(20, 30), Point(50, 30)), (Point(34, 30), Point(5, 30))]) == [
        Hit(2, pytest.approx(4, abs=1e-9)),
        Hit(2, pytest.approx(4, abs=1e-9)),
    ]


def test_an_area_is_held_by_the_piece_that_most_of_it_belongs_to() -> None:
    assert PARTED.holding(Area(shapely.box(70, 10, 90, 50))) == 1
    assert PARTED.holding(Area(shapely.box(10, 10, 30, 50))) == 0
    assert PARTED.holding(Area(shapely.box(50, 10, 90, 50))) == 1
    assert PARTED.holding(Area(shapely.box(57, 10, 63, 50))) is None
    assert PARTED.holding(Area(shapely.box(200, 10, 220, 50))) is None


def test_a_disc_that_parts_a_neck_does_not_leave_the_piece_whole() -> None:
    neck = shapely.union_all([shapely.box(0, 0, 40, 60), shapely.box(40, 25, 60, 35), shapely.box(60, 0, 100, 60)])
    pieces = Pieces(Area(neck), Area(shapely.Polygon()))
    assert pieces.stay_whole(Point(20, 30), 6, 10)
    assert not pieces.stay_whole(Point(50, 30), 6, 10)
    assert pieces.stay_whole(Point(50, 30), 4, 10)
    assert pieces.stay_whole(Point(50, 45), 6, 9)  # nothing near is cut
    assert not pieces.stay_whole(Point(20, 30), 10, 10)  # nothing is left near it


def test_scrap_keeps_its_islands_as_a_region() -> None:
    shape = shapely.box(0, 0, 30, 20).difference(shapely.box(10, 5, 15, 9))
    (region,) = coarse_regions(Area(shape))
    assert abs(shapely.Polygon(region.outer.flattened(0.01)).area) == 600
    assert [abs(shapely.Polygon(loop.flattened(0.01)).area) for loop in region.holes] == [20]
