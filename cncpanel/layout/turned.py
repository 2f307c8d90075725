"""A sheet that is cut from both faces as it lies before it is turned over."""

from collections.abc import Mapping
from dataclasses import replace

from cncpanel.geometry.point import Point
from cncpanel.job.model import Axis, KeepOut, Stock
from cncpanel.layout.layout import Part, Sheet, placement
from cncpanel.layout.leftover import Leftover
from cncpanel.panel.panel import Panel
from cncpanel.panel.reverse import reverse_of


def turned_over(sheet: Sheet, panels: Mapping[int, Panel], axis: Axis) -> Sheet:
    """The sheet as it lies before the turn, its parts' other faces up; clamps stand at the same places of the sheet."""
    parts = tuple(_turned(part, panels[part.panel], sheet, axis) for part in sheet.parts)
    return replace(sheet, parts=parts, stock=_turned_stock(sheet.stock, axis))


def flipped(point: Point, size: tuple[float, float], axis: Axis) -> Point:
    """Where a place of the sheet comes to lie when it is turned over."""
    return Point(point.x, size[1] - point.y) if axis == "x" else Point(size[0] - point.x, point.y)


def _turned(part: Part, panel: Panel, sheet: Sheet, axis: Axis) -> Part:
    """Flipping about X is a half turn more than flipping about Y: y -> -y is x -> -x turned by 180 degrees."""
    _, _, right, high = placement(panel, part).contour(panel.outline).bounds
    if axis == "x":
        return replace(part, y=sheet.width - high, angle_deg=(180.0 - part.angle_deg) % 360.0)
    return replace(part, x=sheet.length - right, angle_deg=-part.angle_deg % 360.0)


def _turned_stock(stock: Stock, axis: Axis) -> Stock:
    return stock.model_copy(update={"keep_out": tuple(_turned_keep(keep, stock, axis) for keep in stock.keep_out)})


def _turned_keep(keep: KeepOut, stock: Stock, axis: Axis) -> KeepOut:
    far = Point(keep.at[0] + keep.size[0], keep.at[1] + keep.size[1])
    turned = flipped(far, stock.sheet, axis)
    at = (keep.at[0], turned.y) if axis == "x" else (turned.x, keep.at[1])
    return keep.model_copy(update={"at": at})


def turned_leftover(leftover: Leftover, size: tuple[float, float], axis: Axis) -> Leftover:
    """Where a piece for the rack lies when a sheet of that size is turned over."""
    left, low, right, high = leftover.box
    a, b = flipped(Point(left, low), size, axis), flipped(Point(right, high), size, axis)
    return replace(leftover, box=(min(a.x, b.x), min(a.y, b.y), max(a.x, b.x), max(a.y, b.y)))


def needs_turning(sheet: Sheet, panels: Mapping[int, Panel]) -> bool:
    """Whether a part of the sheet is cut from both faces."""
    return any(panels[part.panel].reverse is not None for part in sheet.parts)


def reverses(panels: tuple[Panel, ...]) -> tuple[Panel, ...]:
    """What every panel has on its other face, where any has; () where none has."""
    return tuple(map(reverse_of, panels)) if any(panel.reverse for panel in panels) else ()
