"""What rims of a panel are rounded, bevelled or slotted by the machine, along which stretches. Author's coordinates."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import atan2, hypot, radians, sqrt, tan

import shapely

from cncpanel.job import model
from cncpanel.wanted.corner import unrounded
from cncpanel.wanted.curve import Edge, Pair, edges_of_contour, turned_area
from cncpanel.wanted.feature import Drawn
from cncpanel.wanted.shape import imported, shape_of

STEP = 2.0  # mm between sections: a tool's mark is wider
LEAST = 16  # sections of a whole rim, however short
OFF_CORNER = 0.01  # mm; where the first section of a stretch lies that begins at a corner
ON_SIDE = 1e-4  # mm; how nearly a stretch lies on its side
SHORTEST = 1.0  # mm; a shorter stretch of a side is none
SHARP = radians(20)  # a corner that turns more is run off straight where it sticks out
RUN_OUT = 3.0  # widths; a taper's length where the job gives none
PAST = 3.0  # widths that the wall's line is followed past a corner: what is cut beyond it there is meant
FINE_QUARTER = 64  # chords a quarter turn
RECTANGLE = ("lower left", "lower right", "upper right", "upper left")
SIDES = {"left": (0, 0), "bottom": (1, 1), "right": (0, 2), "top": (1, 3)}


@dataclass(frozen=True, slots=True)
class DrawnRim:
    """One rim: its wall's path and its sections, whole and tapering, with the edge that the job asks for there."""

    name: str
    edge: model.RimEdge
    depth: float
    path: shapely.LineString
    sections: shapely.MultiLineString
    tapers: shapely.MultiLineString


@dataclass(frozen=True, slots=True)
class DrawnSlot:
    """One slot: its depths under the face that lies up, what it takes, the rim along it and its ends on that rim."""

    name: str
    top: float
    bottom: float
    depth: float
    shape: shapely.Geometry
    path: shapely.LineString
    ends: shapely.MultiPoint
    beyond: shapely.Geometry


@dataclass(frozen=True, slots=True)
class _Wall:
    """A closed wall, counter-clockwise; `outside` where material lies within it."""

    ring: shapely.LinearRing
    outside: bool

    def point(self, s: float) -> Pair:
        """The place `s` mm along, round and round."""
        at = self.ring.interpolate(s % self.ring.length)
        return at.x, at.y

    def direction(self, s: float) -> Pair:
        """The way it runs there."""
        (x0, y0), (x1, y1) = self.point(s - 1e-4), self.point(s + 1e-4)
        long = hypot(x1 - x0, y1 - y0)
        return (x1 - x0) / long, (y1 - y0) / long

    def turn(self, s: float) -> float:
        """How far it turns to the left there, radians."""
        (ax, ay), (bx, by) = self.direction(s - 1e-3), self.direction(s + 1e-3)
        return atan2(ax * by - ay * bx, ax * bx + ay * by)

    def runs_off(self, s: float) -> bool:
        """Whether a corner sticks out of the material there."""
        return self.turn(s) > SHARP if self.outside else self.turn(s) < -SHARP


def rims(drawn: Drawn) -> Iterator[DrawnRim]:
    """Every rim of the face that lies up which the machine is to work; of the other one before the turn."""
    for edge, name, walls in _asked(drawn):
        yield from _along(drawn, edge, name, walls)


def slots(drawn: Drawn, disc: float) -> Iterator[DrawnSlot]:
    """Every slot that the machine is to cut into a rim: the walls must be there, so none before the turn.

    `disc`: the radius of the largest disc that there is; so far past a corner it may reach.
    """
    for edge, name, walls in _asked(drawn):
        if edge.t_slot is not None and edge.bench is False and not drawn.turned:
            for wall in walls:
                for start, stop in _stretches(drawn, edge, wall):
                    yield _slot(drawn, name, edge.t_slot, wall, start, stop, disc)


