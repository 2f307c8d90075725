"""Words on a drawing: how much room they take, where they find a free place, how they break into lines."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from math import cos, radians, sin

from cncpanel.drawing.letter_widths import text_width, unit_width
from cncpanel.drawing.paper import Label
from cncpanel.geometry.segment import Bounds

BELOW = 0.3  # of the size; how far letters reach under their line
SMALLEST = 1.5  # mm; capitals that still read on a bench
SHRINK = 0.8  # a size that finds no place is tried this much smaller
AIR = 0.4  # mm kept between two texts


@dataclass(frozen=True, slots=True)
class Wish:
    """A text and the places that would do, the best first; `needed` words are set at the last place at worst.

    The first `alike` places are as good as each other but for their order.
    """

    places: tuple[Label, ...]
    needed: bool = False
    alike: int = 0


def label_box(label: Label) -> Bounds:
    """The upright box round a label, never smaller than what is set."""
    width, size = unit_width(label.text) * label.size, label.size
    left = {"left": 0.0, "middle": -width / 2, "right": -width}[label.anchor]
    if label.turn_deg == 0.0:
        return label.x + left, label.y - BELOW * size, label.x + (left + width), label.y + size
    c, s = cos(radians(label.turn_deg)), sin(radians(label.turn_deg))
    corners = [(x, y) for x in (left, left + width) for y in (-BELOW * size, size)]
    xs = [label.x + x * c - y * s for x, y in corners]
    ys = [label.y + x * s + y * c for x, y in corners]
    return min(xs), min(ys), max(xs), max(ys)


def settle(wishes: Iterable[Wish], taken: Iterable[Bounds] = ()) -> tuple[Label, ...]:
    """The labels, each at its first place free of those before it and of `taken`; smaller, then left out, if none."""
    boxes = list(taken)
    labels = []
    for wish in wishes:
        label = _settled(wish, boxes)
        if label is not None:
            labels.append(label)
            boxes.append(label_box(label))
    return tuple(labels)


def _settled(wish: Wish, boxes: Sequence[Bounds]) -> Label | None:
    size = wish.places[0].size
    while size >= SMALLEST:
        for place in wish.places:
            label = replace(place, size=min(size, place.size))
            if is_free(label_box(label), boxes):
                return label
        size *= SHRINK
    return wish.places[-1] if wish.needed else None


def is_free(box: Bounds, boxes: Iterable[Bounds]) -> bool:
    """Whether the box keeps clear of all others."""
    left, low, right, high = box[0] - AIR, box[1] - AIR, box[2] + AIR, box[3] + AIR
    return not any(True for a, b, c, d in boxes if a < right and left < c and b < high and low < d)


def wrapped(text: str, size: float, width: float) -> list[str]:
    """The text in lines of at most `width` mm; a word that is longer keeps a line of its own."""
    lines: list[str] = []
    space, used = unit_width(" ") * size, 0.0
    for word in text.split():
        wide = unit_width(word) * size
        if lines and used + space + wide <= width:
            lines[-1] = f"{lines[-1]} {word}"
            used += space + wide
        else:
            lines.append(word)
            used = wide
    return lines


def fitted(text: str, size: float, width: float) -> str:
    """As much of the text as `width` mm hold."""
    while text and text_width(text, size) > width:
        text = f"{text.rstrip('.')[:-1]}..." if len(text) > 4 else ""
    return text
