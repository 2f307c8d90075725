"""The closed shapes of the job file as polygons, turned and put in place. The author's own coordinates."""

from collections.abc import Sequence
from math import pi

import shapely
import shapely.affinity

from cncpanel.job import model
from cncpanel.job.read import ReadJob
from cncpanel.wanted.corner import loop
from cncpanel.wanted.curve import Edge, Pair, edges_of_contour, flat
from cncpanel.wanted.relief import edge_bites

Key = tuple[str | int, ...]
Radii = float | tuple[float, float, float, float]


def round_shape(centre: Pair, diameter: float) -> shapely.Polygon:
    """A circle."""
    return shapely.Polygon(flat(_round_edges(centre, diameter)))


def disc_edges(diameter: float) -> list[Edge]:
    """A circle whose box has its lower left at (0, 0): the upper half, then the lower."""
    return _round_edges((diameter / 2, diameter / 2), diameter)


def _round_edges(centre: Pair, diameter: float) -> list[Edge]:
    radius, (x, y) = diameter / 2, centre
    right, left = (x + radius, y), (x - radius, y)
    return [Edge(right, left, centre, pi), Edge(left, right, centre, pi)]


def oblong(size: Pair, radius: Radii) -> list[Edge]:
    """A rectangle from (0, 0); radii at lower left, lower right, upper right, upper left."""
    width, height = size
    radii = radius if isinstance(radius, tuple) else (radius,) * 4
    places = ((0.0, 0.0), (width, 0.0), (width, height), (0.0, height))
    return loop(
        [model.Corner.model_construct(to=place, radius=r, through=None) for place, r in zip(places, radii, strict=True)]
    )


def shape_of(
    shape: model.Shape, read: ReadJob, key: Key, relief: model.Relief = "none", radius: float = 0.0
) -> shapely.Geometry:
    """First turned about the middle of its box, then put by `at` (lower left of the turned box) or `centre`.

    The bites of relieved corners go with the shape: its box is that of the shape without them.
    """
    loops = _loops(shape, read, key)
    drawn = shapely.union_all([shapely.Polygon(flat(outer), [flat(hole) for hole in holes]) for outer, holes in loops])
    turned = shapely.affinity.rotate(drawn, shape.turn_deg, origin=_middle(drawn)) if shape.turn_deg else drawn
    bites = [bite for outer, _ in loops for bite in edge_bites(outer, relief, radius)]
    bitten = shapely.union_all([drawn, *bites])
    if shape.turn_deg:
        bitten = shapely.affinity.rotate(bitten, shape.turn_deg, origin=_middle(drawn))
    dx = dy = 0.0
    if shape.at is not None:
        xmin, ymin, _, _ = turned.bounds
        dx, dy = shape.at[0] - xmin, shape.at[1] - ymin
    elif shape.centre is not None:
        x, y = _middle(turned)
        dx, dy = shape.centre[0] - x, shape.centre[1] - y
    return shapely.affinity.translate(bitten, dx, dy) if dx or dy else bitten


def _loops(shape: model.Shape, read: ReadJob, key: Key) -> list[tuple[list[Edge], list[list[Edge]]]]:
    """Outer loops with the holes in them."""
    if shape.diameter is not None:
        return [(_round_edges((0.0, 0.0), shape.diameter), [])]
    if shape.size is not None:
        return [(oblong(shape.size, shape.radius), [])]
    if shape.outline is not None:
        return [(loop(shape.outline), [])]
    return [
        (edges_of_contour(found.outer), [edges_of_contour(hole) for hole in found.holes])
        for found in read.shapes.get((*key, "dxf"), ())
    ]


def imported(read: ReadJob, key: Key) -> list[shapely.Polygon]:
    """The pieces that a DXF reference gave, holes left open."""
    return [
        shapely.Polygon(flat(edges_of_contour(found.outer)), [flat(edges_of_contour(hole)) for hole in found.holes])
        for found in read.shapes.get((*key, "dxf"), ())
    ]


def _middle(shape: shapely.Geometry) -> Pair:
    xmin, ymin, xmax, ymax = shape.bounds
    return (xmin + xmax) / 2, (ymin + ymax) / 2


def united(shapes: Sequence[shapely.Geometry]) -> shapely.Geometry:
    """All in one."""
    return shapely.union_all(list(shapes))
