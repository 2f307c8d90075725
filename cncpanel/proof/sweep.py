"""The area that a round tool covers on a move, seen from above, as polygons.

Lines and arcs are swept as such: a line as a capsule, an arc as a sector of a ring with a disc at each end. GEOS's
own buffer of a flattened arc is not used: it smooths shallow hollows by up to a hundredth of the radius, on the
finished wall's side.
"""

from collections.abc import Iterator, Sequence
from functools import lru_cache
from itertools import pairwise
from math import acos, ceil, cos, hypot, pi, sin

import numpy as np
import numpy.typing as npt
import shapely

from cncpanel.proof.motion import Move

CHORD = 0.002  # mm; how far a chord may lie inside its arc: a fifth of what is judged


@lru_cache(maxsize=256)
def quarter_segments(radius: float) -> int:
    """Chords for a quarter turn so that none lies further than CHORD inside."""
    if radius <= CHORD:
        return 2
    return max(ceil(pi / 4 / acos(1 - CHORD / radius)), 2)


def discs(points: Sequence[tuple[float, float]], radius: float) -> list[shapely.Geometry]:
    """A disc round each point."""
    return list(shapely.buffer(shapely.points(np.asarray(points)), radius, quad_segs=quarter_segments(radius)))


def capsules(lines: Sequence[tuple[tuple[float, float], tuple[float, float]]], radius: float) -> list[shapely.Geometry]:
    """What a disc covers on its way along each line."""
    shapes = shapely.linestrings(np.asarray(lines))
    return list(shapely.buffer(shapes, radius, quad_segs=quarter_segments(radius)))


def ring_sector(
    centre: tuple[float, float], begin: float, sweep: float, path_radius: float, tool_radius: float
) -> shapely.Geometry:
    """What the disc covers on an arc, without its ends: angles in radians, `sweep` signed."""
    outer, inner = path_radius + tool_radius, path_radius - tool_radius
    rim = _round(centre, begin, sweep, outer)
    if abs(sweep) >= 2 * pi - 1e-12:
        hollow = [shapely.linearrings(_round(centre, begin, sweep, inner))] if inner > 0 else None
        return shapely.polygons(shapely.linearrings(rim), hollow)
    back = _round(centre, begin + sweep, -sweep, inner) if inner > 0 else np.array([centre])
    return shapely.polygons(shapely.linearrings(np.concatenate((rim, back))))


def _round(centre: tuple[float, float], begin: float, sweep: float, radius: float) -> npt.NDArray[np.float64]:
    """Points on an arc, both ends among them."""
    count = max(ceil(abs(sweep) / (pi / 2) * quarter_segments(radius)), 2)
    angles = begin + sweep / count * np.arange(count + 1)
    return np.column_stack((centre[0] + radius * np.cos(angles), centre[1] + radius * np.sin(angles)))


def straightened(move: Move, chord: float = CHORD) -> Iterator[Move]:
    """The move itself, or lines along it where it is an arc of a standing plane."""
    if move.centre is None or move.plane == "xy":
        yield move
        return
    step = 2 * acos(max(1 - chord / max(move.radius, chord), -1.0))
    count = max(ceil(move.sweep / step), 1)
    points = [move.at(i / count) for i in range(count + 1)]
    for begin, end in pairwise(points):
        yield move._replace(kind="feed", start=begin, end=end, centre=None, turn=0, sweep=0.0)


def extent(move: Move) -> tuple[float, float, float, float]:
    """The box of the tool's centre on a line or an arc in the XY plane, seen from above."""
    xs, ys = [move.start[0], move.end[0]], [move.start[1], move.end[1]]
    if move.centre is not None:
        radius = hypot(move.start[0] - move.centre[0], move.start[1] - move.centre[1])
        begin = np.arctan2(move.start[1] - move.centre[1], move.start[0] - move.centre[0])
        for quarter in range(4):
            turned = (move.turn * (quarter * pi / 2 - begin)) % (2 * pi)
            if turned <= move.sweep:
                xs.append(move.centre[0] + radius * cos(quarter * pi / 2))
                ys.append(move.centre[1] + radius * sin(quarter * pi / 2))
    return min(xs), min(ys), max(xs), max(ys)


def extents(moves: Sequence[Move]) -> npt.NDArray[np.float64]:
    """The boxes of many moves, a row each: those of lines all at once."""
    ends = np.array([(*move.start[:2], *move.end[:2]) for move in moves], dtype=np.float64).reshape(-1, 4)
    result = np.hstack((np.minimum(ends[:, :2], ends[:, 2:]), np.maximum(ends[:, :2], ends[:, 2:])))
    for row, move in enumerate(moves):
        if move.centre is not None:
            result[row] = extent(move)
    return result
