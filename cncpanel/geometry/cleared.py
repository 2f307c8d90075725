"""Where a tool's centre has been: what a next loop has uncut beside it, and how far off it lies. Flattened."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
import shapely

from cncpanel.geometry.area import ROUND, Area, line_of
from cncpanel.geometry.contour import polygon
from cncpanel.geometry.point import Point
from cncpanel.geometry.region import Region, flat, region_of
from cncpanel.geometry.segment import Segment

CHORD = 0.02  # mm; loops inside a recess need no finer
NEAR = 0.1  # mm; nearer than this to what is cleared there is nothing to cut: a finish follows
FINEST = 0.008  # mm; what the chords of what is cleared, 0.005 off, may seem to leave along a wall
LINK = 0.2  # mm that a straight way may shave of what is not cleared: less than a finish does
FEW = 4  # chords a quarter turn of NEAR: 0.002 mm short
SPECK = 0.01  # mm2; a smaller piece is rounding
TRIM = 0.045  # mm that a piece taken as a region of its own keeps within its rim: its sides are chords
COARSE = 0.04  # mm; chords of such a piece


@dataclass(frozen=True, slots=True)
class Stretch:
    """A part of a loop with uncut material: its ends (the same where it is all of the loop), the farthest it goes."""

    start: Point
    end: Point
    whole: bool
    far: float
    rim: Area


class Level:
    """Regions of tool centres, flattened once for all that is asked of them."""

    def __init__(self, regions: Sequence[Region]) -> None:
        """Any number of regions apart from each other."""
        self.regions = tuple(regions)
        self.shapes = [flat(region, CHORD) for region in regions]
        self.whole = shapely.union_all(self.shapes)


class Cleared:
    """The centres from which all is taken; grows as loops are cut."""

    def __init__(self) -> None:
        """Nothing is cleared."""
        self._shape: shapely.Geometry = shapely.Polygon()
        self._roomy: shapely.Geometry | None = None
        self._grown: shapely.Geometry | None = None

    def so_far(self) -> "Cleared":
        """What is cleared now, whatever follows."""
        copy = Cleared()
        copy._shape, copy._grown = self._shape, self._grown
        return copy

    @property
    def is_empty(self) -> bool:
        """Whether nothing is cleared yet."""
        return bool(self._shape.is_empty)

    def add(self, area: Area) -> None:
        """All of the area is cleared."""
        self._set(shapely.union(self._shape, area.shape))

    def within(self, area: Area) -> "Cleared":
        """What of it lies in the area."""
        part = Cleared()
        part._set(shapely.intersection(self._shape, area.shape))
        return part

    def misses(self, level: "Level") -> Iterator[Region]:
        """The regions of the level that do not meet what is cleared when they are asked for."""
        for region, shape in zip(level.regions, level.shapes, strict=True):
            if self.is_empty or not shapely.dwithin(self._shape, shape, NEAR):
                yield region

    def stretches(self, loop: Sequence[Segment]) -> list[Stretch]:
        """Where the loop leaves what is cleared."""
        return self._beyond(loop, CHORD, self._near(), NEAR)

    def finest_stretches(self, loop: Sequence[Segment]) -> list[Stretch]:
        """The same for a wall that nothing goes along afterwards: anything that could be measured counts."""
        return self._beyond(loop, FINEST / 4, shapely.buffer(self._shape, FINEST, quad_segs=ROUND), FINEST)

    def _beyond(self, loop: Sequence[Segment], chord: float, near: shapely.Geometry, shortest: float) -> list[Stretch]:
        out = shapely.difference(line_of(loop, chord), near)
        parts = shapely.get_parts(shapely.line_merge(out, directed=True)) if not out.is_empty else []
        return [self._stretch(part) for part in parts if part.length > shortest]

    def _stretch(self, part: shapely.Geometry) -> Stretch:
        (x, y), (x1, y1) = part.coords[0], part.coords[-1]
        whole = bool(part.is_closed)
        places = shapely.points(shapely.get_coordinates(shapely.segmentize(part, 0.5)))
        far = float("inf") if self.is_empty else float(np.max(shapely.distance(places, self._shape)))
        return Stretch(Point(x, y), Point(x1, y1), whole, far, Area(part))

    def add_with(self, level: "Level", cut: Sequence[Stretch]) -> None:
        """Of the level, the pieces along whose rims the stretches were cut, and those without a rim of their own."""
        rims = shapely.buffer(shapely.union_all([stretch.rim.shape for stretch in cut]), 2 * NEAR, quad_segs=FEW)
        pieces = [piece for piece in self._left(level) if piece.intersects(rims)]
        if pieces:
            grown = shapely.union_all([shapely.buffer(piece, 2 * NEAR, quad_segs=FEW) for piece in pieces])
            grown = shapely.intersection(grown, level.whole)
            self._set(shapely.union(self._shape, grown))

    def off(self, distance: float) -> "Cleared":
        """What of it lies that far from its rim, mm."""
        inner = Cleared()
        inner._set(shapely.buffer(self._shape, -distance))
        return inner

    def islands(self, level: "Level", distance: float) -> list[Region]:
        """Pieces of the level with places further than `distance` from what is cleared, as regions of their own.

        Not those as narrow as their chords are coarse: they would fall apart, and their walls are one way and back.
        """
        far = shapely.difference(level.whole, shapely.buffer(self._shape, distance, quad_segs=ROUND))
        pieces = [piece for piece in self._left(level) if piece.intersects(far)]
        trimmed = [part for piece in pieces for part in shapely.get_parts(shapely.buffer(piece, -TRIM))]
        broad = [part for part in trimmed if part.area > SPECK and not shapely.buffer(part, -COARSE).is_empty]
        return [_region(part) for part in broad]

    def holds(self, point: Point) -> bool:
        """Whether the place is cleared."""
        return bool(shapely.covers(self._shape, shapely.Point(point)))

    def holds_disc(self, centre: Point, radius: float) -> bool:
        """Whether all within `radius` mm of the place is cleared, but for chords."""
        disc = shapely.Point(centre).buffer(radius - NEAR, quad_segs=FEW)
        return bool(shapely.covers(self._shape, disc))

    def holds_line(self, start: Point, end: Point) -> bool:
        """Whether the straight way from start to end is through what is cleared."""
        if start.distance(end) < NEAR:
            return True
        if self._roomy is None:
            self._roomy = shapely.buffer(self._shape, LINK)
            shapely.prepare(self._roomy)
        return bool(shapely.covers(self._roomy, shapely.LineString([start, end])))

    def nearest(self, point: Point) -> Point:
        """The cleared place nearest to the point."""
        return Area(self._shape).nearest(point)

    def _near(self) -> shapely.Geometry:
        if self._grown is None:
            self._grown = shapely.buffer(self._shape, NEAR, quad_segs=FEW)
        return self._grown

    def _set(self, shape: shapely.Geometry) -> None:
        self._shape, self._roomy, self._grown = shape, None, None

    def _left(self, level: "Level") -> list[shapely.Geometry]:
        left = shapely.difference(level.whole, self._near())
        return [part for part in shapely.get_parts(left) if part.geom_type == "Polygon" and part.area > SPECK]


def inscribed(region: Region, tolerance: float) -> float:
    """The radius of the largest circle in the region, to `tolerance` mm, never more than it is."""
    return float(shapely.maximum_inscribed_circle(flat(region, CHORD), tolerance=tolerance).length)


def _region(shape: shapely.Geometry) -> Region:
    thin = shapely.simplify(shape, COARSE)
    outer, *holes = [list(ring.coords)[:-1] for ring in (thin.exterior, *thin.interiors)]
    return region_of(polygon(outer), [polygon(hole) for hole in holes])
