"""What a sheet's map shows beside its parts: clamps, screws, defects, places cut before, pieces for the rack."""

from collections.abc import Iterator, Sequence
from math import sqrt

from cncpanel.drawing.letter_widths import text_width
from cncpanel.drawing.measures import SIZED, number, ruled
from cncpanel.drawing.paper import Label, Stroke
from cncpanel.drawing.view import BORDER, View
from cncpanel.geometry.contour import circle
from cncpanel.geometry.segment import Bounds
from cncpanel.job.model import KeepOut
from cncpanel.layout.leftover import Leftover
from cncpanel.units import Unit

PAPER, HATCH = 1.0, 4.0  # shade; mm on paper between two strokes of a hatch
SIZES = (2.4, 2.0, 1.6)  # mm; capitals
KEY = "Hatched: clamps, screws, defects and what was cut before. Heavy dots: pieces for the rack."

SCREWS_KEY = "Rings S1, S2 ...: screws that are driven at the stop."
LEAST_RING, BESIDE, CHORD = 1.1, 0.5, 0.05  # mm on paper: radius of a screw's ring, from there to its number

Items = Iterator[Stroke | Label]


def keep_out_items(view: View, keep: KeepOut) -> Items:
    """A white box hatched one way, two ways where nothing at all may be cut, with its kind where there is room."""
    (x, y), (width, height) = keep.at, keep.size
    right, high = min(x + width, view.sheet.length), min(y + height, view.sheet.width)
    corners = view.box((x, y, right, high))
    yield Stroke(points=corners, closed=True, width=0.35, shade=PAPER)
    box = _box(corners)
    for across in (1, -1) if keep.kind in ("clamp", "screw") else (1,):
        yield from _hatch(box, across)
    yield from _words(keep.kind, box, halo=PAPER)


def screw_items(view: View, keep: KeepOut, number: int) -> Items:
    """A white ring with a cross, no smaller than it can be seen, and its number beside it, inside the sheet."""
    x, y = view.at(keep.centre)
    r = max(keep.size[0] / 2 * view.factor, LEAST_RING)
    ring = [(x + p.x, y + p.y) for p in circle((0.0, 0.0), r).flattened(CHORD)]
    yield Stroke(points=tuple(ring), closed=True, width=0.3, shade=PAPER)
    d = r * sqrt(0.5)
    yield Stroke(points=((x - d, y - d), (x + d, y + d)), width=0.25)
    yield Stroke(points=((x - d, y + d), (x + d, y - d)), width=0.25)
    size, text = SIZES[1], f"S{number}"
    out = r + BESIDE
    to_left = x + out + text_width(text, size) > view.size[0] - BORDER
    at = x - out if to_left else x + out
    yield Label(x=at, y=y - size / 2, text=text, size=size, anchor="right" if to_left else "left", bold=True)


def leftover_box(view: View, left: Leftover) -> Stroke:
    """The piece's dotted box."""
    return Stroke(points=view.box(left.box), closed=True, width=0.3, dash=0.6)


def leftover_words(view: View, left: Leftover, ground: float, unit: Unit) -> Items:
    """The piece's name and size in the job's unit, on its ground's shade, over lines; upright where that is longer."""
    length, width = left.size
    size = f"{number(length, unit, SIZED[unit])} x {ruled(width, unit)}"
    yield from _words(f"{left.name} {size}", _box(view.box(left.box)), halo=ground)


def _box(corners: Sequence[tuple[float, float]]) -> Bounds:
    across, up = zip(*corners, strict=True)
    return min(across), min(up), max(across), max(up)


def _hatch(box: Bounds, rise: int) -> Iterator[Stroke]:
    """Strokes at 45 degrees, cut off at the box."""
    left, low, right, high = box
    if rise < 0:
        for stroke in _hatch((left, -high, right, -low), 1):
            yield Stroke(points=tuple((x, -y) for x, y in stroke.points), width=0.12)
        return
    offset = low - right + HATCH / 2
    while offset < high - left:
        start, end = max(left, low - offset), min(right, high - offset)
        if end > start:
            yield Stroke(points=((start, start + offset), (end, end + offset)), width=0.12)
        offset += HATCH


def _words(text: str, box: Bounds, *, halo: float) -> Items:
    left, low, right, high = box
    x, y = (left + right) / 2, (low + high) / 2
    for turned in (False, True) if right - left >= high - low else (True, False):
        along, across = (high - low, right - left) if turned else (right - left, high - low)
        for size in SIZES:
            width = text_width(text, size)
            if width + 1.0 <= along and 1.6 * size <= across:
                yield _halo((x, y), (width, size), halo, turned=turned)
                at = (x + size / 2, y) if turned else (x, y - size / 2)
                yield Label(x=at[0], y=at[1], text=text, size=size, anchor="middle", turn_deg=90.0 if turned else 0.0)
                return


def _halo(centre: tuple[float, float], size: tuple[float, float], shade: float, *, turned: bool) -> Stroke:
    half = (size[1] * 0.8, size[0] / 2 + 0.3) if turned else (size[0] / 2 + 0.3, size[1] * 0.8)
    (x, y), (dx, dy) = centre, half
    corners = ((x - dx, y - dy), (x + dx, y - dy), (x + dx, y + dy), (x - dx, y + dy))
    return Stroke(points=corners, closed=True, width=0.0, shade=shade)
