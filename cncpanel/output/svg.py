"""A picture as inline SVG for the report: millimetres, black on white, every text escaped."""

from html import escape

from cncpanel.drawing.paper import Label, Picture, Stroke

CAPS = 0.72  # a capital's height as a share of the type size (Helvetica and its like)
ANCHORS = {"left": "start", "middle": "middle", "right": "end"}


def svg(picture: Picture, title: str) -> str:
    """The element; `title` is read out in its place."""
    body = "".join(
        _stroke(item, picture.height) if isinstance(item, Stroke) else _label(item, picture.height)
        for item in picture.items
    )
    return (
        f'<svg viewBox="0 0 {picture.width:.2f} {picture.height:.2f}" role="img" aria-label="{escape(title)}" '
        f'font-family="Helvetica, Arial, sans-serif">{body}</svg>'
    )


def _stroke(stroke: Stroke, height: float) -> str:
    first, *rest = (f"{x:.2f} {height - y:.2f}" for x, y in stroke.points)
    path = f"M{first}{''.join(f'L{point}' for point in rest)}{'Z' if stroke.closed else ''}"
    fill = "none" if stroke.shade is None else _grey(stroke.shade)
    line = f' stroke="#000" stroke-width="{stroke.width:g}"' if stroke.width > 0 else ""
    dash = f' stroke-dasharray="{stroke.dash:g}"' if stroke.dash else ""
    return f'<path d="{path}" fill="{fill}"{line}{dash}/>'


def _grey(shade: float) -> str:
    return f"#{round(255 * shade):02x}" + f"{round(255 * shade):02x}" * 2


def _label(label: Label, height: float) -> str:
    x, y = f"{label.x:.2f}", f"{height - label.y:.2f}"
    turn = f' transform="rotate({-label.turn_deg:g} {x} {y})"' if label.turn_deg else ""
    bold = ' font-weight="bold"' if label.bold else ""
    size = f"{label.size / CAPS:.2f}"
    anchor = ANCHORS[label.anchor]
    return f'<text x="{x}" y="{y}" font-size="{size}" text-anchor="{anchor}"{bold}{turn}>{escape(label.text)}</text>'
