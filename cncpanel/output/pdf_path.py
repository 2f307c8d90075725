"""Lines and arcs as a PDF page's path operators (ISO 32000-1, 8.5.2), arcs as cubic Bezier curves."""

from collections.abc import Iterator
from math import atan, ceil, cos, pi, sin, tan

from cncpanel.geometry.contour import Contour, Path
from cncpanel.geometry.segment import Segment

BEZIER = 0.002  # mm; how far a curve may lie off its arc: under half of what paper must hold (0.005)
CONSTANT = 2 / 27  # of sin^6 / cos^2 of a quarter of the angle: the usual curve's largest error on the unit circle


def path_operators(shape: Contour | Path) -> str:
    """`x y m ... l ... c ... h` in millimetres; a contour is closed."""
    segments = shape.segments
    if not segments:
        return ""
    start = segments[0].start
    parts = [f"{start.x:.5f} {start.y:.5f} m"]
    for segment in segments:
        parts += _curves(segment) if segment.bulge else [f"{segment.end.x:.5f} {segment.end.y:.5f} l"]
    if isinstance(shape, Contour):
        parts.append("h")
    return "\n".join(parts)


def _curves(arc: Segment) -> Iterator[str]:
    """The arc in equal pieces, each a curve whose handles are 4/3 tan(a/4) long."""
    centre, radius, sweep = arc.centre, arc.radius, 4 * atan(arc.bulge)
    pieces = curve_count(radius, abs(sweep))
    step = sweep / pieces
    handle = 4 / 3 * tan(step / 4)
    arm = arc.start.minus(centre)
    for piece in range(pieces):
        a, b = piece * step, (piece + 1) * step
        x0, y0 = arm.x * cos(a) - arm.y * sin(a), arm.x * sin(a) + arm.y * cos(a)
        x3, y3 = arm.x * cos(b) - arm.y * sin(b), arm.x * sin(b) + arm.y * cos(b)
        end = arc.end if piece == pieces - 1 else centre.plus(type(centre)(x3, y3))
        yield (
            f"{centre.x + x0 - handle * y0:.5f} {centre.y + y0 + handle * x0:.5f} "
            f"{centre.x + x3 + handle * y3:.5f} {centre.y + y3 - handle * x3:.5f} {end.x:.5f} {end.y:.5f} c"
        )


def curve_count(radius: float, sweep: float) -> int:
    """Into how many curves an arc goes so that none is further off than BEZIER; at most a quarter turn each."""
    pieces = max(ceil(sweep / (pi / 2) - 1e-9), 1)
    while radius * _error(sweep / pieces) > BEZIER:
        pieces += 1
    return pieces


def _error(angle: float) -> float:
    """The largest radial error of the curve for an arc of the unit circle."""
    return float(CONSTANT * sin(angle / 4) ** 6 / cos(angle / 4) ** 2)
