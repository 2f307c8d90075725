"""Exact lines and arcs given back to the polygons that come out of a kernel that knows only chords.

Edges in a row that lie on the same primitive are one run; neighbouring runs meet where their exact primitives
cross. What no primitive explains stays a chain of chords.
"""

from collections.abc import Sequence
from math import atan, atan2, hypot, pi, tan
from typing import NamedTuple

import numpy as np

from cncpanel.geometry.carrier import Carriers, Floats
from cncpanel.geometry.contour import Contour, Vertex, circle
from cncpanel.geometry.crossing import Circle, Line, Place, Primitive, crossing, foot, off, sine
from cncpanel.geometry.flatten import measured
from cncpanel.geometry.label import ON_LINE, Labels, labels_of, turns_of
from cncpanel.geometry.tolerance import PATH, SAME_POINT

CRUMB = 0.01  # mm; unexplained edges that stay this close together are noise between two neighbours that meet
CLUSTER = 1.0  # mm; chords of an arc of 1 m radius, shrunk to a point, spread over so much, along their neighbours
SHRED = 0.05  # mm; a run this short that turns out reversed has vanished; a longer one keeps its chords
STRAIGHT = 1e-4  # mm; chords that leave a common line by less are one line
HALF_TURN = pi + 1e-9


class Run(NamedTuple):
    """A stretch on one primitive: the vertices `first` to `last`, turning by `sweep` about its centre."""

    primitive: Primitive | None
    first: int
    last: int
    sweep: float


def recover(rings: Sequence[Floats], carriers: Carriers) -> list[Contour]:
    """The contour of lines and arcs for each ring (rows x, y; not closed); turned the way the ring turns."""
    if not rings:
        return []
    points = np.concatenate(rings)
    following = np.concatenate([part for ring in rings for part in (ring[1:], ring[:1])])
    labels = labels_of(points, following, carriers)
    turns = np.concatenate(([0.0], np.cumsum(turns_of(points, following, labels, carriers))))
    primitives = _primitives(carriers)
    contours, begin = [], 0
    for ring in rings:
        end = begin + len(ring)
        runs = _runs(labels[begin:end], turns[begin : end + 1], primitives)
        contours.append(_contour(ring, runs))
        begin = end
    return contours


def _primitives(carriers: Carriers) -> list[Primitive]:
    lines: list[Primitive] = [Line(*row) for row in carriers.lines[:, :3].tolist()]
    return lines + [Circle(*row) for row in carriers.circles[:, :3].tolist()]


def _runs(labels: Labels, turns: Floats, primitives: list[Primitive]) -> list[Run]:
    """Stretches of one label; the last may end past the ring's end, in the vertex where the first begins."""
    count = len(labels)
    changes = np.flatnonzero(labels != np.concatenate((labels[-1:], labels[:-1]))).tolist() or [0]
    whole, values = float(turns[-1] - turns[0]), labels[changes].tolist()
    at = turns[changes].tolist()
    at.append(at[0] + whole)
    runs = []
    for i, (first, last) in enumerate(zip(changes, [*changes[1:], changes[0] + count], strict=True)):
        primitive = primitives[values[i]] if values[i] >= 0 else None
        runs.append(Run(primitive, first, last, at[i + 1] - at[i]))
    return runs


def _contour(ring: Floats, runs: list[Run]) -> Contour:
    points: list[Place] = [(x, y) for x, y in ring.tolist()]
    runs = _merged(_without_crumbs(runs, points), points)
    while True:
        if len(runs) == 1:
            return _same_area(_from_one(runs[0], points), ring, points)
        ends, starts = _joints(runs, points)
        amiss = [i for i, run in enumerate(runs) if not _agrees(run, starts[i], ends[i], points)]
        if not amiss:
            return _same_area(_begun(_written(runs, starts, ends, points)), ring, points)
        least = min(amiss, key=lambda i: _reach(runs[i], points))
        runs = _merged(_settled(runs, least, points), points)


def _stretch(run: Run, points: list[Place]) -> float:
    (x, y), (x2, y2) = points[run.first % len(points)], points[run.last % len(points)]
    return hypot(x2 - x, y2 - y)


def _without_crumbs(runs: list[Run], points: list[Place]) -> list[Run]:
    """The runs without unexplained ones that are noise, or what chords leave of an arc that shrank to its centre."""
    kept = [run for i, run in enumerate(runs) if run.primitive or not _is_crumb(runs, i, points)]
    return kept or runs


