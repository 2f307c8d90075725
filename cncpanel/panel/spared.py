"""Stretches of rims where the nub of a tab would be in the way. Panel frame, mm."""

from dataclasses import dataclass
from typing import Literal

from cncpanel.geometry.contour import Contour

Why = Literal["form", "seen", "mates"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Spared:
    """From `start` to `stop` mm along the counter-clockwise contour, which `stop` may be past; all round if None.

    `form`: the rim gets one; `seen`: it is looked at as it is; `mates`: it meets another panel.
    """

    contour: Contour
    span: tuple[float, float] | None
    why: Why

    def span_on(self, length: float, *, mirrored: bool) -> tuple[float, float]:
        """Where it lies on the contour, of that length, as it was placed: a mirror image is run the other way."""
        first, last = self.span if self.span is not None else (0.0, length)
        if not mirrored:
            return first, last
        behind = length if last > length else 0.0
        return length - last + behind, length - first + behind
