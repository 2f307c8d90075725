"""What a sheet falls into where kerfs go through it, and what lies across a kerf."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from math import hypot

import numpy as np
import shapely

from cncpanel.geometry.area import ROUND, Area
from cncpanel.geometry.contour import polygon
from cncpanel.geometry.point import Point
from cncpanel.geometry.region import Region, region_of

WEB = 0.5  # mm; a web narrower than this holds nothing, so it parts two pieces: common practice
CRUMB = 2.0  # mm2; a flake below this goes up with the dust
COARSE = 0.05  # mm; chords of scrap, which needs no exact edge
RIM = 8  # chords of a rim looked at together
START = 0.05  # mm beyond a wall where a ray across the kerf begins: clear of the wall's own chords


@dataclass(frozen=True, slots=True)
class Hit:
    """The piece that a ray meets first, and how far on, mm."""

    piece: int
    distance: float


class Pieces:
    """The connected pieces left of a sheet, largest first; flakes and webs too thin to hold are `dust`."""

    def __init__(self, sheet: Area, kerfs: Area) -> None:
        """Cut the kerfs out of the sheet."""
        left = shapely.difference(sheet.shape, kerfs.shape)
        cores = shapely.buffer(left, -WEB / 2, quad_segs=ROUND)
        grown = [
            shapely.intersection(shapely.buffer(core, WEB / 2 + 0.01, quad_segs=ROUND), left)
            for core in shapely.get_parts(cores)
        ]
        firm = shapely.union_all(grown)
        thin = shapely.get_parts(shapely.difference(left, shapely.buffer(firm, 0.02)))
        self.areas = tuple(Area(shape) for shape in sorted(grown, key=_rank))
        self.dust = tuple(Area(shape) for shape in sorted(thin, key=_rank) if shape.area > CRUMB)
        self._tree = shapely.STRtree([area.shape for area in self.areas])

    @cached_property
    def _rims(self) -> tuple[shapely.STRtree, np.ndarray]:
        """The rims of the pieces in short stretches, and whose each is."""
        stretches, owners = _stretches(self.areas)
        return shapely.STRtree(stretches), owners

    def stay_whole(self, centre: Point, radius: float, around: float) -> bool:
        """Whether no piece falls apart where a disc of `radius` is cut out, seen within `around` mm of its centre."""
        lead, near = (shapely.Point(centre.x, centre.y).buffer(r, quad_segs=ROUND) for r in (radius, around))
        for index in self._tree.query(near, predicate="intersects"):
            here = shapely.intersection(near, self.areas[index].shape)
            left = shapely.difference(here, lead)
            if shapely.get_num_geometries(left) != shapely.get_num_geometries(here) or left.is_empty:
                return False
        return True

    def holding(self, area: Area) -> int | None:
        """The piece that most of `area` belongs to; None where none does."""
        found = [int(i) for i in self._tree.query(area.shape)]
        shares = [(area.overlap(self.areas[i]), -i) for i in found]
        share, index = max(shares, default=(0.0, 0))
        return -index if share > area.size / 2 else None

    def hits(self, rays: Sequence[tuple[Point, Point]]) -> list[Hit | None]:
        """For each ray (start, end): the first piece it meets after its start."""
        if not rays:
            return []
        tree, owners = self._rims
        lines = shapely.linestrings(np.array([(*_on(start, end), *end) for start, end in rays]).reshape(-1, 2, 2))
        number, rim = tree.query(lines, predicate="intersects")
        crossing = shapely.intersection(lines[number], tree.geometries[rim])
        distances = shapely.distance(shapely.points([start for start, _ in rays])[number], crossing)
        best: list[Hit | None] = [None] * len(rays)
        for i, piece, distance in zip(number.tolist(), owners[rim].tolist(), distances.tolist(), strict=True):
            known = best[i]
            if known is None or (distance, piece) < (known.distance, known.piece):
                best[i] = Hit(piece, distance)
        return best


def _stretches(areas: Sequence[Area]) -> tuple[np.ndarray, np.ndarray]:
    found: list[shapely.Geometry] = []
    owner: list[int] = []
    for number, area in enumerate(areas):
        for loop in shapely.get_parts(shapely.boundary(area.shape)):
            corners = shapely.get_coordinates(loop)
            for begin in range(0, len(corners) - 1, RIM):
                found.append(shapely.linestrings(corners[begin : begin + RIM + 1]))
                owner.append(number)
    return np.array(found, dtype=object), np.array(owner, dtype=int)


def _on(start: Point, end: Point) -> Point:
    dx, dy = end.x - start.x, end.y - start.y
    length = hypot(dx, dy)
    return Point(start.x + dx / length * START, start.y + dy / length * START)


def _rank(shape: shapely.Geometry) -> tuple[float, ...]:
    return (-round(shape.area, 3), *(round(edge, 3) for edge in shape.bounds))


def coarse_regions(area: Area) -> tuple[Region, ...]:
    """The area as regions of straight lines, for scrap that is cut away."""
    shape = shapely.simplify(area.shape, COARSE)
    return tuple(_region(part) for part in shapely.get_parts(shape) if part.geom_type == "Polygon")


def _region(shape: shapely.Polygon) -> Region:
    loops = [polygon(list(ring.coords)[:-1]) for ring in (shape.exterior, *shape.interiors)]
    return region_of(loops[0], loops[1:])