def _asked(drawn: Drawn) -> Iterator[tuple[model.RimEdge, str, list[_Wall]]]:
    outline = drawn.outline()
    for number, edge in enumerate(drawn.panel.edge):
        walls = [_wall(outline, outside=True)] if edge.opening is None else list(_openings(drawn, edge.opening))
        yield edge, f"edge {number + 1}", walls
    for number, opening in enumerate(drawn.panel.opening):
        name = opening.name or f"opening {number + 1}"
        for n, rim_edge in enumerate(opening.edge):
            yield rim_edge, f"edge {n + 1} of {name}", list(_walls_of(drawn, number))


def _along(drawn: Drawn, edge: model.RimEdge, name: str, walls: Sequence[_Wall]) -> Iterator[DrawnRim]:
    own = edge.faces == drawn.panel.face
    if edge.bench or edge.t_slot is not None or (edge.faces != "both" and own == drawn.turned):
        return
    depth = _depth(drawn, edge)
    for wall in walls:
        for start, stop in _stretches(drawn, edge, wall):
            yield _rim(name, edge, depth, wall, start, stop)


def _depth(drawn: Drawn, edge: model.RimEdge) -> float:
    """Down the wall."""
    if edge.round is not None:
        return edge.round
    if edge.width is not None:
        return edge.width / tan(radians(edge.bevel_deg or 0.0))
    return edge.depth if edge.depth is not None else drawn.stocks[drawn.panel.stock].thickest


def _width(edge: model.RimEdge, depth: float) -> float:
    """Along the face."""
    return depth if edge.round is not None else depth * tan(radians(edge.bevel_deg or 0.0))


# -- walls -------------------------------------------------------------------------------------------------


def _wall(shape: shapely.Polygon, *, outside: bool) -> _Wall:
    ring = shape.exterior
    return _Wall(ring if ring.is_ccw else shapely.LinearRing(ring.coords[::-1]), outside)


def _openings(drawn: Drawn, name: str) -> Iterator[_Wall]:
    """The walls of all openings of that name."""
    if drawn.panel.dxf is not None:
        for number, hole in enumerate(imported(drawn.read, drawn.key)[0].interiors):
            if name == f"opening {number + 1} of the drawing":
                yield _wall(shapely.Polygon(hole), outside=False)
    for number, opening in enumerate(drawn.panel.opening):
        if name == (opening.name or f"opening {number + 1}"):
            yield from _walls_of(drawn, number)


def opening_shapes(drawn: Drawn) -> Iterator[shapely.Geometry]:
    """The insides of all openings, whose slugs are scrap."""
    if drawn.panel.dxf is not None:
        yield from map(shapely.Polygon, imported(drawn.read, drawn.key)[0].interiors)
    for number in range(len(drawn.panel.opening)):
        yield from (shapely.Polygon(wall.ring) for wall in _walls_of(drawn, number))


def _walls_of(drawn: Drawn, number: int) -> Iterator[_Wall]:
    opening = drawn.panel.opening[number]
    for part in shapely.get_parts(shape_of(opening, drawn.read, (*drawn.key, "opening", number))):
        yield _wall(part, outside=False)


# -- stretches ---------------------------------------------------------------------------------------------


def _stretches(drawn: Drawn, edge: model.RimEdge, wall: _Wall) -> Iterator[tuple[float, float | None]]:
    """(start, stop) mm along the wall; stop None is all round."""
    spans = _spans(drawn, edge, wall)
    if spans is None:
        yield 0.0, None
        return
    for first, last in spans:
        yield first + edge.start, last if edge.stop is None else first + edge.stop


def _spans(drawn: Drawn, edge: model.RimEdge, wall: _Wall) -> list[tuple[float, float]] | None:
    if edge.side is not None:
        return list(_on_side(wall, edge.side))
    if isinstance(edge, model.Edge) and edge.edges is not None:
        return _numbered(drawn, edge.edges, wall)
    if isinstance(edge, model.Edge) and edge.between is not None:
        places = _named(drawn)
        return [_from_to(wall, places[edge.between[0]], places[edge.between[1]])]
    return None


