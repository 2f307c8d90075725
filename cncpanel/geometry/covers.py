"""Which of many areas lie under which of many small shapes."""

from collections.abc import Iterator, Sequence

import numpy as np
import shapely

from cncpanel.geometry.area import Area
from cncpanel.geometry.point import Point


class Covers:
    """Areas, kept so that those under a shape are found at once."""

    def __init__(self, areas: Sequence[Area]) -> None:
        """In an order by which they are told."""
        self._tree = shapely.STRtree([area.shape for area in areas])

    def under(self, quads: Sequence[Sequence[Point]], touch: float) -> Iterator[tuple[int, int]]:
        """The number of each quadrangle and of each area that it reaches more than `touch` mm into."""
        if quads:
            shapes = shapely.buffer(shapely.polygons(np.array(quads)), -touch)
            pairs = self._tree.query(shapes, predicate="intersects")
            yield from zip(*pairs.tolist(), strict=True)
