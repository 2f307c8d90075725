"""Where a slot turns so sharply that the first loop round it would take more than a tool may: there it is opened."""

from collections.abc import Iterator, Sequence
from math import atan2

from cncpanel.geometry.point import Point
from cncpanel.geometry.segment import Segment

BEND = 0.14  # radians that a slot may turn at one place: a seventh of a radian of the loop round it is soon passed
TIGHT = 0.12  # tool diameters; arcs of smaller radius are bends
APART = 0.1  # tool diameters of way after which a turn is one of its own
BESIDE = 0.15  # tool diameters; a bend nearer than this to one that is opened is opened with it


def ends_and_bends(slot: Sequence[Segment], diameter: float) -> list[Point]:
    """Both ends of a slot and where it turns, none beside another."""
    found: list[Point] = []
    for place in _candidates(slot, diameter):
        if all(place.distance(other) > BESIDE * diameter for other in found):
            found.append(place)
    return found


def _candidates(slot: Sequence[Segment], diameter: float) -> Iterator[Point]:
    """Ends first, so that they are opened exactly."""
    if not slot:
        return
    yield slot[0].start
    yield slot[-1].end
    turned, before = 0.0, slot[0]
    for number, segment in enumerate(slot):
        turned += turn_of(before, segment) if number else 0.0
        if abs(turned) > BEND:
            yield before.end
            turned = 0.0
        if segment.is_arc and segment.radius < TIGHT * diameter:
            turned += segment.sweep
        elif segment.length > APART * diameter:
            turned = 0.0
        if abs(turned) > BEND:
            yield segment.end
            turned = 0.0
        before = segment


def turn_of(before: Segment, after: Segment) -> float:
    """By how much a way turns from segment to segment, radians, left positive."""
    a, b = before.end_direction, after.start_direction
    return atan2(a.cross(b), a.dot(b))