def _on_side(wall: _Wall, side: str) -> Iterator[tuple[float, float]]:
    """Unbroken straight stretches on a side of the wall's box."""
    axis, bound = SIDES[side]
    at, points = wall.ring.bounds[bound], list(wall.ring.coords)
    on_side = [abs(point[axis] - at) <= ON_SIDE for point in points]
    first = next(i for i, on in enumerate(on_side) if not on)
    points, on_side = [*points[first:-1], *points[: first + 1]], [*on_side[first:-1], *on_side[: first + 1]]
    begin: int | None = None
    for i, on in enumerate(on_side):
        if on and begin is None:
            begin = i
        if not on and begin is not None:
            if hypot(points[i - 1][0] - points[begin][0], points[i - 1][1] - points[begin][1]) >= SHORTEST:
                yield _from_to(wall, points[begin][:2], points[i - 1][:2])
            begin = None


def _numbered(drawn: Drawn, numbers: Sequence[int], wall: _Wall) -> list[tuple[float, float]] | None:
    edges = _drawn_edges(drawn)
    if len(numbers) == len(edges):
        return None
    first, last = edges[numbers[0]], edges[numbers[-1]]
    clockwise = turned_area(edges) < 0
    if len(numbers) > 1 and not _follows(first, edges[numbers[1]]):
        first, last = last, first
    ends = (last.end, first.start) if clockwise else (first.start, last.end)
    return [_from_to(wall, *ends)]


def _follows(one: Edge, other: Edge) -> bool:
    """Whether the second begins where the first ends."""
    return hypot(one.end[0] - other.start[0], one.end[1] - other.start[1]) < 1e-6


def _drawn_edges(drawn: Drawn) -> list[Edge]:
    """The outline's edges in the author's order, corners not rounded."""
    panel = drawn.panel
    if panel.size is not None:
        corners = _rectangle(panel.size)
        return [Edge(a, b) for a, b in zip(corners, (*corners[1:], corners[0]), strict=True)]
    if panel.outline is not None:
        return unrounded(panel.outline)
    edges = edges_of_contour(drawn.read.shapes[(*drawn.key, "dxf")][0].outer)
    return edges if turned_area(edges) > 0 else [edge.reversed() for edge in reversed(edges)]


def _rectangle(size: tuple[float, float]) -> tuple[Pair, ...]:
    width, height = size
    return (0.0, 0.0), (width, 0.0), (width, height), (0.0, height)


def _named(drawn: Drawn) -> dict[str, Pair]:
    if drawn.panel.size is not None:
        return dict(zip(RECTANGLE, _rectangle(drawn.panel.size), strict=True))
    given = [spot for spot in drawn.panel.outline or () if isinstance(spot, model.Corner)]
    return {spot.name: spot.to for spot in given if spot.name}


def _from_to(wall: _Wall, start: Pair, stop: Pair) -> tuple[float, float]:
    """The way along the wall from where it comes nearest to one place to where it comes nearest to the other."""
    first, last = (wall.ring.project(shapely.Point(place)) for place in (start, stop))
    return (first, last) if last > first + 1e-3 else (first, last + wall.ring.length)


# -- slots -------------------------------------------------------------------------------------------------


def _slot(
    drawn: Drawn, name: str, slot: model.TSlot, wall: _Wall, start: float, stop: float | None, disc: float
) -> DrawnSlot:
    top = _middle(drawn, slot) - slot.width / 2
    body = shapely.Polygon(wall.ring)
    path, ends, beyond = shapely.LineString(wall.ring.coords), list[Pair](), shapely.Polygon()
    if stop is None and wall.outside:
        shape = shapely.difference(body, shapely.buffer(body, -slot.depth, quad_segs=FINE_QUARTER))
    elif stop is None:
        shape = shapely.difference(shapely.buffer(body, slot.depth, quad_segs=FINE_QUARTER), body)
    else:
        past = sqrt(max(slot.depth * (2 * disc - slot.depth), 0.0))
        ends = [wall.point(s) for s in (start, stop) if not wall.runs_off(s)]
        path, longer = shapely.LineString(_chain(wall, start, stop)), _path(wall, start, stop, past)
        shape, beyond = (_band(one, slot.depth, body, outside=wall.outside) for one in (path, longer))
    return DrawnSlot(name, top, top + slot.width, slot.depth, shape, path, shapely.MultiPoint(ends), beyond)


