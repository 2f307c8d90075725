"""Lines and arcs fitted greedily to the points of a free-form curve, each as long as tolerance allows."""

from collections.abc import Sequence
from math import atan2, pi, tan

import numpy as np

from cncpanel.geometry.carrier import Floats
from cncpanel.geometry.point import Point
from cncpanel.geometry.segment import Segment
from cncpanel.geometry.tolerance import SAME_POINT

HALF_CIRCLE = 1.0 + 1e-9  # bulge


def fit(points: Sequence[Point], tolerance: float, closed: bool) -> list[Segment]:
    """Connected segments with every point within `tolerance` mm, and the chords between them too.

    A closed curve starts at its sharpest corner. Arcs turn by at most half a circle, and leave smoothly where
    that is within tolerance. Fewer than two different points give [].
    """
    chain = _without_repeats(points, closed)
    if len(chain) < 2:
        return []
    if closed:
        chain = _from_sharpest(chain)
    table = np.array(chain)
    segments: list[Segment] = []
    first, heading = 0, None
    while first < len(chain) - 1:
        last, bulge = _longest(table, first, tolerance, heading)
        segments.append(Segment(chain[first], chain[last], bulge))
        first, heading = last, segments[-1].end_direction
    return segments


def _without_repeats(points: Sequence[Point], closed: bool) -> list[Point]:
    chain: list[Point] = []
    for point in points:
        if not chain or chain[-1].distance(point) > SAME_POINT:
            chain.append(Point(*point))
    while closed and len(chain) > 1 and chain[0].distance(chain[-1]) <= SAME_POINT:
        chain.pop()
    return chain


def _from_sharpest(chain: list[Point]) -> list[Point]:
    """The loop opened at its sharpest corner, which then stands at both ends."""

    def turn(i: int) -> float:
        before, after = chain[i].minus(chain[i - 1]), chain[(i + 1) % len(chain)].minus(chain[i])
        return abs(atan2(before.cross(after), before.dot(after)))

    turns = [round(turn(i), 6) for i in range(len(chain))]
    corner = turns.index(max(turns))
    return chain[corner:] + chain[: corner + 1]


def _longest(table: Floats, first: int, tolerance: float, heading: Point | None) -> tuple[int, float]:
    """The last point that one segment from `first` reaches, and its bulge: strides doubled, then halved."""
    good, bulge, stride, end = first + 1, 0.0, 2, len(table) - 1
    bad = end + 1
    while good < end:
        tried = min(first + stride, end)
        found = _bulge(table[first : tried + 1], tolerance, heading)
        if found is None:
            bad = tried
            break
        good, bulge, stride = tried, found, stride * 2
    while bad - good > 1:
        tried = (good + bad) // 2
        found = _bulge(table[first : tried + 1], tolerance, heading)
        if found is None:
            bad = tried
        else:
            good, bulge = tried, found
    return good, bulge


def _bulge(stretch: Floats, tolerance: float, heading: Point | None) -> float | None:
    """The bulge of a segment between the stretch's ends that holds all its points, or None."""
    start, end = stretch[0], stretch[-1]
    chord = end - start
    length = float(np.hypot(*chord))
    if length <= SAME_POINT:
        return None
    if _holds_line(stretch, chord, length, tolerance):
        return 0.0
    candidates = _candidates(stretch, chord)
    if heading is not None:
        turn = atan2(heading.cross(Point(*chord)), heading.dot(Point(*chord)))
        smooth = tan(turn / 2) if abs(turn) < pi / 2 else 0.0
        if smooth and _arc_error(stretch, smooth) <= tolerance:
            return smooth
    error, best = min((_arc_error(stretch, bulge), bulge) for bulge in candidates)
    return max(min(best, 1.0), -1.0) if error <= tolerance else None


def _holds_line(stretch: Floats, chord: Floats, length: float, tolerance: float) -> bool:
    arms = stretch - stretch[0]
    aside = np.abs(arms[:, 0] * chord[1] - arms[:, 1] * chord[0]) / length
    along = arms @ chord
    return bool(aside.max() <= tolerance and (np.diff(along) > 0).all())


def _candidates(stretch: Floats, chord: Floats) -> list[float]:
    """Bulges through the middle point, and by the mean and the middle of the range of those about it."""
    inner = stretch[1:-1]
    before, after = inner - stretch[0], stretch[-1] - inner
    cross = before[:, 0] * after[:, 1] - before[:, 1] * after[:, 0]
    turns = np.arctan2(cross, (before * after).sum(axis=1))
    share = (before @ chord) / float(chord @ chord)
    middle = turns[np.abs(share - 0.5) <= 0.3]
    if not len(middle):
        middle = turns
    nearest = turns[int(np.abs(share - 0.5).argmin())]
    wanted = (nearest, middle.mean(), (middle.min() + middle.max()) / 2)
    return [tan(float(turn) / 2) for turn in wanted if abs(turn) < pi - SAME_POINT]


def _arc_error(stretch: Floats, bulge: float) -> float:
    """How far points and the chords between them lie from the arc, mm; infinite where it is no proper arc."""
    if not 0 < abs(bulge) <= HALF_CIRCLE:
        return np.inf
    arc = Segment(Point(*stretch[0].tolist()), Point(*stretch[-1].tolist()), bulge)
    radius, arms = arc.radius, stretch - np.array(arc.centre)
    sign = 1.0 if bulge > 0 else -1.0
    cross = arms[:-1, 0] * arms[1:, 1] - arms[:-1, 1] * arms[1:, 0]
    steps = sign * np.arctan2(cross, (arms[:-1] * arms[1:]).sum(axis=1))
    if steps.min() <= 0 or abs(steps.sum() - abs(arc.sweep)) > SAME_POINT:
        return np.inf
    sagitta = radius * (1 - float(np.cos(steps.max() / 2)))
    return max(float(np.abs(np.hypot(*arms.T) - radius).max()), sagitta)
