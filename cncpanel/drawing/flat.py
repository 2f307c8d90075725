"""What a flat drawing for a machine shop holds: plain values on named layers, mm, no format yet.

A layer is a kind of work and, where it has one, its depth: `OUTLINE`, `HOLE_THROUGH`, `RECESS_6.00`.
"""

import re
from dataclasses import dataclass

from cncpanel.geometry.contour import Contour, Path
from cncpanel.geometry.point import Point

OUTLINE = "OUTLINE"
OPENING = "OPENING"
HOLE_THROUGH = "HOLE_THROUGH"
MARK = "MARK"
NAME = "NAME"
SHEET = "SHEET"
MARGIN = "MARGIN"
TAB = "TAB"

LONGEST_LAYER = 80  # characters; the format allows 255, a layer list shows fewer
NOT_IN_LAYERS = re.compile(r"[^A-Z0-9_.\-]+")  # every reader takes these; R2000 and later forbid <>/\":;?*|=`


@dataclass(frozen=True, slots=True, kw_only=True)
class FlatEntity:
    """One thing drawn: one of contour or path, circle (centre, radius), text (lower left, height, words)."""

    layer: str
    contour: Contour | Path | None = None
    circle: tuple[Point, float] | None = None
    text: tuple[Point, float, str] | None = None

    def __post_init__(self) -> None:
        """Hold the promise of exactly one."""
        given = sum(part is not None for part in (self.contour, self.circle, self.text))
        if given != 1:
            raise ValueError(f"a flat entity on {self.layer} draws {given} things instead of one")


@dataclass(frozen=True, slots=True)
class FlatDrawing:
    """A drawing by name, its entities in the order drawn."""

    name: str
    entities: tuple[FlatEntity, ...]


def layer_name(text: str) -> str:
    """A layer name that every reader takes: upper case, digits, `_ . -`; `LAYER` where nothing is left."""
    return NOT_IN_LAYERS.sub("_", text.upper()).strip("_")[:LONGEST_LAYER] or "LAYER"


def layer_at_depth(kind: str, depth: float | None) -> str:
    """`RECESS_6.00`: the kind of work and its depth in mm; `HOLE_THROUGH` where there is no depth."""
    return layer_name(f"{kind}_THROUGH" if depth is None else f"{kind}_{depth:.2f}")
