"""Where the holes of a pattern and the cells of a grille are. The author's own coordinates."""

from collections.abc import Iterator
from math import ceil, cos, hypot, radians, sin, sqrt

import shapely

from cncpanel.job import model
from cncpanel.wanted.curve import Pair
from cncpanel.wanted.shape import round_shape

PHASES = ((0.0, 0.0), (0.5, 0.0), (0.0, 0.5), (0.5, 0.5))  # of the pitches; the first with the most whole cells counts
TOUCHING = 0.005  # mm; a cell that reaches the boundary this closely is whole


def hole_centres(hole: model.Hole) -> list[Pair]:
    """A grid centred on the hole's place, a ring round it, a row from it, or the place alone."""
    x, y = hole.centre
    if hole.grid is not None:
        (px, py), columns, rows = hole.grid.pitch, hole.grid.columns, hole.grid.rows
        left, low = x - px * (columns - 1) / 2, y - py * (rows - 1) / 2
        return [(left + px * i, low + py * j) for j in range(rows) for i in range(columns)]
    if hole.ring is not None:
        angles = [radians(hole.ring.first_deg + 360 * i / hole.ring.count) for i in range(hole.ring.count)]
        radius = hole.ring.diameter / 2
        return [(x + radius * cos(a), y + radius * sin(a)) for a in angles]
    if hole.row is not None:
        angle, pitch = radians(hole.row.direction_deg), hole.row.pitch
        return [(x + cos(angle) * pitch * i, y + sin(angle) * pitch * i) for i in range(hole.row.count)]
    return [(x, y)]


def grille_cells(grille: model.Grille, boundary: shapely.Geometry) -> list[shapely.Geometry]:
    """The whole cells of the phase that has the most, about the middle of the boundary's box."""
    roomy = shapely.buffer(boundary, TOUCHING)
    shapely.prepare(roomy)
    best: list[shapely.Geometry] = []
    for phase in PHASES:
        cells = [_cell(grille, place) for place in _places(grille, boundary, phase)]
        whole = [cell for cell in cells if roomy.covers(cell)]
        if len(whole) > len(best):
            best = whole
    return best


def _places(grille: model.Grille, boundary: shapely.Geometry, phase: Pair) -> Iterator[Pair]:
    xmin, ymin, xmax, ymax = boundary.bounds
    x, y, reach = (xmin + xmax) / 2, (ymin + ymax) / 2, hypot(xmax - xmin, ymax - ymin) / 2
    along, across, stagger, turn = _lattice(grille)
    c, s = cos(turn), sin(turn)
    rows, columns = ceil(reach / across) + 1, ceil(reach / along) + 1
    for row in range(-rows, rows + 1):
        for column in range(-columns, columns + 1):
            u = along * (column + phase[0] + (stagger if row % 2 else 0.0))
            v = across * (row + phase[1])
            yield x + u * c - v * s, y + u * s + v * c


def _lattice(grille: model.Grille) -> tuple[float, float, float, float]:
    """Pitch along a row, between rows, shift of odd rows, turn in radians."""
    if grille.holes is not None:
        pitch = grille.holes.pitch
        if grille.holes.arrangement == "staggered":
            return pitch, pitch * sqrt(3) / 2, 0.5, 0.0
        return pitch, pitch, 0.0, 0.0
    assert grille.slots is not None
    return *grille.slots.pitch, 0.0, radians(grille.slots.turn_deg)


def _cell(grille: model.Grille, place: Pair) -> shapely.Geometry:
    if grille.holes is not None:
        return round_shape(place, grille.holes.diameter)
    assert grille.slots is not None
    slots = grille.slots
    half, turn = (slots.length - slots.width) / 2, radians(slots.turn_deg)
    if half <= 0:
        return round_shape(place, slots.width)
    ends = [(place[0] + side * half * cos(turn), place[1] + side * half * sin(turn)) for side in (-1, 1)]
    return shapely.buffer(shapely.LineString(ends), slots.width / 2, quad_segs=64)