def _is_crumb(runs: list[Run], i: int, points: list[Place]) -> bool:
    run, beside = runs[i], [near.primitive for near in _neighbours(runs, i) if near.primitive]
    inside = [points[k % len(points)] for k in range(run.first, run.last + 1)]
    across = [hypot(x - inside[0][0], y - inside[0][1]) for x, y in inside]
    if len(beside) < 2 or max(across) > CLUSTER:
        return False
    return max(across) < CRUMB or all(min(off(near, *place) for near in beside) < PATH for place in inside)


def _merged(runs: list[Run], points: list[Place]) -> list[Run]:
    """Neighbours on the same primitive as one."""
    merged: list[Run] = []
    for run in runs:
        if merged and _same(merged[-1], run, points):
            merged[-1] = _joined(merged[-1], run)
        else:
            merged.append(run)
    if len(merged) > 1 and _same(merged[-1], merged[0], points):
        first, count = merged.pop(0), len(points)
        merged[-1] = _joined(merged[-1], first._replace(first=first.first + count, last=first.last + count))
    return merged


def _joined(a: Run, b: Run) -> Run:
    return Run(a.primitive, a.first, b.last, a.sweep + b.sweep)


def _same(a: Run, b: Run, points: list[Place]) -> bool:
    p, q = a.primitive, b.primitive
    if p is q:
        return True
    if isinstance(p, Circle) and isinstance(q, Circle):
        return max(abs(p.x - q.x), abs(p.y - q.y), abs(p.radius - q.radius)) < SAME_POINT
    if isinstance(p, Line) and isinstance(q, Line):
        return _both_on(p, b, points) and _both_on(q, a, points)
    return False


def _both_on(line: Line, run: Run, points: list[Place]) -> bool:
    return all(off(line, *points[i % len(points)]) <= ON_LINE for i in (run.first, run.last))


def _joints(runs: list[Run], points: list[Place]) -> tuple[list[Place], list[Place]]:
    """The exact end and start of every run; one place where it meets its neighbour."""
    joints = [_joint(run, runs[(i + 1) % len(runs)], points) for i, run in enumerate(runs)]
    return [end for end, _ in joints], [joints[i - 1][1] for i in range(len(runs))]


def _joint(a: Run, b: Run, points: list[Place]) -> tuple[Place, Place]:
    before, after = points[a.last % len(points)], points[b.first % len(points)]
    if a.primitive is None or b.primitive is None:
        end = foot(a.primitive, *before) if a.primitive else after if b.primitive is None else None
        start = foot(b.primitive, *after) if b.primitive else before if a.primitive is None else None
        return end or start or before, start or end or after
    x, y = (before[0] + after[0]) / 2, (before[1] + after[1]) / 2
    met = crossing(a.primitive, b.primitive, x, y)
    if met:
        slack = 2 * PATH + hypot(after[0] - before[0], after[1] - before[1])
        if hypot(met[0] - x, met[1] - y) * sine(a.primitive, b.primitive, *met) <= slack:
            return met, met
    return foot(a.primitive, *before), foot(b.primitive, *after)


def _settled(runs: list[Run], amiss: int, points: list[Place]) -> list[Run]:
    """The runs without one whose exact form belies its chords: it has vanished, or else its chords remain."""
    run, others = runs[amiss], runs[:amiss] + runs[amiss + 1 :]
    if _reach(run, points) < SHRED or any(_follows(near, run, points) for near in _neighbours(runs, amiss)):
        return others
    return [Run(None, run.first, run.last, 0.0) if i == amiss else other for i, other in enumerate(runs)]


def _neighbours(runs: list[Run], i: int) -> tuple[Run, Run]:
    return runs[i - 1], runs[(i + 1) % len(runs)]


def _reach(run: Run, points: list[Place]) -> float:
    """How far a run goes: its chord, or along the arc where it turns far."""
    along = abs(run.sweep) * run.primitive.radius if isinstance(run.primitive, Circle) else 0.0
    return max(_stretch(run, points), along)


def _follows(near: Run, run: Run, points: list[Place]) -> bool:
    """Whether a run lies as close to its neighbour's primitive as chords do."""
    if near.primitive is None or near is run:
        return False
    return all(off(near.primitive, *points[i % len(points)]) < PATH for i in range(run.first, run.last + 1))


def _agrees(run: Run, start: Place, end: Place, points: list[Place]) -> bool:
    primitive = run.primitive
    if primitive is None:
        return True
    if isinstance(primitive, Line):
        (x, y), (x2, y2) = points[run.first % len(points)], points[run.last % len(points)]
        along = (end[0] - start[0]) * (x2 - x) + (end[1] - start[1]) * (y2 - y)
        return along > SAME_POINT * hypot(x2 - x, y2 - y)
    sweep = _sweep(primitive, start, end, run.sweep)
    return sweep * run.sweep > 0 and abs(sweep) * primitive.radius > SAME_POINT and abs(sweep) < 2 * pi