def _middle(drawn: Drawn, slot: model.TSlot) -> float:
    """Under the face that lies up: given under the show face, else half way through the mean of the readings."""
    stock = drawn.stocks[drawn.panel.stock]
    thickness = (stock.thinnest + stock.thickest) / 2
    middle = thickness / 2 if slot.middle is None else slot.middle
    return middle if drawn.panel.face == "show" else thickness - middle


def _band(path: shapely.LineString, depth: float, body: shapely.Polygon, *, outside: bool) -> shapely.Geometry:
    """What lies so near to the path on the side of the part."""
    band = shapely.buffer(path, depth, quad_segs=FINE_QUARTER, cap_style="flat")
    return shapely.intersection(band, body) if outside else shapely.difference(band, body)


# -- path and sections -------------------------------------------------------------------------------------


def _rim(name: str, edge: model.RimEdge, depth: float, wall: _Wall, start: float, stop: float | None) -> DrawnRim:
    width = _width(edge, depth)
    if stop is None:
        count = max(int(wall.ring.length / STEP), LEAST)
        places = [wall.ring.length * (number + 0.5) / count for number in range(count)]
        path = shapely.LineString(wall.ring.coords)
        return DrawnRim(name, edge, depth, path, _sections(wall, places), _sections(wall, ()))
    run_out = RUN_OUT * width if edge.run_out is None else edge.run_out
    first = start + (OFF_CORNER if wall.runs_off(start) else run_out)
    last = stop - (OFF_CORNER if wall.runs_off(stop) else run_out)
    count = max(int((last - first) / STEP), 1)
    places = [first + (last - first) * number / count for number in range(count + 1)] if last >= first else []
    tapers = [*_between(start, first, wall.runs_off(start)), *_between(last, stop, wall.runs_off(stop))]
    path = _path(wall, start, stop, PAST * width)
    return DrawnRim(name, edge, depth, path, _sections(wall, places), _sections(wall, tapers))


def _between(first: float, last: float, runs_off: bool) -> list[float]:
    """Places within a taper; none where the edge runs off instead."""
    count = 0 if runs_off else int((last - first) / STEP)
    return [first + (last - first) * (number + 0.5) / count for number in range(count)]


def _path(wall: _Wall, start: float, stop: float, past: float) -> shapely.LineString:
    """The wall from start to stop, straight on past corners that are run off."""
    chain = _chain(wall, start, stop)
    if wall.runs_off(start):
        (x, y), (dx, dy) = chain[0], wall.direction(start + 1e-3)
        chain.insert(0, (x - dx * past, y - dy * past))
    if wall.runs_off(stop):
        (x, y), (dx, dy) = chain[-1], wall.direction(stop - 1e-3)
        chain.append((x + dx * past, y + dy * past))
    return shapely.LineString(chain)


def _chain(wall: _Wall, start: float, stop: float) -> list[Pair]:
    """The wall's points from start to stop."""
    lengths = [0.0]
    points = list(wall.ring.coords)
    for (x0, y0), (x1, y1) in pairwise(points):
        lengths.append(lengths[-1] + hypot(x1 - x0, y1 - y0))
    twice = [*zip(lengths[:-1], points[:-1], strict=True)]
    twice += [(s + wall.ring.length, point) for s, point in twice]
    return [wall.point(start), *(point for s, point in twice if start + 1e-6 < s < stop - 1e-6), wall.point(stop)]


def _sections(wall: _Wall, places: Sequence[float]) -> shapely.MultiLineString:
    """At each place 1 mm from the wall straight out of the part."""
    sign = 1.0 if wall.outside else -1.0
    lines = []
    for s in places:
        (x, y), (dx, dy) = wall.point(s), wall.direction(s)
        lines.append(((x, y), (x + sign * dy, y - sign * dx)))
    return shapely.MultiLineString(lines)
