"""Which of many discs, slots and regions come near each other, or near a boundary; GEOS's tree looks."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
import shapely

from cncpanel.geometry.point import Point
from cncpanel.geometry.region import Region, flat
from cncpanel.geometry.segment import Bounds, Segment

Core = Region | Segment | Point
Floats = npt.NDArray[np.float64]
Objects = npt.NDArray[np.object_]


@dataclass(frozen=True, slots=True)
class Body:
    """All that lies within `reach` of its core: a disc about a point, a slot about a line, a region (0)."""

    core: Core
    reach: float = 0.0


@dataclass(frozen=True, slots=True)
class Nearness:
    """Two bodies by number and what lies between them: its width (negative: they overlap) and its middle."""

    first: int
    second: int
    width: float
    middle: Point


def near_pairs(bodies: Sequence[Body], distance: float) -> list[Nearness]:
    """All pairs of bodies closer to each other than `distance`, each pair once, lower number first."""
    if not bodies:
        return []
    shapes, reach = _shapes(bodies), _reaches(bodies)
    found = shapely.STRtree(shapes).query(shapes, "dwithin", distance + reach + reach.max())
    first, second = found[:, found[0] < found[1]]
    lines = shapely.shortest_line(shapes[first], shapes[second])
    widths = shapely.length(lines) - reach[first] - reach[second]
    middles = _middles(lines, reach[first], widths)
    return [
        Nearness(int(first[k]), int(second[k]), float(widths[k]), Point(*middles[k].tolist()))
        for k in np.flatnonzero(widths < distance)
    ]


def depths_inside(bodies: Sequence[Body], region: Region) -> list[tuple[float, Point]]:
    """How much of the region lies between each body and its boundary, and the middle of that.

    Negative where the body leaves the region; of a body with its core outside: minus (core's distance + reach).
    """
    if not bodies:
        return []
    shapes, reach, whole = _shapes(bodies), _reaches(bodies), flat(region)
    lines = shapely.shortest_line(shapes, whole.boundary)
    shapely.prepare(whole)
    depths = np.where(shapely.covers(whole, shapes), 1.0, -1.0) * shapely.length(lines) - reach
    middles = _middles(lines, reach, depths).tolist()
    return [(depth, Point(x, y)) for depth, (x, y) in zip(depths.tolist(), middles, strict=True)]


def covered(points: Sequence[Point], bodies: Sequence[Body]) -> list[bool]:
    """Whether each point lies in any of the bodies, their boundaries not counted."""
    inside = np.zeros(len(points), dtype=bool)
    if points and bodies:
        places, shapes, reach = shapely.points(np.array(points)), _shapes(bodies), _reaches(bodies)
        body, point = shapely.STRtree(places).query(shapes, "dwithin", reach)
        near = shapely.distance(shapes[body], places[point]) < reach[body]
        inside[point[near | shapely.contains_properly(shapes[body], places[point])]] = True
    return list(inside.tolist())


def body_bounds(body: Body) -> Bounds:
    """The box round the core and its reach."""
    core, reach = body.core, body.reach
    box = (*core, *core) if isinstance(core, Point) else core.bounds
    return box[0] - reach, box[1] - reach, box[2] + reach, box[3] + reach


def _reaches(bodies: Sequence[Body]) -> Floats:
    return np.array([body.reach for body in bodies])


def _shapes(bodies: Sequence[Body]) -> Objects:
    """The cores as shapely geometries, points and lines made all at once; a line's bulge is left out."""
    shapes = np.empty(len(bodies), dtype=object)
    points = [(n, body.core) for n, body in enumerate(bodies) if isinstance(body.core, Point)]
    lines = [(n, (b.core.start, b.core.end)) for n, b in enumerate(bodies) if isinstance(b.core, Segment)]
    if points:
        shapes[[n for n, _ in points]] = shapely.points(np.array([core for _, core in points]))
    if lines:
        shapes[[n for n, _ in lines]] = shapely.linestrings(np.array([ends for _, ends in lines]))
    for number, body in enumerate(bodies):
        if isinstance(body.core, Region):
            shapes[number] = flat(body.core)
    return shapes


def _middles(lines: Objects, reach: Floats, widths: Floats) -> Floats:
    """Half of each width beyond the reach along each line, rows x, y."""
    ends = shapely.get_coordinates(lines).reshape(-1, 2, 2)
    along = ends[:, 1] - ends[:, 0]
    length = np.hypot(*along.T)
    share = (reach + widths / 2) / np.where(length > 0, length, 1.0)
    return np.asarray(ends[:, 0] + along * share[:, None])
