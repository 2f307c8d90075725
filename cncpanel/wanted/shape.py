"""The closed shapes of the job file as polygons, turned and put in place. The author's own coordinates."""

from collections.abc import Sequence

import shapely
import shapely.affinity

from cncpanel.job import model
from cncpanel.job.read import ReadJob
from cncpanel.wanted.corner import loop
from cncpanel.wanted.curve import Edge, Pair, edges_of_contour, flat

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
    turn = 3.141592653589793
    return [Edge(right, left, centre, turn), Edge(left, right, centre, turn)]


def oblong(size: Pair, radius: Radii) -> list[Edge]:
    """A rectangle from (0, 0); radii at lower left, lower right, upper right, upper left."""
    width, height = size
    radii = radius if isinstance(radius, tuple) else (radius,) * 4
    places = ((0.0, 0.0), (width, 0.0), (width, height), (0.0, height))
    return loop(
        [model.Corner.model_construct(to=place, radius=r, through=None) for place, r in zip(places, radii, strict=True)]
    )


def shape_of(shape: model.Shape, read: ReadJob, key: Key) -> shapely.Geometry:
    """First turned about the middle of its box, then put by `at` (lower left of the turned box) or `centre`."""
    drawn = _drawn(shape, read, key)
    turned = shapely.affinity.rotate(drawn, shape.turn_deg, origin=_middle(drawn)) if shape.turn_deg else drawn
    if shape.at is not None:
        xmin, ymin, _, _ = turned.bounds
        return shapely.affinity.translate(turned, shape.at[0] - xmin, shape.at[1] - ymin)
    if shape.centre is not None:
        x, y = _middle(turned)
        return shapely.affinity.translate(turned, shape.centre[0] - x, shape.centre[1] - y)
    return turned


def _drawn(shape: model.Shape, read: ReadJob, key: Key) -> shapely.Geometry:
    if shape.diameter is not None:
        return round_shape((0.0, 0.0), shape.diameter)
    if shape.size is not None:
        return shapely.Polygon(flat(oblong(shape.size, shape.radius)))
    if shape.outline is not None:
        return shapely.Polygon(flat(loop(shape.outline)))
    return shapely.union_all(imported(read, key))


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
