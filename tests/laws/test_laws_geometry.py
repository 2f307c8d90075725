"""What holds for every offset, combination, stroke and fit, judged by distances to the source itself."""

from itertools import pairwise
from math import cos, pi, sin

import numpy as np
import pytest
import shapely
from geometry_shapes import convex, length, paths, regions
from hypothesis import example, given
from hypothesis import strategies as st

from cncpanel.geometry.check import crosses_itself, worst_deviation
from cncpanel.geometry.combine import contains, difference, intersection, opened, union, unreached
from cncpanel.geometry.contour import Contour, Path, Vertex, contour_of
from cncpanel.geometry.fit import fit
from cncpanel.geometry.offset import Offsetter, offset
from cncpanel.geometry.point import Point
from cncpanel.geometry.region import Region, flat, region_of
from cncpanel.geometry.stroke import stroke
from cncpanel.geometry.tolerance import FIT, FLATTEN, PATH

DISTANCES = length(0.1, 25) | length(-15, -0.1) | st.sampled_from((3.0, -3.0, 5.0, -5.0, 8.0, -8.0))
FINE = 2e-5  # mm; chords that stand for the exact source
COARSE = 1e-3  # mm; chords where shapely compares whole areas
BACK_ROUND = Path(  # an arc that turns nearly back into another: its corner's disc lies on the sides of both bands
    (
        Vertex(0.0, 0.0),
        Vertex(41.976282837234194, -25.27828473549022, 0.3),
        Vertex(43.52393292308054, -22.708308235251394, 0.9),
        Vertex(56.51855771189253, -22.33450802391782),
    )
)
GRAIN = 9  # places a side where a region is probed


def boundary_places(found: tuple[Region, ...]) -> np.ndarray:
    segments = [s for region in found for contour in region.contours for s in contour.segments]
    places = [s.point_at(part) for s in segments for part in np.linspace(0, 1, 7)]
    return shapely.points(np.array(places).reshape(-1, 2))


def probes(region: Region, margin: float) -> np.ndarray:
    xmin, ymin, xmax, ymax = region.bounds
    x, y = np.meshgrid(
        np.linspace(xmin - margin, xmax + margin, GRAIN), np.linspace(ymin - margin, ymax + margin, GRAIN)
    )
    return shapely.points(x.ravel(), y.ravel())


def covers(found: tuple[Region, ...], places: np.ndarray) -> np.ndarray:
    return shapely.contains(shapely.union_all([flat(region, FINE) for region in found]), places)


@given(regions(), DISTANCES)
def test_every_place_of_an_offset_is_the_distance_away(region: Region, distance: float) -> None:
    source = flat(region, FINE).boundary
    away = shapely.distance(boundary_places(offset((region,), distance)), source)
    assert np.abs(away - abs(distance)).max(initial=0.0) <= PATH


@given(regions(), DISTANCES)
def test_an_offset_holds_what_is_near_enough_and_nothing_else(region: Region, distance: float) -> None:
    source, places = flat(region, FINE), probes(region, max(distance, 0.0))
    signed = np.where(shapely.contains(source, places), -1, 1) * shapely.distance(places, source.boundary)
    clear = np.abs(signed - distance) > PATH
    wanted = signed[clear] < distance
    assert (covers(offset((region,), distance), places[clear]) == wanted).all()


@given(regions(), DISTANCES)
def test_an_offset_is_made_of_few_elements_in_valid_regions(region: Region, distance: float) -> None:
    found = offset((region,), distance)
    sources = sum(len(contour.vertices) for contour in region.contours)
    assert sum(len(c.vertices) for r in found for c in r.contours) <= 3 * sources + 8
    for piece in found:
        assert piece.outer.area > 0
        assert all(hole.area < 0 for hole in piece.holes)
        assert all(abs(vertex.bulge) <= 1 + 1e-9 for c in piece.contours for vertex in c.vertices)
        assert shapely.is_valid_reason(flat(piece, COARSE)) == "Valid Geometry"


@given(regions(), length(0.5, 8))
def test_there_and_back_inwards_stays_inside_and_outwards_covers(region: Region, distance: float) -> None:
    assert all(contains(region, piece, PATH) for piece in opened((region,), distance))
    back = offset(offset((region,), distance), -distance)
    assert any(contains(piece, region, PATH) for piece in back)


