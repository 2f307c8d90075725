"""Regions joined, cut and compared: shapely on shared chords, then exact lines and arcs by provenance."""

from collections.abc import Sequence
from itertools import chain

import shapely

from cncpanel.geometry.carrier import Floats, carriers_of
from cncpanel.geometry.contour import Contour
from cncpanel.geometry.flatten import SharedChords
from cncpanel.geometry.offset import offset, regions_of
from cncpanel.geometry.recover import recover
from cncpanel.geometry.region import Region, flat, sound
from cncpanel.geometry.tolerance import FLATTEN, PATH

GRID = 1e-6  # mm; shapely rounds to this, so that sides that were turned or moved together still meet
SLIVER = 1e-4  # mm2; smaller pieces are rounding
THINNEST = FLATTEN  # mm; pieces of less mean width are what chords differ by


def union(regions: Sequence[Region]) -> tuple[Region, ...]:
    """The area that any region covers."""
    flatten = SharedChords(_contours(regions))
    return _exact(shapely.union_all(_flat(regions, flatten), grid_size=GRID), regions)


def difference(a: Sequence[Region], b: Sequence[Region]) -> tuple[Region, ...]:
    """The area that `a` covers and `b` does not."""
    flatten = SharedChords(_contours((*a, *b)))
    first, second = _merged(a, flatten), _merged(b, flatten)
    return _exact(shapely.difference(first, second, grid_size=GRID), (*a, *b))


def intersection(a: Sequence[Region], b: Sequence[Region]) -> tuple[Region, ...]:
    """The area that both `a` and `b` cover."""
    flatten = SharedChords(_contours((*a, *b)))
    first, second = _merged(a, flatten), _merged(b, flatten)
    return _exact(shapely.intersection(first, second, grid_size=GRID), (*a, *b))


def opened(regions: Sequence[Region], radius: float) -> tuple[Region, ...]:
    """What a round tool of `radius` mm can reach without leaving the regions: shrunk, then grown again."""
    return offset(offset(regions, -radius), radius)


def unreached(region: Region, radius: float, least_size: float) -> tuple[Region, ...]:
    """The pieces that a round tool of `radius` mm leaves, if a side of their box is `least_size` or more.

    What is nowhere thicker than PATH is the chords' error and left out.
    """
    left = difference((region,), opened((region,), radius))
    return tuple(piece for piece in left if _size(piece) >= least_size and not _is_film(piece))


def contains(outer: Region, inner: Region, slack: float) -> bool:
    """Whether no part of `inner` lies further than `slack` mm outside `outer`; a negative one asks for room.

    What is thinner than two FLATTEN counts as inside: chords decide no finer.
    """
    room = flat(outer).buffer(slack, quad_segs=64)
    return bool(shapely.difference(flat(inner), room).buffer(-FLATTEN).is_empty)


def overlap_area(a: Region, b: Region) -> float:
    """The area in mm2 that both cover."""
    return sum((piece.area for piece in intersection((a,), (b,))), 0.0)


def gap(a: Region, b: Region) -> float:
    """The shortest distance in mm, up to two FLATTEN too long at arcs; 0 where they touch or overlap."""
    return float(shapely.distance(flat(a), flat(b)))


def _contours(regions: Sequence[Region]) -> list[Contour]:
    return list(chain.from_iterable(region.contours for region in regions))


def _flat(regions: Sequence[Region], flatten: SharedChords) -> list[shapely.Geometry]:
    loops = [(flatten.ring(region.outer), [flatten.ring(hole) for hole in region.holes]) for region in regions]
    return [sound(shapely.Polygon(outer, holes)) for outer, holes in loops]


def _merged(regions: Sequence[Region], flatten: SharedChords) -> shapely.Geometry:
    """Not rounded yet: rounding twice pulls lines apart that lie on each other."""
    return shapely.union_all(_flat(regions, flatten))


def _exact(result: shapely.Geometry, sources: Sequence[Region]) -> tuple[Region, ...]:
    """The polygons of the result as regions of the sources' own lines and arcs."""
    polygons = [part for part in shapely.get_parts(result) if part.geom_type == "Polygon" and _counts(part)]
    loops = [[part.exterior, *filter(_counts_as_hole, part.interiors)] for part in polygons]
    rings = [_ring(loop, outer=loop is part[0]) for part in loops for loop in part]
    exact = recover(rings, carriers_of(_contours(sources)).moved(0.0))
    return regions_of(exact, [len(part) for part in loops])


def _ring(loop: shapely.LinearRing, *, outer: bool) -> Floats:
    """The points once round, counter-clockwise for an outer loop, clockwise for a hole."""
    points: Floats = shapely.get_coordinates(loop)[:-1]
    return points if shapely.is_ccw(loop) == outer else points[::-1]


def _counts(polygon: shapely.Polygon) -> bool:
    return bool(polygon.area >= SLIVER and 2 * polygon.area >= THINNEST * polygon.length)


def _counts_as_hole(loop: shapely.LinearRing) -> bool:
    return _counts(shapely.Polygon(loop))


def _size(region: Region) -> float:
    xmin, ymin, xmax, ymax = region.bounds
    return max(xmax - xmin, ymax - ymin)


def _is_film(region: Region) -> bool:
    """Whether it is nowhere thicker than the chords' own error."""
    return bool(flat(region).buffer(-PATH / 2).is_empty)
