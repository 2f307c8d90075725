"""How wide a tool is at each height over its tip: what its turning outline clears there."""

from math import inf, radians, sqrt, tan

import numpy as np

from cncpanel.machine.tool import Tool
from cncpanel.proof.tool_form import form_of


def radius_at(tool: Tool, height: float) -> float:
    """The tool's radius `height` mm over its tip; 0 below the tip."""
    if height < 0:
        return 0.0
    if tool.is_flat:
        return tool.radius
    if tool.undercuts:
        return tool.radius if height <= tool.cutting_length else tool.neck_radius
    if tool.kind == "core-box":
        return float(form_of(tool).reaches(np.array(height)))
    if tool.kind == "ball":
        low = min(height, tool.radius)
        return sqrt(low * (2 * tool.radius - low))
    if tool.kind == "round-over":
        return _flared(tool, height)
    return min(tool.radius, _blunt(tool) + height * tan(radians((tool.tip_angle_deg or 180.0) / 2)))


def _blunt(tool: Tool) -> float:
    """Half the flat at a v-bit's point."""
    return (tool.tip_radius or 0.0) if tool.kind == "v-bit" else 0.0


def _flared(tool: Tool, height: float) -> float:
    tip, profile = tool.tip_radius or 0.0, tool.profile_radius or 0.0
    low = min(max(height - tool.under_curve, 0.0), profile)
    return min(tip + profile - sqrt(profile * profile - low * low), tool.radius)


def tip_height(tool: Tool) -> float:
    """How high over the tip the tool has its full radius."""
    if tool.is_flat or tool.kind == "slot-cutter":
        return 0.0
    if tool.kind == "core-box":
        return float(form_of(tool).heights(np.array(tool.radius)))
    if tool.kind == "ball":
        return tool.radius
    if tool.kind == "round-over":
        return (tool.profile_radius or 0.0) + tool.under_curve
    angle = tool.tip_angle_deg or 180.0
    return (tool.radius - _blunt(tool)) / tan(radians(angle / 2)) if angle < 180 else (0.0 if angle == 180 else inf)
