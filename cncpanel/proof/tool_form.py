"""What a turning tool clears: the height of its lower outline over its tip at each distance from its axis.

Every outline is a flat in the middle, of no width in many tools, and then one curve up to its greatest radius.
"""

from dataclasses import dataclass
from enum import IntEnum
from math import radians, tan

import numpy as np
import numpy.typing as npt

from cncpanel.machine.tool import Tool

Floats = npt.NDArray[np.float64]


class Curve(IntEnum):
    """How the outline goes on beyond the flat; numbers, because the compiled loops know them too."""

    FLAT = 0  # nothing beyond it
    CONE = 1  # straight up at a slope: drill point, v-bit, bevel
    NOSE = 2  # a quarter of a circle, bulging down: ball, core-box
    FLARE = 3  # a quarter of a circle, hollow: round-over, whose wall begins upright


@dataclass(frozen=True, slots=True, kw_only=True)
class ToolForm:
    """A tool's outline; lengths in mm.

    `flat` is half the flat at the tip, `slope` a cone's rise for each mm outward, `rounding` a curve's radius; a
    flare's flat end goes on straight up for `straight` before its curve begins. An
    undercutting tool has its greatest radius only up to `disc_height` over the tip and `neck` above; None elsewhere.
    """

    curve: Curve
    radius: float
    flat: float
    slope: float = 0.0
    rounding: float = 0.0
    straight: float = 0.0
    disc_height: float | None = None
    neck: float | None = None

    @property
    def undercuts(self) -> bool:
        """Whether material may stand over its disc."""
        return self.disc_height is not None

    @property
    def is_convex(self) -> bool:
        """Whether the outline bulges down everywhere, so that along a straight way one place cuts deepest."""
        return self.curve is not Curve.FLARE

    def heights(self, distance: Floats) -> Floats:
        """The outline's height over the tip at distances from the axis; infinite outside the tool."""
        out = np.maximum(distance - self.flat, 0.0)
        if self.curve is Curve.CONE:
            height = out * self.slope
        elif self.curve is Curve.NOSE:
            height = self.rounding - np.sqrt(np.maximum(self.rounding * self.rounding - out * out, 0.0))
        elif self.curve is Curve.FLARE:
            left = self.rounding - np.minimum(out, self.rounding)
            height = self._curve_from(out) + np.sqrt(self.rounding * self.rounding - left * left)
        else:
            height = out * 0.0
        return np.where(distance <= self.radius, height, np.inf)

    def reaches(self, depth: Floats) -> Floats:
        """How far from the axis the outline lies below a face that the tip is `depth` under; the inverse of heights."""
        deep = np.maximum(depth, 0.0)
        if self.curve is Curve.CONE:
            reach = self.flat + deep / self.slope
        elif self.curve is Curve.NOSE:
            left = self.rounding - np.minimum(deep, self.rounding)
            reach = self.flat + np.sqrt(self.rounding * self.rounding - left * left)
        elif self.curve is Curve.FLARE:
            up = np.clip(deep - self.straight, 0.0, self.rounding)
            reach = self.flat + self.rounding - np.sqrt(self.rounding * self.rounding - up * up)
            reach = np.where(deep - self.straight >= self.rounding, self.radius, reach)
        else:
            reach = np.full_like(deep, self.radius)
        return np.minimum(reach, self.radius)

    def _curve_from(self, out: Floats) -> Floats:
        """Where over the tip a flare's curve begins: nowhere over its flat."""
        return np.where(out > 0.0, self.straight, 0.0)

    @property
    def through_neck(self) -> "ToolForm":
        """What an undercutting tool clears to the open air on a level way: its neck's width."""
        return ToolForm(curve=Curve.FLAT, radius=self.neck or self.radius, flat=self.neck or self.radius)


def flat_form(radius: float) -> ToolForm:
    """A plain end."""
    return ToolForm(curve=Curve.FLAT, radius=radius, flat=radius)


def cone_form(radius: float, angle_deg: float, flat: float = 0.0) -> ToolForm:
    """A drill, a v-bit or a bevel of an included angle, its tip `flat` wide to each side."""
    return ToolForm(curve=Curve.CONE, radius=radius, flat=flat, slope=1 / tan(radians(angle_deg / 2)))


def nose_form(radius: float, rounding: float) -> ToolForm:
    """A ball, or a core-box whose corner's radius may be less (a flat between) or more than the tool's."""
    return ToolForm(curve=Curve.NOSE, radius=radius, flat=max(radius - rounding, 0.0), rounding=rounding)


def flare_form(radius: float, flat: float, rounding: float, straight: float = 0.0) -> ToolForm:
    """A round-over: the flat at its small end, the radius that it leaves, the straight part between them."""
    return ToolForm(curve=Curve.FLARE, radius=radius, flat=flat, rounding=rounding, straight=straight)


def disc_form(radius: float, height: float, neck: float) -> ToolForm:
    """A slot cutter or a T-slot cutter: a disc under a thinner neck."""
    return ToolForm(curve=Curve.FLAT, radius=radius, flat=radius, disc_height=height, neck=neck)


def form_of(tool: Tool) -> ToolForm:
    """The form of a racked tool; a measured diameter rules."""
    if tool.kind in ("ball", "core-box"):
        return nose_form(tool.radius, tool.profile_radius or tool.radius)
    if tool.kind == "round-over":
        rounding = tool.profile_radius or tool.radius
        return flare_form(tool.radius, tool.tip_radius or 0.0, rounding, tool.under_curve)
    if tool.undercuts:
        return disc_form(tool.radius, tool.cutting_length, tool.neck_radius)
    if tool.tip_angle_deg is not None and not tool.is_flat:
        return cone_form(tool.radius, tool.tip_angle_deg, tool.tip_radius or 0.0)
    return flat_form(tool.radius)
