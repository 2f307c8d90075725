"""A piece of the plane with holes, bounded by lines and arcs; shapely's door for the maker's side."""

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
import shapely

from cncpanel.geometry.contour import Contour
from cncpanel.geometry.placement import Placement
from cncpanel.geometry.segment import Bounds
from cncpanel.geometry.tolerance import FLATTEN


@dataclass(frozen=True, slots=True)
class Region:
    """One connected piece: an outer contour (counter-clockwise) and holes (clockwise) inside it."""

    outer: Contour
    holes: tuple[Contour, ...] = ()

    @property
    def contours(self) -> tuple[Contour, ...]:
        """The outer contour, then the holes."""
        return (self.outer, *self.holes)

    @property
    def area(self) -> float:
        """In mm2, arcs exact."""
        return abs(self.outer.area) - sum(abs(hole.area) for hole in self.holes)

    @property
    def bounds(self) -> Bounds:
        """(xmin, ymin, xmax, ymax)."""
        return self.outer.bounds

    def placed(self, placement: Placement) -> "Region":
        """The region where `placement` puts it."""
        return Region(placement.contour(self.outer), tuple(map(placement.contour, self.holes)))


def region_of(outer: Contour, holes: Iterable[Contour] = ()) -> Region:
    """The region with its contours turned the customary way."""
    return Region(outer.counter_clockwise, tuple(hole.counter_clockwise.reversed() for hole in holes))


def flat(region: Region, chord_error: float = FLATTEN) -> shapely.Geometry:
    """The region as a sound shapely polygon (or several), arcs as chords at most `chord_error` off."""
    rings = [shapely.linearrings(np.array(contour.flattened(chord_error))) for contour in region.contours]
    return sound(shapely.polygons(rings[0], rings[1:] or None))


def sound(polygon: shapely.Polygon) -> shapely.Geometry:
    """Without crossings: the chords of two arcs that meet smoothly, their centres a rounding apart, may cross there."""
    if polygon.is_valid:
        return polygon
    return shapely.make_valid(polygon, method="structure", keep_collapsed=False)


def flat_all(regions: Iterable[Region], chord_error: float = FLATTEN) -> shapely.Geometry:
    """All regions as one shapely geometry (a union)."""
    return shapely.union_all([flat(region, chord_error) for region in regions])
