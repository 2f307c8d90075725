"""A drawing as an SVG file at exactly 1:1: its unit is the millimetre, arcs stay arcs (SVG 1.1, 8.3)."""

from collections.abc import Sequence
from html import escape

from cncpanel.drawing.page import Item, Line
from cncpanel.drawing.paper import Label
from cncpanel.geometry.contour import Contour
from cncpanel.geometry.segment import Bounds, Segment
from cncpanel.output.svg import ANCHORS, CAPS

WIDE = 0.8  # of a bulge: an arc of 155 degrees


def drawing_svg(items: Sequence[Item], bounds: Bounds, title: str) -> bytes:
    """The items within `bounds` (mm); the file's own y runs down from the upper edge."""
    left, low, right, high = bounds
    width, height = f"{right - left:.6f}", f"{high - low:.6f}"
    body = "\n".join(_line(i, left, high) if isinstance(i, Line) else _label(i, left, high) for i in items)
    return (
        f'<?xml version="1.0" encoding="UTF-8"?>\n'
        f'<svg xmlns="http://www.w3.org/2000/svg" version="1.1" width="{width}mm" height="{height}mm" '
        f'viewBox="0 0 {width} {height}" font-family="Helvetica, Arial, sans-serif">\n'
        f"<title>{escape(_printable(title))}</title>\n{body}\n</svg>\n"
    ).encode()


def _line(line: Line, left: float, top: float) -> str:
    first, *_ = line.shape.segments
    parts = [f"M{first.start.x - left:.6f} {top - first.start.y:.6f}"]
    for segment in (part for whole in line.shape.segments for part in _well_posed(whole)):
        end = f"{segment.end.x - left:.6f} {top - segment.end.y:.6f}"
        if segment.bulge:
            radius, large, clockwise = f"{segment.radius:.6f}", int(abs(segment.bulge) > 1), int(segment.bulge < 0)
            parts.append(f"A{radius} {radius} 0 {large} {clockwise} {end}")
        else:
            parts.append(f"L{end}")
    if isinstance(line.shape, Contour):
        parts.append("Z")
    kind = f' class="{escape(line.layer)}"' if line.layer else ""
    return f'<path{kind} d="{"".join(parts)}" {_ink(line)}/>'


def _well_posed(segment: Segment) -> tuple[Segment, ...]:
    """A wide arc in two: near a half turn the centre that a reader finds hangs on the radius's last decimal."""
    if abs(segment.bulge) < WIDE:
        return (segment,)
    return segment.part(0.0, 0.5), segment.part(0.5, 1.0)


def _ink(line: Line) -> str:
    pen = line.pen
    fill = "none" if line.fill is None else _grey(line.fill)
    if pen.width <= 0:
        return f'fill="{fill}"'
    dash = f' stroke-dasharray="{" ".join(f"{length:g}" for length in pen.dash)}"' if pen.dash else ""
    return f'fill="{fill}" stroke="{_grey(pen.shade)}" stroke-width="{pen.width:g}"{dash}'


def _grey(shade: float) -> str:
    level = round(255 * shade)
    return f"#{level:02x}{level:02x}{level:02x}"


def _label(label: Label, left: float, top: float) -> str:
    x, y = label.x - left, top - label.y
    turn = f' transform="rotate({-label.turn_deg:g} {x:.3f} {y:.3f})"' if label.turn_deg else ""
    weight = ' font-weight="bold"' if label.bold else ""
    return (
        f'<text x="{x:.3f}" y="{y:.3f}" font-size="{label.size / CAPS:.3f}" text-anchor="{ANCHORS[label.anchor]}"'
        f"{weight}{turn}>{escape(_printable(label.text))}</text>"
    )


def _printable(text: str) -> str:
    """Without what XML does not take."""
    return "".join(letter if letter.isprintable() else " " for letter in text)
