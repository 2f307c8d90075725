"""Regions grown and shrunk: pyclipper on chords (its only door), then exact lines and arcs by provenance."""

from collections.abc import Iterable, Iterator, Sequence
from itertools import islice
from math import log2
from typing import Any, Literal

import numpy as np
import pyclipper

from cncpanel.geometry.carrier import Carriers, Floats, carriers_of
from cncpanel.geometry.contour import Contour, joined_bounds
from cncpanel.geometry.flatten import measured, ring
from cncpanel.geometry.recover import recover
from cncpanel.geometry.region import Region, region_of
from cncpanel.geometry.tolerance import FLATTEN, SAME_POINT

REACH = 29  # bits; the kernel's fast whole numbers end at 2^30 from its origin
FINEST = 18  # bits; 4e-6 mm a step is finer than any result needs
THINNEST = 5e-5  # mm; a result of less mean width is rounding where two walls met


class Offsetter:
    """Regions made ready once, to be offset by many distances, each time from the original."""

    def __init__(self, regions: Sequence[Region]) -> None:
        self._regions = tuple(regions)
        self._contours = [contour for region in regions for contour in region.contours]
        self._rings = [ring(contour) for contour in self._contours]
        self._carriers: Carriers = carriers_of(self._contours)
        self._kernels: dict[int, Any] = {}
        self._known: dict[float, tuple[Region, ...]] = {}
        if self._rings:
            xmin, ymin, xmax, ymax = joined_bounds(region.bounds for region in regions)
            self._origin = np.round(np.array([(xmin + xmax) / 2, (ymin + ymax) / 2]))
            self._extent = max(xmax - xmin, ymax - ymin, 1.0)

    def at(self, distance: float) -> tuple[Region, ...]:
        """The regions grown by `distance` mm, or shrunk where it is negative; () where nothing is left."""
        if not self._regions or abs(distance) < SAME_POINT:
            return self._regions
        if distance not in self._known:
            self._known[distance] = self._offset(distance)
        return self._known[distance]

    def levels(self, first: float, step: float) -> Iterator[tuple[Region, ...]]:
        """The regions shrunk by first, first + step, ... until nothing is left, each from the original.

        Raises ValueError where step is not positive: there would be no end.
        """
        if step <= 0:
            raise ValueError(f"step {step:g} mm: it must be more than 0")
        count = 0
        while level := self.at(-(first + count * step)):
            yield level
            count += 1

    def _offset(self, distance: float) -> tuple[Region, ...]:
        bits = self._bits(distance)
        scale = 2.0**bits
        tree = self._kernel(bits).Execute2(distance * scale)
        pieces = list(_pieces(tree, scale, self._origin))
        exact = recover([points for piece in pieces for points in piece], self._carriers.moved(distance))
        return regions_of(exact, [len(piece) for piece in pieces])

    def _bits(self, distance: float) -> int:
        """The power of two that makes whole numbers of millimetres within the kernel's fast range."""
        return min(int(REACH - log2(self._extent / 2 + abs(distance) + 1)), FINEST)

    def _kernel(self, bits: int) -> Any:
        if bits not in self._kernels:
            scale = 2.0**bits
            kernel = pyclipper.PyclipperOffset(2.0, FLATTEN * scale / 2)  # it rounds the count of steps down
            for points in self._rings:
                whole = np.rint((points - self._origin) * scale).astype(np.int64)
                if len(whole) > 2 and np.ptp(whole, axis=0).all():
                    kernel.AddPath(whole.tolist(), pyclipper.JT_ROUND, pyclipper.ET_CLOSEDPOLYGON)
            self._kernels[bits] = kernel
        return self._kernels[bits]


def offset(regions: Sequence[Region], distance: float, joins: Literal["round"] = "round") -> tuple[Region, ...]:
    """The regions grown (positive, rounding corners) or shrunk by `distance` mm; () if nothing is left."""
    return Offsetter(regions).at(distance)


def offset_contour(contour: Contour, distance: float) -> tuple[Contour, ...]:
    """The loops round the area within `contour` after growing or shrinking; () where nothing is left."""
    grown = offset((region_of(contour),), distance)
    return tuple(loop for region in grown for loop in region.contours)


def regions_of(contours: Iterable[Contour], counts: Iterable[int]) -> tuple[Region, ...]:
    """Regions of so many contours each, outer first, all turned as is the custom; sorted by the boxes of
    their vertices, so that no kernel's order shows."""
    loops = iter(contours)
    regions = [Region(next(loops), _sorted(islice(loops, count - 1))) for count in counts]
    return tuple(sorted(regions, key=lambda region: _place(region.outer))) if len(regions) > 1 else tuple(regions)


def _sorted(contours: Iterable[Contour]) -> tuple[Contour, ...]:
    return tuple(sorted(contours, key=_place))


def _place(contour: Contour) -> tuple[float, ...]:
    xs, ys, _ = zip(*contour.vertices, strict=True)
    return round(min(xs), 5), round(min(ys), 5), round(max(xs), 5), round(max(ys), 5)


def _pieces(tree: Any, scale: float, origin: Floats) -> Iterator[list[Floats]]:
    """Each outer ring with its holes, in mm, outermost first."""
    for outer in tree.Childs:
        rings = [_millimetres(node.Contour, scale, origin) for node in (outer, *outer.Childs)]
        if _mean_width(rings[0]) > THINNEST:
            yield [rings[0], *(hole for hole in rings[1:] if _mean_width(hole) > THINNEST)]
        for hole in outer.Childs:
            yield from _pieces(hole, scale, origin)


def _millimetres(path: list[list[int]], scale: float, origin: Floats) -> Floats:
    return np.array(path, dtype=np.float64) / scale + origin


def _mean_width(points: Floats) -> float:
    """Twice the area over the length round it."""
    area, length = measured(points) if len(points) > 2 else (0.0, 1.0)
    return 2 * abs(area) / length
