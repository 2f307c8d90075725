"""Contours as chains of chords for the polygon kernels; arcs on one circle share their chords."""

from collections.abc import Iterable
from math import acos, atan2, ceil, cos, hypot, pi, sin

import numpy as np

from cncpanel.geometry.carrier import Floats
from cncpanel.geometry.contour import Contour
from cncpanel.geometry.point import Point
from cncpanel.geometry.segment import Segment
from cncpanel.geometry.tolerance import FLATTEN

CELL = 1e-4  # mm; circles whose centres and radii differ by less are one circle
Cell = tuple[int, int]


def ring(contour: Contour, chord_error: float = FLATTEN) -> Floats:
    """The polygon's points (rows x, y), not repeated at the end; every arc in equal chords."""
    rows: list[Floats] = []
    for segment in contour.segments:
        rows.append(_chords(segment, chord_error) if segment.bulge else np.array([segment.start]))
    return np.concatenate(rows)


def measured(points: Floats) -> tuple[float, float]:
    """The area within a closed polygon (positive when counter-clockwise) and the length round it."""
    x, y = points[:, 0] - points[0, 0], points[:, 1] - points[0, 1]
    area = float(x[:-1] @ y[1:] - x[1:] @ y[:-1]) / 2
    return area, float(np.hypot(np.diff(x), np.diff(y)).sum()) + hypot(float(x[-1]), float(y[-1]))


def most_turn(radius: float, chord_error: float) -> float:
    """The largest angle whose chord stays within `chord_error` of the arc; at most a quarter turn."""
    return min(2 * acos(max(1 - chord_error / radius, -1.0)), pi / 2)


def _chords(segment: Segment, chord_error: float) -> Floats:
    centre, sweep, arm = segment.centre, segment.sweep, segment.start.minus(segment.centre)
    count = max(ceil(abs(sweep) / most_turn(arm.norm, chord_error) - 1e-9), 1)
    angles = np.arange(count) * (sweep / count)
    c, s = np.cos(angles), np.sin(angles)
    points = np.column_stack((centre.x + arm.x * c - arm.y * s, centre.y + arm.x * s + arm.y * c))
    points[0] = segment.start
    return points


class SharedChords:
    """Flattens contours so that arcs on one circle get the same chords wherever they overlap."""

    def __init__(self, contours: Iterable[Contour]) -> None:
        self._circles: dict[Cell, list[tuple[Point, float, list[float]]]] = {}
        for contour in contours:
            for segment in contour.segments:
                if segment.bulge:
                    self._note(segment)

    def _note(self, segment: Segment) -> None:
        centre, radius = segment.centre, segment.radius
        known = self._find(centre, radius)
        if known is None:
            known = (centre, radius, _even_angles(radius))
            self._circles.setdefault(_cell(centre), []).append(known)
        known[2].extend(atan2(end.y - centre.y, end.x - centre.x) for end in (segment.start, segment.end))

    def _find(self, centre: Point, radius: float) -> tuple[Point, float, list[float]] | None:
        column, row = _cell(centre)
        cells = [(column + i, row + j) for i in (0, -1, 1) for j in (0, -1, 1)]
        near = [known for cell in cells for known in self._circles.get(cell, ())]
        same = (known for known in near if abs(known[1] - radius) < CELL and known[0].distance(centre) < CELL)
        return next(same, None)

    def ring(self, contour: Contour) -> list[Point]:
        """The polygon's points, not repeated at the end, no chord further off than FLATTEN."""
        points: list[Point] = []
        for segment in contour.segments:
            points.append(segment.start)
            if segment.bulge:
                points.extend(self._between(segment))
        return points if len(points) > 2 else contour.flattened(FLATTEN)

    def _between(self, segment: Segment) -> list[Point]:
        known = self._find(segment.centre, segment.radius)
        assert known is not None, "every arc was noted before"
        (x, y), radius, angles = known
        begin, sweep = atan2(segment.start.y - y, segment.start.x - x), segment.sweep
        sign, edge = (1.0 if sweep > 0 else -1.0), 1e-7 / radius
        turned = sorted({sign * (angle - begin) % (2 * pi) for angle in angles})
        inside, last = [], 0.0
        for turn in turned:
            if turn - last > edge and abs(sweep) - turn > edge:
                inside.append(begin + sign * turn)
                last = turn
        return [Point(x + radius * cos(angle), y + radius * sin(angle)) for angle in inside]


def _even_angles(radius: float) -> list[float]:
    count = 4 * ceil(pi / 2 / most_turn(radius, FLATTEN) - 1e-9)
    return [2 * pi * i / count for i in range(count)]


def _cell(centre: Point) -> Cell:
    return round(centre.x / CELL), round(centre.y / CELL)
