"""Which of many discs, slots and regions come near each other, or near a boundary: GEOS's tree does the looking."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely

from cncpanel.geometry.point import Point
from cncpanel.geometry.region import Region, flat
from cncpanel.geometry.segment import Bounds, Segment

Core = Region | Segment | Point


@dataclass(frozen=True, slots=True)
class Body:
    """All that lies within `reach` of its core: a disc about a point, a slot about a line, a region (reach 0)."""

    core: Core
    reach: float = 0.0


@dataclass(frozen=True, slots=True)
class Nearness:
    """Two bodies by number and what lies between them: its width (negative: they overlap) and its middle."""

    first: int
    second: int
    width: float
    middle: Point


def core_shapes(bodies: Sequence[Body]) -> list[shapely.Geometry]:
    """The cores as shapely geometries; a line's bulge is left out."""
    return [_core_shape(body.core) for body in bodies]


def _core_shape(core: Core) -> shapely.Geometry:
    if isinstance(core, Region):
        return flat(core)
    return shapely.LineString([core.start, core.end]) if isinstance(core, Segment) else shapely.Point(core)


def near_pairs(bodies: Sequence[Body], distance: float) -> list[Nearness]:
    """All pairs of bodies closer to each other than `distance`, each pair once, lower number first."""
    if not bodies:
        return []
    shapes = np.array(core_shapes(bodies), dtype=object)
    reach = np.array([body.reach for body in bodies])
    found = shapely.STRtree(shapes).query(shapes, "dwithin", distance + reach + reach.max())
    first, second = found[:, found[0] < found[1]]
    lines = shapely.shortest_line(shapes[first], shapes[second])
    widths = shapely.length(lines) - reach[first] - reach[second]
    close = np.flatnonzero(widths < distance)
    return [
        Nearness(
            int(first[k]), int(second[k]), float(widths[k]), _middle(lines[k], reach[first[k]], widths[k])
        )
        for k in close
    ]


def _middle(line: shapely.Geometry, reach: float, width: float) -> Point:
    (x, y), (x2, y2) = line.coords
    length = ((x2 - x) ** 2 + (y2 - y) ** 2) ** 0.5
    share = (reach + width / 2) / length if length else 0.0
    return Point(x + (x2 - x) * share, y + (y2 - y) * share)


def depths_inside(bodies: Sequence[Body], region: Region) -> list[tuple[float, Point]]:
    """How much of the region lies between each body and its boundary, with the middle of that; negative: crosses it.

    A body wholly outside counts from its core: the width is then minus (distance + reach).
    """
    if not bodies:
        return []
    shapes, whole = np.array(core_shapes(bodies), dtype=object), flat(region)
    reach = np.array([body.reach for body in bodies])
    lines = shapely.shortest_line(shapes, whole.boundary)
    shapely.prepare(whole)
    away = np.where(shapely.covers(whole, shapes), shapely.length(lines), -shapely.length(lines))
    return [
        (float(free), _middle(line, r, free))
        for line, r, free in zip(lines, reach, away - reach, strict=True)
    ]


def covered(points: Sequence[Point], bodies: Sequence[Body]) -> list[bool]:
    """Whether each point lies in any of the bodies, their boundaries not counted."""
    inside = [False] * len(points)
    if points and bodies:
        tree = shapely.STRtree([shapely.Point(point) for point in points])
        reach = np.array([body.reach for body in bodies])
        shapes = np.array(core_shapes(bodies), dtype=object)
        for body, point in tree.query(shapes, "dwithin", reach).T:
            there = shapely.Point(points[point])
            away = shapely.distance(shapes[body], there)
            inside[point] |= bool(
                away < reach[body] if reach[body] else shapely.contains(shapes[body], there)
            )
    return inside


def body_bounds(body: Body) -> Bounds:
    """The box round the core and its reach."""
    core, reach = body.core, body.reach
    box = (*core, *core) if isinstance(core, Point) else core.bounds
    return box[0] - reach, box[1] - reach, box[2] + reach, box[3] + reach