def _sweep(about: Circle, start: Place, end: Place, near: float) -> float:
    """The angle from start to end about the circle's centre, of all its turns the one nearest to `near`."""
    ax, ay, bx, by = start[0] - about.x, start[1] - about.y, end[0] - about.x, end[1] - about.y
    angle = atan2(ax * by - ay * bx, ax * bx + ay * by)
    return angle + 2 * pi * round((near - angle) / (2 * pi))


def _from_one(run: Run, points: list[Place]) -> Contour:
    if isinstance(run.primitive, Circle):
        whole = circle((run.primitive.x, run.primitive.y), run.primitive.radius)
        return whole if run.sweep > 0 else whole.reversed()
    return _polygon(points)


def _polygon(points: list[Place]) -> Contour:
    corner = min(range(len(points)), key=points.__getitem__)
    chain = points[corner:] + points[: corner + 1]
    return Contour(tuple(Vertex(x, y) for x, y in _straightened(chain)[:-1]))


def _written(runs: list[Run], starts: list[Place], ends: list[Place], points: list[Place]) -> Contour:
    vertices: list[Vertex] = []
    for i, run in enumerate(runs):
        start, end = starts[i], ends[i]
        if isinstance(run.primitive, Circle):
            vertices.extend(_arcs(run.primitive, start, end, run.sweep))
        elif run.primitive is None:
            inner = [points[k % len(points)] for k in range(run.first + 1, run.last)]
            vertices.extend(Vertex(x, y) for x, y in _straightened([start, *inner, end])[:-1])
        else:
            vertices.append(Vertex(*start))
        following = starts[(i + 1) % len(runs)]
        if hypot(following[0] - end[0], following[1] - end[1]) > SAME_POINT:
            vertices.append(Vertex(*end))
    return Contour(tuple(vertices))


def _begun(contour: Contour) -> Contour:
    """The loop begun at its leftmost vertex (of several the lowest), whatever order a kernel gave."""
    places = [(round(vertex.x, 5), round(vertex.y, 5)) for vertex in contour.vertices]
    return contour.started_at(places.index(min(places)))


def _arcs(about: Circle, start: Place, end: Place, near: float) -> list[Vertex]:
    """One arc, or two where it turns by more than half a circle."""
    sweep = _sweep(about, start, end, near)
    if abs(sweep) <= HALF_TURN:
        return [Vertex(*start, tan(sweep / 4))]
    ax, ay = start[0] - about.x, start[1] - about.y
    c, s = np.cos(sweep / 2), np.sin(sweep / 2)
    middle = float(about.x + ax * c - ay * s), float(about.y + ax * s + ay * c)
    return [Vertex(*start, tan(sweep / 8)), Vertex(*middle, tan(sweep / 8))]


def _straightened(chain: list[Place]) -> list[Place]:
    """The chain without points that lie on the line between those kept."""
    kept, waiting = [chain[0]], list[Place]()
    for point in chain[1:]:
        if waiting and not _on_chord(kept[-1], point, waiting):
            kept.append(waiting[-1])
            waiting = []
        waiting.append(point)
    return [*kept, chain[-1]]


def _on_chord(start: Place, end: Place, between: list[Place]) -> bool:
    dx, dy = end[0] - start[0], end[1] - start[1]
    length = hypot(dx, dy)
    if length < SAME_POINT:
        return False
    along = [((x - start[0]) * dx + (y - start[1]) * dy) / length for x, y in between]
    aside = [abs((x - start[0]) * dy - (y - start[1]) * dx) / length for x, y in between]
    return max(aside) <= STRAIGHT and min(along) >= 0 and max(along) <= length


def _area(contour: Contour) -> float:
    """Contour.area in plain floats: it is worked out for every contour that is recovered."""
    area, (x, y, bulge) = 0.0, contour.vertices[-1]
    for x2, y2, following in contour.vertices:
        area += (x * y2 - x2 * y) / 2
        if bulge:
            square, sweep = bulge * bulge, 4 * atan(bulge)
            chord = (x2 - x) * (x2 - x) + (y2 - y) * (y2 - y)
            spread = (1 + square) * (1 + square)
            area += chord * (sweep * spread - 4 * bulge * (1 - square)) / (32 * square)
        x, y, bulge = x2, y2, following
    return area


def _same_area(contour: Contour, ring: Floats, points: list[Place]) -> Contour:
    """The contour; or the plain polygon, should the areas differ by more than tolerance allows."""
    area, length = measured(ring)
    return contour if abs(_area(contour) - area) <= PATH * length + PATH * PATH else _polygon(points)
