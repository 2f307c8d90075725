"""A sheet seen from above: parts with their names, recesses, openings, tabs, zero, touch-off spot, used area."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from cncpanel.drawing.paper import Label, Picture, Stroke
from cncpanel.geometry.contour import Contour, circle
from cncpanel.geometry.point import Point
from cncpanel.layout.layout import Part, Sheet, placement
from cncpanel.operation.operation import PanelPlan
from cncpanel.panel.panel import Panel
from cncpanel.passes.run import Tab

CHORD = 0.05  # mm on paper
BORDER = 7.0  # mm round the sheet for its figures
RECESS_SHADE = 0.82
OPENING_SHADE = 0.95
GLYPH = 0.62  # a letter's width as a share of its height (Helvetica capitals and figures)


@dataclass(frozen=True, slots=True)
class _Scale:
    """Sheet millimetres to paper millimetres."""

    factor: float

    def at(self, x: float, y: float) -> tuple[float, float]:
        return BORDER + x * self.factor, BORDER + y * self.factor

    def loop(self, contour: Contour, width: float, shade: float | None = None) -> Stroke:
        points = tuple(self.at(*point) for point in contour.flattened(CHORD / self.factor))
        return Stroke(points=points, closed=True, width=width, shade=shade)


def sheet_map(
    sheet: Sheet,
    plans: Mapping[int, PanelPlan],
    tabs: Iterable[Tab],
    spot: Point | None,
    *,
    width: float,
) -> Picture:
    """The picture, `width` mm wide; spot in the sheet's frame, None where Z is not touched off on the sheet."""
    scale = _Scale((width - 2 * BORDER) / sheet.length)
    items: list[Stroke | Label] = [
        _box(scale, sheet, 0.0, 0.5),
        _box(scale, sheet, sheet.stock.margin, 0.1, dash=1.0),
    ]
    for part in sheet.parts:
        items += _part(scale, part, plans[part.panel].panel)
    items += [_tab(scale, tab) for tab in tabs]
    items += [*_zero(scale), *_sizes(scale, sheet)]
    if spot is not None:
        items += _touch_off(scale, spot)
    return Picture(width=width, height=2 * BORDER + sheet.width * scale.factor, items=tuple(items))


def _box(scale: _Scale, sheet: Sheet, inset: float, width: float, dash: float | None = None) -> Stroke:
    right, top = sheet.length - inset, sheet.width - inset
    corners = ((inset, inset), (right, inset), (right, top), (inset, top))
    return Stroke(points=tuple(scale.at(*c) for c in corners), closed=True, width=width, dash=dash)


def _part(scale: _Scale, part: Part, panel: Panel) -> list[Stroke | Label]:
    put = placement(panel, part)
    items: list[Stroke | Label] = [scale.loop(put.contour(panel.outline), 0.3, 1.0)]
    for recess in panel.recesses:
        items.append(scale.loop(put.contour(recess.region.outer), 0.1, RECESS_SHADE))
        items += [scale.loop(put.contour(hole), 0.1, 1.0) for hole in recess.region.holes]
    items += [scale.loop(put.contour(opening.contour), 0.15, OPENING_SHADE) for opening in panel.openings]
    items += [scale.loop(circle(put.point(hole.centre), hole.diameter / 2), 0.1, OPENING_SHADE) for hole in panel.holes]
    return [*items, _name(scale, part, put.contour(panel.outline))]


def _name(scale: _Scale, part: Part, outline: Contour) -> Label:
    """The part's label in the middle of its box, as large as it fits, along the longer side."""
    left, low, right, high = outline.bounds
    across, up = (right - left) * scale.factor, (high - low) * scale.factor
    upright = up > across
    room, depth = (up, across) if upright else (across, up)
    size = max(1.1, min(3.0, 0.8 * depth, 0.9 * room / (GLYPH * 1.25 * max(len(part.label), 1))))
    x, y = scale.at((left + right) / 2, (low + high) / 2)
    shift = size / 2
    return Label(
        x=x + (shift if upright else 0.0),
        y=y - (0.0 if upright else shift),
        text=part.label,
        size=size,
        anchor="middle",
        turn_deg=90.0 if upright else 0.0,
        bold=True,
    )


def _tab(scale: _Scale, tab: Tab) -> Stroke:
    half = tab.along.times(tab.width / 2)
    ends = (tab.centre.minus(half), tab.centre.plus(half))
    return Stroke(points=tuple(scale.at(*end) for end in ends), width=1.1)


def _zero(scale: _Scale) -> list[Stroke | Label]:
    x, y = scale.at(0, 0)
    return [
        Stroke(points=((x, y), (x + 12, y)), width=0.7),
        Stroke(points=((x, y), (x, y + 12)), width=0.7),
        Label(x=x + 13, y=y - 4, text="X", size=2.4, bold=True),
        Label(x=x - 4, y=y + 10, text="Y", size=2.4, bold=True),
        Label(x=x - 6, y=y - 5, text="X0 Y0", size=2.4, bold=True),
    ]


def _sizes(scale: _Scale, sheet: Sheet) -> list[Stroke | Label]:
    middle, _ = scale.at(sheet.length / 2, 0)
    right, centre = scale.at(sheet.length, sheet.width / 2)
    return [
        Label(x=middle, y=2, text=f"{sheet.length:g}", size=2.2, anchor="middle"),
        Label(x=right + 4, y=centre, text=f"{sheet.width:g}", size=2.2, anchor="middle", turn_deg=90),
    ]


def _touch_off(scale: _Scale, spot: Point) -> list[Stroke | Label]:
    x, y = scale.at(*spot)
    return [
        Stroke(points=((x - 2, y - 2), (x + 2, y + 2)), width=0.4),
        Stroke(points=((x - 2, y + 2), (x + 2, y - 2)), width=0.4),
        Label(x=x + 3, y=y - 1, text="Z", size=2.4, bold=True),
    ]
