"""Running dimensions: distances from one datum corner along an axis, each on its own extension line, none overlapping.

What belongs together (the ends, the cuts, the corners, the holes) is told together; where a class finds no room beside
those before it, it is left to the tables.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Literal

from cncpanel.drawing.dimension import Dimension, Dimensioning
from cncpanel.drawing.letter_widths import text_width
from cncpanel.drawing.paper import Label, Stroke
from cncpanel.drawing.scaled import Scaled
from cncpanel.drawing.spread import spread
from cncpanel.drawing.words import AIR, BELOW
from cncpanel.geometry.point import Point

Axis = Literal["x", "y"]
TEXT = 2.0  # mm capitals
APART = TEXT * (1 + BELOW) + 2 * AIR + 0.2  # mm between the middles of two texts
STRAIGHT, SLANT, GAP = 2.0, 4.0, 0.8  # mm: from the panel outwards, to the text's own place, to the text
OVERHANG = 9.0  # mm; how far texts may stand beyond the panel's ends
LINE = Stroke(points=(), width=0.1)


@dataclass(frozen=True, slots=True)
class Mark:
    """A place to be told: its distance along the axis, and how far from the axis the feature lies (panel mm)."""

    along: float
    beyond: float


@dataclass(frozen=True, slots=True)
class Running:
    """What is drawn, what it says, and the classes of marks that found no room."""

    items: tuple[Stroke | Label, ...]
    dimensions: tuple[Dimension, ...]
    left_out: tuple[str, ...]


def gutter(classes: Iterable[tuple[str, Iterable[Mark]]], told: Dimensioning) -> float:
    """How much paper the dimensions of these marks need beside the panel, at most."""
    widest = max(text_width(told.told(mark.along), TEXT) for _, marks in classes for mark in marks)
    return STRAIGHT + SLANT + GAP + widest + TEXT


def running(
    axis: Axis, extent: float, classes: Sequence[tuple[str, Iterable[Mark]]], view: Scaled, told: Dimensioning
) -> Running:
    """The dimensions along an axis of a panel that reaches `extent` mm along it."""
    chosen: dict[str, Mark] = {}
    left_out = []
    low, high = -OVERHANG, extent * view.factor + OVERHANG
    for name, marks in classes:
        both = _merged(chosen, marks, told)
        if (len(both) - 1) * APART <= high - low:
            chosen = both
        else:
            left_out.append(name)
    listed = sorted(chosen.items(), key=lambda entry: entry[1].along)
    places = spread([mark.along * view.factor for _, mark in listed], APART, low, high) or []
    items: list[Stroke | Label] = []
    for (text, mark), place in zip(listed, places, strict=True):
        items += _drawn(axis, text, mark, place, view)
    return Running(tuple(items), tuple(_dimension(axis, text, mark) for text, mark in listed), tuple(left_out))


def _merged(chosen: dict[str, Mark], marks: Iterable[Mark], told: Dimensioning) -> dict[str, Mark]:
    """Marks by their text; of those that read the same the one nearest to the axis."""
    both = dict(chosen)
    for mark in marks:
        text = told.told(mark.along)
        if text not in both or mark.beyond < both[text].beyond:
            both[text] = mark
    return both


def _dimension(axis: Axis, text: str, mark: Mark) -> Dimension:
    end = Point(mark.along, 0.0) if axis == "x" else Point(0.0, mark.along)
    return Dimension(Point(0.0, 0.0), end, text)


def _drawn(axis: Axis, text: str, mark: Mark, place: float, view: Scaled) -> Iterable[Stroke | Label]:
    """The extension line, bent to the text's place, and the text at its end."""
    own = mark.along * view.factor
    outwards = ((own, -mark.beyond * view.factor), (own, STRAIGHT), (place, STRAIGHT + SLANT))
    points = tuple(_at(axis, along, out, view) for along, out in outwards)
    yield Stroke(points=points, width=LINE.width)
    foot = STRAIGHT + SLANT + GAP
    if axis == "x":
        x, y = _at(axis, place + TEXT / 2, foot, view)
        yield Label(x=x, y=y, text=text, size=TEXT, anchor="right", turn_deg=90.0)
    else:
        x, y = _at(axis, place - TEXT / 2, foot, view)
        yield Label(x=x, y=y, text=text, size=TEXT, anchor="right")


def _at(axis: Axis, along: float, out: float, view: Scaled) -> tuple[float, float]:
    return (view.at.x + along, view.at.y - out) if axis == "x" else (view.at.x - out, view.at.y + along)
