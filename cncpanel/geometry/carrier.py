"""The unbounded primitives that contours lie on: lines and circles in numpy tables, moved by an offset.

Material lies to the left of every contour (outer counter-clockwise, holes clockwise), so growing moves a line
to its right, widens arcs that turn left and narrows those that turn right; corners get arcs about themselves.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from math import atan2, cos, pi

import numpy as np
import numpy.typing as npt

from cncpanel.geometry.contour import Contour
from cncpanel.geometry.point import Point
from cncpanel.geometry.segment import Segment
from cncpanel.geometry.tolerance import FLATTEN, SAME_POINT

Floats = npt.NDArray[np.float64]

LEAST_RADIUS = FLATTEN  # mm; chords cannot tell a narrower arc from a corner
LEAST_TURN = 1e-7  # rad; a flatter corner is smooth: its arc is shorter than SAME_POINT below 10 mm


@dataclass(frozen=True, slots=True)
class Carriers:
    """Lines (rows nx, ny, c, first, last) and circles (rows x, y, radius, growth, mx, my, cosine).

    A line holds the points with n.p = c, n to the right of its direction, used from `first` to `last`.
    A circle's radius changes by `growth` times the distance; it is used on both sides of direction m as far
    as `cosine` says.
    """

    lines: Floats
    circles: Floats

    def moved(self, distance: float) -> "Carriers":
        """Where the primitives lie once their contours have grown by `distance`, without arcs that vanish."""
        if not distance:
            return Carriers(self.lines, self.circles[self.circles[:, 2] > LEAST_RADIUS])
        lines, circles = self.lines.copy(), self.circles.copy()
        lines[:, 2] += distance
        circles[:, 2] += circles[:, 3] * distance
        return Carriers(lines, circles[circles[:, 2] > LEAST_RADIUS])


def carriers_of(contours: Iterable[Contour]) -> Carriers:
    """The primitives of all contours, with a circle of radius 0 at every corner."""
    lines: list[tuple[float, ...]] = []
    circles: list[tuple[float, ...]] = []
    for contour in contours:
        chain = [segment for segment in contour.segments if segment.chord > SAME_POINT]
        for segment in chain:
            if abs(segment.bulge) * segment.chord > SAME_POINT:
                circles.append(_circle(segment))
            else:
                lines.append(_line(segment))
        for before, after in zip(chain[-1:] + chain[:-1], chain, strict=True):
            circles.extend(_corner(before, after))
    return Carriers(np.array(lines).reshape(-1, 5), np.array(circles).reshape(-1, 7))


def _line(segment: Segment) -> tuple[float, ...]:
    (x, y), (x2, y2), length = segment.start, segment.end, segment.chord
    ux, uy = (x2 - x) / length, (y2 - y) / length
    return uy, -ux, uy * x - ux * y, ux * x + uy * y, ux * x2 + uy * y2


def _circle(segment: Segment) -> tuple[float, ...]:
    centre = segment.centre
    across, growth = segment.end.minus(segment.start).unit.left, (1.0 if segment.bulge > 0 else -1.0)
    half = abs(segment.sweep) / 2
    return (*centre, segment.radius, growth, -across.x * growth, -across.y * growth, cos(half))


def _corner(before: Segment, after: Segment) -> list[tuple[float, ...]]:
    """The arc about a corner: none where the contour runs on smoothly, two where it turns right back."""
    first, last = before.end_direction, after.start_direction
    turn = atan2(first.cross(last), first.dot(last))
    if abs(turn) < LEAST_TURN:
        return []
    if abs(turn) > pi - LEAST_TURN:
        return [_about(after.start, 1.0, first, 0.0), _about(after.start, -1.0, first, 0.0)]
    growth = 1.0 if turn > 0 else -1.0
    middle = first.plus(last).unit.left.times(-growth)
    return [_about(after.start, growth, middle, cos(turn / 2))]


def _about(corner: Point, growth: float, middle: Point, cosine: float) -> tuple[float, ...]:
    return (corner.x, corner.y, 0.0, growth, middle.x, middle.y, cosine)
