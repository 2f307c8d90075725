"""Where two primitives, lines or circles without ends, meet: plain floats, the point nearest to a guess."""

from math import hypot, sqrt
from typing import NamedTuple

from cncpanel.geometry.tolerance import FLATTEN, SAME_POINT

PARALLEL = 1e-9  # sine; lines closer in direction cross too far away for the place to mean anything
MISS = 2 * FLATTEN  # mm; curves whose chords met may miss each other by this much themselves


class Line(NamedTuple):
    """The points with nx x + ny y = offset, (nx, ny) of length 1."""

    nx: float
    ny: float
    offset: float


class Circle(NamedTuple):
    """All points `radius` from (x, y)."""

    x: float
    y: float
    radius: float


Primitive = Line | Circle
Place = tuple[float, float]


def foot(primitive: Primitive, x: float, y: float) -> Place:
    """The point of the primitive nearest to (x, y)."""
    if isinstance(primitive, Line):
        nx, ny, offset = primitive
        over = nx * x + ny * y - offset
        return x - nx * over, y - ny * over
    cx, cy, radius = primitive
    distance = hypot(x - cx, y - cy)
    if not distance:
        return cx + radius, cy
    return cx + (x - cx) * radius / distance, cy + (y - cy) * radius / distance


def off(primitive: Primitive, x: float, y: float) -> float:
    """How far (x, y) lies from the primitive, mm."""
    if isinstance(primitive, Line):
        return abs(primitive.nx * x + primitive.ny * y - primitive.offset)
    return abs(hypot(x - primitive.x, y - primitive.y) - primitive.radius)


def crossing(a: Primitive, b: Primitive, x: float, y: float) -> Place | None:
    """Where `a` and `b` meet, of two places the one nearer to (x, y); None where they stay apart."""
    if isinstance(a, Line):
        return _lines(a, b) if isinstance(b, Line) else _line_circle(a, b, x, y)
    return _line_circle(b, a, x, y) if isinstance(b, Line) else _circles(a, b, x, y)


def sine(a: Primitive, b: Primitive, x: float, y: float) -> float:
    """The sine of the angle at which they meet in (x, y)."""
    (ax, ay), (bx, by) = _normal(a, x, y), _normal(b, x, y)
    return abs(ax * by - ay * bx)


def _normal(primitive: Primitive, x: float, y: float) -> Place:
    if isinstance(primitive, Line):
        return primitive.nx, primitive.ny
    return (x - primitive.x) / primitive.radius, (y - primitive.y) / primitive.radius


def _lines(a: Line, b: Line) -> Place | None:
    turn = a.nx * b.ny - a.ny * b.nx
    if abs(turn) < PARALLEL:
        return None
    return (a.offset * b.ny - b.offset * a.ny) / turn, (b.offset * a.nx - a.offset * b.nx) / turn


def _line_circle(line: Line, circle: Circle, x: float, y: float) -> Place | None:
    (nx, ny, offset), (cx, cy, radius) = line, circle
    over = offset - nx * cx - ny * cy
    if abs(abs(over) - radius) <= SAME_POINT:
        return cx + nx * over, cy + ny * over
    if abs(over) > radius:
        middle = (over + (radius if over > 0 else -radius)) / 2
        return (cx + nx * middle, cy + ny * middle) if abs(over) - radius < MISS else None
    along = sqrt(radius * radius - over * over)
    side = along if -ny * (x - cx) + nx * (y - cy) > 0 else -along
    return cx + nx * over - ny * side, cy + ny * over + nx * side


def _circles(a: Circle, b: Circle, x: float, y: float) -> Place | None:
    (ax, ay, ar), (bx, by, br) = a, b
    distance = hypot(bx - ax, by - ay)
    if distance < SAME_POINT:
        return None
    ux, uy = (bx - ax) / distance, (by - ay) / distance
    apart, within = distance - ar - br, abs(ar - br) - distance
    if max(apart, within) > -SAME_POINT:
        if max(apart, within) > MISS:
            return None
        near = ar if apart > within or ar > br else -ar
        far = distance + (-br if apart > within else br if ar > br else -br)
        middle = (near + far) / 2
        return ax + ux * middle, ay + uy * middle
    along = (distance * distance + ar * ar - br * br) / (2 * distance)
    height = sqrt(max(ar * ar - along * along, 0.0))
    side = height if -uy * (x - ax) + ux * (y - ay) > 0 else -height
    return ax + ux * along - uy * side, ay + uy * along + ux * side