@given(convex(), length(0.5, 30))
def test_a_convex_shape_comes_back_exactly(loop: Contour, distance: float) -> None:
    (back,) = offset(offset((region_of(loop),), distance), -distance)
    assert len(back.outer.vertices) == len(loop.vertices)
    for vertex in back.outer.vertices:
        nearest = min(loop.vertices, key=lambda other: other.point.distance(vertex.point))
        assert tuple(vertex) == pytest.approx(tuple(nearest), abs=1e-6)


@given(regions(), length(0.5, 4), length(1, 6))
def test_levels_are_the_offsets_from_the_original(region: Region, first: float, step: float) -> None:
    found = list(Offsetter((region,)).levels(first, step))
    for count, level in enumerate(found):
        assert level == offset((region,), -(first + count * step))
    assert offset((region,), -(first + len(found) * step)) == ()


@given(regions(), regions())
def test_areas_of_combinations_add_up(a: Region, b: Region) -> None:
    b = Region(*_centred(b, a))
    both, cut, whole = intersection((a,), (b,)), difference((a,), (b,)), union((a, b))
    slack = 2 * FLATTEN * sum(contour.length for region in (a, b) for contour in region.contours)
    assert total(both) + total(cut) == pytest.approx(a.area, abs=slack)
    assert total(whole) + total(both) == pytest.approx(a.area + b.area, abs=slack)


def _centred(b: Region, a: Region) -> tuple[Contour, tuple[Contour, ...]]:
    """Region b moved so that its lower left lies inside a's box: the two mostly meet."""
    x, y = a.bounds[0] + 10 - b.bounds[0], a.bounds[1] + 10 - b.bounds[1]
    moved = [Contour(tuple(v._replace(x=v.x + x, y=v.y + y) for v in c.vertices)) for c in b.contours]
    return moved[0], tuple(moved[1:])


def total(found: tuple[Region, ...]) -> float:
    return sum(region.area for region in found)


@given(regions(), regions())
def test_combining_agrees_with_chords(a: Region, b: Region) -> None:
    b = Region(*_centred(b, a))
    for exact, chords in (
        (union((a, b)), shapely.union(flat(a, COARSE), flat(b, COARSE))),
        (difference((a,), (b,)), shapely.difference(flat(a, COARSE), flat(b, COARSE))),
        (intersection((a,), (b,)), shapely.intersection(flat(a, COARSE), flat(b, COARSE))),
    ):
        apart = shapely.symmetric_difference(shapely.union_all([flat(r, COARSE) for r in exact]), chords)
        assert apart.buffer(-PATH / 2).is_empty


@given(regions(), length(1, 6))
def test_what_a_tool_reaches_and_leaves_is_the_whole(region: Region, radius: float) -> None:
    parts = opened((region,), radius), unreached(region, radius, 0.0)
    slack = PATH * sum(contour.length for contour in region.contours)
    assert sum(map(total, parts)) == pytest.approx(region.area, abs=slack)


@given(paths(), length(2, 14))
@example(BACK_ROUND, 2.0)
def test_a_round_stroke_is_all_within_half_its_width(path: Path, width: float) -> None:
    band = stroke(path, width, "round", "round")
    line = shapely.LineString([p for s in path.segments for p in (*s.flattened(FINE), s.end)])
    away = shapely.distance(boundary_places(band), line)
    assert np.abs(away - width / 2).max() <= PATH
    xmin, ymin, xmax, ymax = line.bounds
    x, y = np.meshgrid(np.linspace(xmin - 9, xmax + 9, GRAIN), np.linspace(ymin - 9, ymax + 9, GRAIN))
    places = shapely.points(x.ravel(), y.ravel())
    off = shapely.distance(places, line) - width / 2
    clear = np.abs(off) > PATH
    assert (covers(band, places[clear]) == (off[clear] < 0)).all()


@given(st.lists(length(-6, 6), min_size=3, max_size=3), length(20, 60))
def test_a_fitted_curve_passes_every_point(waves: list[float], radius: float) -> None:
    """A wavy closed curve, sampled so finely that its chords leave it by at most a micron."""
    points = []
    for i in range(600):
        angle = 2 * pi * i / 600
        reach = radius + sum(wave * cos((k + 1) * angle) / (k + 1) for k, wave in enumerate(waves))
        points.append(Point(reach * cos(angle), reach * sin(angle)))
    segments = fit(points, FIT, closed=True)
    assert len(segments) < 300
    assert all(a.end == b.start for a, b in pairwise((*segments, segments[0])))
    assert all(abs(segment.bulge) <= 1 for segment in segments)
    assert worst_deviation(contour_of(segments), points) <= FIT + 3e-3
    assert crosses_itself(contour_of(segments)) is None
