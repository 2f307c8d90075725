"""A run being written: where the tool is, and the steps so far."""

from collections.abc import Iterable, Sequence
from math import ceil

from cncpanel.geometry.point import Point
from cncpanel.geometry.ring import SHORT
from cncpanel.geometry.segment import Segment
from cncpanel.passes.run import Step

HALF_TURN = 1.0 + 1e-9  # the bulge of half a turn


class Trail:
    """Collects steps from a start; one of the few things here that change."""

    def __init__(self, start: Point, approach: float) -> None:
        """Begin over `start` at the height `approach`."""
        self.start, self.approach = start, approach
        self.point, self.z = start, approach
        self.steps: list[Step] = []

    def to_height(self, z: float, feed: float) -> None:
        """Straight up or down."""
        if abs(z - self.z) > SHORT:
            self._add(Step(self.point.x, self.point.y, z, feed))

    def along(self, chain: Iterable[Segment], feed: float, z: float | None = None) -> None:
        """Along the segments; to `z`, evenly over their length, if it is given."""
        parts = [part for segment in chain for part in halves(segment)]
        total, done, begin = sum(part.length for part in parts), 0.0, self.z
        for number, part in enumerate(parts, 1):
            done += part.length
            height = begin
            if z is not None:
                height = z if number == len(parts) else begin + (z - begin) * done / total
            if part.length > SHORT:
                self._add(Step(part.end.x, part.end.y, height, feed, part.bulge + 0.0))
        if z is not None:
            self.z = z

    def straight(self, point: Point, feed: float, z: float | None = None) -> None:
        """In a straight line."""
        if self.point.distance(point) > SHORT:
            self.along([Segment(self.point, point)], feed, z)

    def _add(self, step: Step) -> None:
        self.steps.append(step)
        self.point, self.z = Point(step.x, step.y), step.z


def halves(segment: Segment) -> Sequence[Segment]:
    """The segment, cut so that no arc turns further than half round."""
    if abs(segment.bulge) <= HALF_TURN:
        return (segment,)
    count = ceil(abs(segment.sweep) / 3.1415)
    return [segment.part(i / count, (i + 1) / count) for i in range(count)]
