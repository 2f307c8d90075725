"""A small picture of the panels of a step: those that are added white, those that they go to grey, all at one scale."""

from collections.abc import Iterator, Sequence

from cncpanel.drawing.letter_widths import text_width
from cncpanel.drawing.paper import Label, Picture, Stroke
from cncpanel.drawing.scaled import Scaled
from cncpanel.drawing.words import BELOW, fitted
from cncpanel.geometry.contour import circle
from cncpanel.geometry.point import Point
from cncpanel.geometry.region import Region
from cncpanel.panel.panel import Panel
from cncpanel.panel.placed_cleat import PlacedCleat

PICTURE_HEIGHT = 40.0  # mm
NAME = 1.8  # mm capitals
APART = 4.0  # mm between two panels
BESIDE = 1.0  # mm from a panel to its name
LEAST = 6.0  # mm; a name never gets less room than this
LARGEST = 0.2  # of full size; larger says no more
GREY = 0.88
EDGE = Stroke(points=(), width=0.35, shade=1.0)
CUT = Stroke(points=(), width=0.18, shade=1.0)
STRIP = Stroke(points=(), width=0.25)
STRIP_BEHIND = Stroke(points=(), width=0.25, dash=1.2)
HOUSED = Stroke(points=(), width=0.13, dash=0.6)


def panel_group(
    moved: Sequence[Panel], fixed: Sequence[Panel], cleats: Sequence[PlacedCleat], width: float, height: float
) -> Picture:
    """The panels with their cleats side by side, their names under them, in at most `width` x `height` mm."""
    panels = [*moved, *fixed]
    foot = NAME * (1 + BELOW) + BESIDE
    factor = _factor(panels, width, height - foot)
    items: list[Stroke | Label] = []
    x, tallest = 0.0, 0.0
    for panel in panels:
        size = _size(panel)
        room = max(size[0] * factor, min(text_width(panel.name, NAME), _most_name(width, panels)), LEAST)
        at = Point(x + (room - size[0] * factor) / 2, foot)
        view = Scaled(at, factor)
        items += _drawn(panel, view, grey=panel in fixed)
        own = (cleat for cleat in cleats if cleat.panel == panel.index)
        items += (view.stroke(cleat.contour, STRIP_BEHIND if cleat.face == "back" else STRIP) for cleat in own)
        name = fitted(panel.name, NAME, room)
        items.append(Label(x=x + room / 2, y=BELOW * NAME, text=name, size=NAME, anchor="middle", bold=panel in moved))
        x, tallest = x + room + APART, max(tallest, size[1] * factor)
    return Picture(width=x - APART, height=foot + tallest + 1.0, items=tuple(items))


def _size(panel: Panel) -> tuple[float, float]:
    left, low, right, high = panel.outline.bounds
    return right - left, high - low


def _most_name(width: float, panels: Sequence[Panel]) -> float:
    """The most room that a name may make: its share of the picture's width."""
    return max(width / len(panels) - APART, LEAST)


def _factor(panels: Sequence[Panel], width: float, height: float) -> float:
    """The largest at which all stand side by side, names too; tried downwards."""
    factor = min(LARGEST, height / max(_size(panel)[1] for panel in panels))
    while factor > 1e-3:
        rooms = (
            max(_size(p)[0] * factor, min(text_width(p.name, NAME), _most_name(width, panels)), LEAST) for p in panels
        )
        if sum(rooms) + APART * (len(panels) - 1) <= width:
            return factor
        factor *= 0.9
    return factor


def _drawn(panel: Panel, view: Scaled, *, grey: bool) -> Iterator[Stroke]:
    edge = Stroke(points=(), width=EDGE.width, shade=GREY if grey else 1.0)
    yield view.stroke(panel.outline, edge)
    for opening in panel.openings:
        yield view.stroke(opening.contour, CUT)
    for side in panel.sides:
        for hole in side.holes:
            if hole.diameter * view.factor > 1.0:
                yield view.stroke(circle(hole.centre, hole.diameter / 2), CUT)
        for recess in side.recesses:
            yield from _housed(recess.region, view)


def _housed(region: Region, view: Scaled) -> Iterator[Stroke]:
    for contour in region.contours:
        yield view.stroke(contour, HOUSED)
