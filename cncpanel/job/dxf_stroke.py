"""Strokes, and how each kind of DXF entity becomes strokes: lines and arcs in the plane, millimetres.

The entities come from the reader (dxf.py); here only their plain attributes are looked at.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from itertools import pairwise
from math import isfinite, pi, radians
from typing import Any

from cncpanel.geometry.contour import joined_bounds
from cncpanel.geometry.point import Point
from cncpanel.geometry.segment import Bounds, Segment
from cncpanel.geometry.tolerance import SAME_POINT
from cncpanel.job.dxf_map import MIRROR, Map, mapped_segments, turned_segments
from cncpanel.job.dxf_spline import spline_segments
from cncpanel.job.dxf_unusable import UnusableError, usable

UPRIGHT = 1e-6  # of a unit vector; an extrusion this near to the Z axis is upright
STEEPEST = 1e5  # bulge; past it an arc is a full turn but for a ten-thousandth of its radius
SPLINE_FRAME = 16  # vertex flag (group 70): a control point of a curve that other vertices draw


@dataclass(frozen=True, slots=True)
class Stroke:
    """Connected segments from one entity; `source` names it for messages."""

    segments: tuple[Segment, ...]
    closed: bool
    source: str

    @property
    def start(self) -> Point:
        """Where it begins."""
        return self.segments[0].start

    @property
    def end(self) -> Point:
        """Where it ends."""
        return self.segments[-1].end

    @property
    def length(self) -> float:
        """Along it, mm."""
        return sum(segment.length for segment in self.segments)

    @property
    def bounds(self) -> Bounds:
        """(xmin, ymin, xmax, ymax)."""
        return joined_bounds(segment.bounds for segment in self.segments)

    def reversed(self) -> "Stroke":
        """The same stroke run the other way."""
        return Stroke(tuple(s.reversed() for s in reversed(self.segments)), self.closed, self.source)


def strokes_of(entity: Any, place: Map) -> list[Stroke]:
    """The entity's strokes where `place` puts them; none without length. Raises UnusableError, KeyError."""
    kind = entity.dxftype()
    source = f"{kind} {entity.dxf.handle or ''}".rstrip()
    segments, closed = READERS[kind](entity, place)
    whole = [half for s in segments if s.chord > SAME_POINT for half in _at_most_half_turns(s)]
    if not whole:
        return []
    if closed or kind in ("SPLINE", "ELLIPSE"):
        return [Stroke(tuple(whole), closed, source)]
    return [Stroke((segment,), False, source) for segment in whole]


def _at_most_half_turns(segment: Segment) -> list[Segment]:
    return [segment.part(0, 0.5), segment.part(0.5, 1)] if abs(segment.bulge) > 1 + 1e-9 else [segment]


Read = tuple[list[Segment], bool]


def _line(entity: Any, place: Map) -> Read:
    start, end = usable(entity.dxf.start), usable(entity.dxf.end)
    flat = start.x != end.x or start.y != end.y
    if flat:
        _same_height((start.z, end.z))
    return [Segment(place.point(start.x, start.y), place.point(end.x, end.y))], False


def _arc(entity: Any, place: Map) -> Read:
    start, end = radians(entity.dxf.start_angle), radians(entity.dxf.end_angle)
    usable((start, end, 0.0))
    sweep = (end - start) % (2 * pi)
    return _round(entity, place, start, sweep if sweep > 1e-12 else 2 * pi)


def _circle(entity: Any, place: Map) -> Read:
    return _round(entity, place, 0.0, 2 * pi)


def _round(entity: Any, place: Map, start: float, sweep: float) -> Read:
    centre, radius = usable(entity.dxf.center), abs(entity.dxf.radius)
    usable((radius, 0.0, 0.0))
    own = place.after(_plane(entity))
    u, v = own.vector(radius, 0.0), own.vector(0.0, radius)
    if max(u.norm, v.norm) < SAME_POINT:
        return [], False
    segments = turned_segments(own.point(centre.x, centre.y), u, v, start, sweep)
    return segments, abs(sweep - 2 * pi) < 1e-9


