"""Offsets and combinations against formulas and a general library that know nothing of how they were made."""

from math import pi

import numpy as np
import pytest
import shapely

from cncpanel.geometry.check import worst_deviation
from cncpanel.geometry.combine import difference, intersection, union
from cncpanel.geometry.contour import Contour, Vertex, circle, polygon
from cncpanel.geometry.offset import offset
from cncpanel.geometry.placement import Placement
from cncpanel.geometry.point import Point
from cncpanel.geometry.region import Region, region_of
from cncpanel.geometry.shape import rectangle, slot
from cncpanel.geometry.tolerance import PATH

CONVEX = {
    "rectangle": rectangle(0, 0, 120, 70),
    "rounded": rectangle(0, 0, 120, 70, (5, 10, 15, 0)),
    "circle": circle((0, 0), 31),
    "slot": slot(Point(0, 0), Point(33, 44), 17),
    "triangle": polygon([(0, 0), (50, 10), (20, 60)]),
    "half": Contour((Vertex(-20, 0), Vertex(20, 0, 1.0))),
}
WAVY = Contour(
    (
        Vertex(0, 0),
        Vertex(40, 0, -0.6),
        Vertex(60, 0),
        Vertex(100, 0, 0.4),
        Vertex(100, 50),
        Vertex(50, 35),
        Vertex(0, 50, -0.2),
    )
)
SHAPES = {
    "wavy": region_of(WAVY),
    "wavy, turned": region_of(WAVY).placed(Placement(angle_deg=71.3, x=300, mirrored=True)),
    "holed": region_of(
        rectangle(0, 0, 120, 90, (6, 6, 6, 6)), [circle((30, 45), 12), rectangle(60, 20, 30, 50, (4,) * 4)]
    ),
    "zigzag": region_of(
        polygon([(0, 0), (80, 0), (80, 60), (70, 60), (65, 20), (60, 60), (50, 60), (45, 12), (40, 60), (0, 60)])
    ),
}
FINE = 1e-4  # mm; chord error of the reference


@pytest.mark.parametrize("name", CONVEX)
@pytest.mark.parametrize("distance", [0.1, 3.175, 25.0])
def test_a_convex_area_grows_by_the_steiner_formula(name: str, distance: float) -> None:
    """Steiner 1840: A + P d + pi d^2, and the perimeter P + 2 pi d (e.g. Schneider, Convex Bodies, 4.1)."""
    (grown,) = offset((region_of(CONVEX[name]),), distance)
    area, length = CONVEX[name].area, CONVEX[name].length
    assert grown.area == pytest.approx(area + length * distance + pi * distance**2, rel=1e-9)
    assert grown.outer.length == pytest.approx(length + 2 * pi * distance, rel=1e-9)


def chords(region: Region) -> shapely.Polygon:
    rings = [contour.flattened(FINE) for contour in region.contours]
    return shapely.Polygon(rings[0], rings[1:])


def reference(region: Region, distance: float) -> shapely.Geometry:
    """shapely's buffer of each side by itself, joined: of a whole polygon it smooths hollows by 1 % of the distance."""
    source = chords(region)
    sides = [
        shapely.LineString(pair)
        for ring in (source.exterior, *source.interiors)
        for pair in np.stack((shapely.get_coordinates(ring)[:-1], shapely.get_coordinates(ring)[1:]), axis=1)
    ]
    rim = shapely.union_all(shapely.buffer(sides, abs(distance), quad_segs=90))
    return shapely.union(source, rim) if distance > 0 else shapely.difference(source, rim)


@pytest.mark.parametrize("name", SHAPES)
@pytest.mark.parametrize("distance", [1.5, 6.0, -1.5, -6.0])
def test_offsets_lie_within_the_path_tolerance_of_shapely(name: str, distance: float) -> None:
    """shapely 2 (GEOS), quarter circles of 90 chords: 0.0003 mm off at 6 mm."""
    wanted = sorted(shapely.get_parts(reference(SHAPES[name], distance)), key=lambda part: part.bounds)
    found = offset((SHAPES[name],), distance)
    assert len(found) == len(wanted)
    for region, part in zip(found, wanted, strict=True):
        rings = sorted((part.exterior, *part.interiors), key=lambda ring: ring.bounds)
        exact = sorted(region.contours, key=lambda contour: contour.bounds)
        for contour, ring in zip(exact, rings, strict=True):
            assert worst_deviation(contour, shapely.get_coordinates(ring)[:-1]) <= PATH
        assert shapely.symmetric_difference(chords(region), part).area <= 1e-3 * part.length


@pytest.mark.parametrize("seed", range(12))
def test_combined_areas_are_those_of_shapely(seed: int) -> None:
    """shapely 2 (GEOS) on chords within 0.0001 mm."""
    random = np.random.default_rng(seed)
    loops = [*CONVEX.values(), WAVY]
    a, b = (
        [
            region_of(loops[random.integers(len(loops))]).placed(
                Placement(x=random.uniform(0, 80), y=random.uniform(0, 60), angle_deg=random.uniform(0, 360))
            )
            for _ in range(3)
        ]
        for _ in range(2)
    )
    first, second = (shapely.union_all([chords(region) for region in regions]) for regions in (a, b))
    for found, wanted in (
        (union((*a, *b)), shapely.union(first, second)),
        (difference(a, b), shapely.difference(first, second)),
        (intersection(a, b), shapely.intersection(first, second)),
    ):
        assert sum(region.area for region in found) == pytest.approx(wanted.area, abs=2 * FINE * wanted.length + 0.01)
        assert len(found) == sum(part.area > 0.01 for part in shapely.get_parts(wanted))
