"""Bars of known length in a page's margin, along both axes: what a rule is laid on before anything is traced.

Millimetre bars lie next to what the page shows, inch bars outside them, each pair from one zero. On paper that is too
short for a bar the bar is left out; A4 and Letter have room for all.
"""

from collections.abc import Iterator
from dataclasses import dataclass

from cncpanel.drawing.page import Line, Pen
from cncpanel.drawing.paper import Label
from cncpanel.geometry.contour import path_of
from cncpanel.geometry.placement import Placement
from cncpanel.geometry.point import Point
from cncpanel.geometry.segment import Segment

PEN = Pen(width=0.15)
LAYER = "CHECK_BAR"
BARS = ((8.8, 1, ((100.0, "100 mm"), (200.0, "200 mm"))), (4.2, -1, ((101.6, "4 in"), (203.2, "8 in"))))
TICK = 0.9  # mm
TEXT = 1.5  # mm capitals
GAP = 0.35  # mm between a bar and its words
EDGE = 3.2  # mm; a bar comes no nearer to the paper's edge: most printers reach that far
CORNER = 11.0  # mm; the upright bars keep clear of the level ones


@dataclass(frozen=True, slots=True)
class CheckBars:
    """The lines and words of all bars of a page, and what had no room."""

    lines: tuple[Line, ...]
    labels: tuple[Label, ...]
    left_out: tuple[str, ...]


def check_bars(width: float, height: float) -> CheckBars:
    """Level bars along the page's lower edge, upright ones along its left edge."""
    first = _first(width, EDGE)
    level, level_out = _bars(width, first, Placement(), "across")
    upright_frame = Placement(angle_deg=270.0, mirrored=True)  # x and y change places
    upright, upright_out = _bars(height, _first(height, EDGE if first >= CORNER else CORNER), upright_frame, "along")
    parts = (*level, *upright)
    return CheckBars(
        tuple(part for part in parts if isinstance(part, Line)),
        tuple(part for part in parts if isinstance(part, Label)),
        (*level_out, *upright_out),
    )


def _first(side: float, least: float) -> float:
    """Where the zero lies: the longest bar in the middle, as far as there is room."""
    return max((side - BARS[1][2][-1][0]) / 2, least)


def _bars(side: float, zero: float, frame: Placement, way: str) -> tuple[list[Line | Label], list[str]]:
    parts: list[Line | Label] = []
    left_out = []
    for depth, outward, lengths in BARS:
        fitting = [(length, name) for length, name in lengths if zero + length <= side - EDGE]
        left_out += [f"{name} {way}" for _, name in lengths[len(fitting) :]]
        if fitting:
            parts += _bar(zero, depth, outward, fitting, frame)
    return parts, left_out


def _bar(
    zero: float, depth: float, outward: int, lengths: list[tuple[float, str]], frame: Placement
) -> Iterator[Line | Label]:
    yield _stroke(Point(zero, depth), Point(zero + lengths[-1][0], depth), frame)
    for length, _ in ((0.0, ""), *lengths):
        at = zero + length
        yield _stroke(Point(at, depth), Point(at, depth + outward * TICK), frame)
    low = depth - GAP - TEXT if outward > 0 else depth + GAP
    for length, name in lengths:
        yield _words(Point(zero + length - 1.0, low), f"{name} to this end", frame)


def _stroke(start: Point, end: Point, frame: Placement) -> Line:
    return Line(shape=path_of([Segment(frame.point(start), frame.point(end))]), pen=PEN, layer=LAYER)


def _words(at: Point, text: str, frame: Placement) -> Label:
    """Right-anchored at a bar's end; along an upright bar they read from the right."""
    if not frame.mirrored:
        return Label(x=at.x, y=at.y, text=text, size=TEXT, anchor="right")
    x, y = frame.point(Point(at.x, at.y + TEXT))
    return Label(x=x, y=y, text=text, size=TEXT, anchor="right", turn_deg=90.0)