def _ellipse(entity: Any, place: Map) -> Read:
    _plane(entity)
    centre, u = usable(entity.dxf.center), usable(entity.dxf.major_axis)
    if max(map(abs, (u.x, u.y, u.z))) < SAME_POINT:
        return [], False
    v = usable(entity.minor_axis)
    _same_height((0.0, u.z, v.z))
    start, end = entity.dxf.start_param, entity.dxf.end_param
    usable((start, end, 0.0))
    sweep = (end - start) % (2 * pi)
    whole = sweep < 1e-6 or abs(sweep - 2 * pi) < 1e-6  # files keep six decimals of a full turn
    axes = place.vector(u.x, u.y), place.vector(v.x, v.y)
    if max(axes[0].norm, axes[1].norm) < SAME_POINT:
        return [], False
    return turned_segments(place.point(centre.x, centre.y), *axes, start, 2 * pi if whole else sweep), whole


def _spline(entity: Any, place: Map) -> Read:
    return spline_segments(entity, place)


def _light_polyline(entity: Any, place: Map) -> Read:
    vertices = [(x, y, bulge) for x, y, bulge in entity.get_points("xyb")]
    return _chain(vertices, entity.closed, place.after(_plane(entity))), entity.closed


def _polyline(entity: Any, place: Map) -> Read:
    """The older kind, flat or in space; meshes are refused by the reader before they come here."""
    drawn = [v for v in entity.vertices if not v.dxf.flags & SPLINE_FRAME]
    _same_height(tuple(usable(v.dxf.location).z for v in drawn))
    flat = entity.is_2d_polyline
    vertices = [(v.dxf.location.x, v.dxf.location.y, v.dxf.bulge if flat else 0.0) for v in drawn]
    own = place.after(_plane(entity)) if flat else place
    return _chain(vertices, entity.is_closed, own), entity.is_closed


def _chain(vertices: list[tuple[float, float, float]], closed: bool, place: Map) -> list[Segment]:
    plain = [usable(vertex) for vertex in vertices]  # x, y, bulge as Python's own floats
    loop = [*plain, plain[0]] if closed and plain else plain
    return [piece for a, b in pairwise(loop) for piece in _between(a, b, place)]


def _between(a: tuple[float, float, float], b: tuple[float, float, float], place: Map) -> Iterator[Segment]:
    start, end, bulge = Point(a[0], a[1]), Point(b[0], b[1]), a[2]
    if start == end:
        return
    if abs(bulge) > STEEPEST:
        raise UnusableError(f"has an arc with a bulge of {bulge:.3g}")
    straight = abs(bulge) < 1e-9
    drawn = Segment(start, end, 0.0 if straight else bulge)
    yield from (piece for half in _at_most_half_turns(drawn) for piece in mapped_segments(half, place))


def _plane(entity: Any) -> Map:
    """How the entity's own plane lies in the drawing: upright, or seen from behind (extrusion -Z)."""
    x, y, z = entity.dxf.extrusion
    if not all(map(isfinite, (x, y, z))) or max(abs(x), abs(y)) > UPRIGHT * max(abs(z), 1e-30):
        raise UnusableError("lies on a tilted plane")
    return MIRROR if z < 0 else Map()


def _same_height(heights: tuple[float, ...]) -> None:
    if heights and max(heights) - min(heights) > 1e-3 * max(1.0, max(map(abs, heights)) * 1e-6):
        raise UnusableError(f"is not flat: its heights run from {min(heights):.4g} to {max(heights):.4g}")


READERS: dict[str, Callable[[Any, Map], Read]] = {
    "LINE": _line,
    "ARC": _arc,
    "CIRCLE": _circle,
    "ELLIPSE": _ellipse,
    "SPLINE": _spline,
    "LWPOLYLINE": _light_polyline,
    "POLYLINE": _polyline,
}
