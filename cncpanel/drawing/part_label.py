"""Where a part's number and name stand on the map: inside the part, off its features, as large as they fit."""

from collections.abc import Iterator, Sequence
from itertools import product
from math import hypot

from cncpanel.drawing.letter_widths import text_width
from cncpanel.drawing.paper import Label, Stroke
from cncpanel.geometry.area import Area
from cncpanel.geometry.segment import Bounds

SIZES = (3.0, 2.5, 2.1, 1.8)  # mm; capitals of a name on paper, 1.8 is the least that reads at arm's length
SMALLER = (1.5, 1.3)  # mm; for a number alone
PLACES = 9  # tried across and along a part
BELOW = 0.3  # of the size; how far letters reach under their line
RIM = 0.7  # mm along a part's outline, where tabs are drawn
AIR = 0.35  # mm kept round the words


def part_label(number: int | str, name: str, part: Area, cuts: Area, through: Area) -> tuple[Stroke | Label, ...]:
    """Number and name, or the number alone; where no place is free of `cuts`, one free of `through` on white.

    All areas are on paper. The words always lie inside the part's box.
    """
    named, alone = f"{number} {name}", str(number)
    inner = part.grown(-RIM)
    clean, whole = inner.minus(cuts), inner.minus(through)
    for text, sizes, room, halo in (
        (named, SIZES, clean, False),
        (named, SIZES, whole, True),
        (alone, SIZES, clean, False),
        (named, SIZES, inner, True),
        (alone, (*SIZES, *SMALLER), inner, True),
    ):
        found = _placed(text, sizes, part.bounds, room)
        if found:
            return _drawn(*found, halo=halo)
    return _squeezed(alone, part.bounds)


def _placed(text: str, sizes: Sequence[float], bounds: Bounds, room: Area) -> tuple[Label, Bounds] | None:
    for size, upright in product(sizes, (False, True)):
        width, height = text_width(text, size) + 2 * AIR, size * (1 + BELOW) + 2 * AIR
        across, along = (height, width) if upright else (width, height)
        for left, low in _places(bounds, across, along):
            box = (left, low, left + across, low + along)
            if room.holds_box(box):
                return _label(text, size, box, upright), box
    return None


def _places(bounds: Bounds, across: float, along: float) -> Iterator[tuple[float, float]]:
    """Lower left corners of a box of words inside the bounds, the middle first."""
    left, low, right, high = bounds
    free = right - left - across, high - low - along
    if min(free) < 0:
        return
    shares = [i / (PLACES - 1) for i in range(PLACES)]
    for x, y in sorted(product(shares, shares), key=lambda s: (hypot(s[0] - 0.5, s[1] - 0.5), s)):
        yield left + x * free[0], low + y * free[1]


def _label(text: str, size: float, box: Bounds, upright: bool) -> Label:
    left, low, right, high = box
    rise = AIR + BELOW * size
    if upright:
        return Label(
            x=right - rise, y=(low + high) / 2, text=text, size=size, anchor="middle", turn_deg=90.0, bold=True
        )
    return Label(x=(left + right) / 2, y=low + rise, text=text, size=size, anchor="middle", bold=True)


def _drawn(label: Label, box: Bounds, *, halo: bool) -> tuple[Stroke | Label, ...]:
    left, low, right, high = box
    corners = ((left, low), (right, low), (right, high), (left, high))
    return (Stroke(points=corners, closed=True, width=0.0, shade=1.0), label) if halo else (label,)


def _squeezed(text: str, bounds: Bounds) -> tuple[Stroke | Label, ...]:
    """The number as large as the part's box takes it, however small that is."""
    left, low, right, high = bounds
    size = min(SMALLER[-1], (right - left) / text_width(text, 1.0), (high - low) / (1 + BELOW))
    y = (low + high - size) / 2 + BELOW * size / 2
    return (Label(x=(left + right) / 2, y=y, text=text, size=size, anchor="middle", bold=True),)
