"""Round holes: whether a drill may turn, how often it comes up, and when a helix bores instead."""

from math import ceil, pi, radians, tan

from cncpanel.machine.model import Machine
from cncpanel.machine.tool import Tool
from cncpanel.tooling.materials import Material
from cncpanel.tooling.spindle_speed import usable_speeds
from cncpanel.tooling.step_limit import step_limit

PECK_FREE = 3.0  # drill diameters that need no coming up: common practice, no source
PECK = 2.0  # drill diameters a peck beyond that: common practice, no source
BORE_RATIO = 1.2  # narrowest hole over tool diameter for a helix: common practice
BORE_RATIO_NO_CENTRE = 1.5  # the same for an end that does not cut over its centre: common practice
BORE_CORE = 1.9  # widest, so that nothing stays in the middle; 2 leaves a thread of it


def can_drill(tool: Tool, machine: Machine) -> bool:
    """Whether the spindle can turn as slowly as the drill allows."""
    return tool.kind == "drill" and usable_speeds(tool, machine) is not None


def pecks(depth: float, tool: Tool) -> tuple[float, ...]:
    """Depths to go down to, the drill coming up between them: equal, one when the hole is shallow."""
    if depth <= PECK_FREE * tool.diameter:
        return (depth,)
    count = ceil(depth / (PECK * tool.diameter) - 1e-9)
    return tuple(depth * (index + 1) / count for index in range(count))


def point_length(tool: Tool) -> float:
    """How far a drill's point stands out below its full diameter, mm; 0 where its angle is not known."""
    if tool.tip_angle_deg is None:
        return 0.0
    return tool.radius / tan(radians(tool.tip_angle_deg / 2))


def can_bore(tool: Tool, hole_diameter: float) -> bool:
    """Whether a flat tool bores this hole by one helix and leaves nothing in its middle."""
    if not tool.is_flat:
        return False
    least = BORE_RATIO if tool.plunges else BORE_RATIO_NO_CENTRE
    ratio = hole_diameter / tool.cut_diameter
    return least - 1e-9 <= ratio <= BORE_CORE + 1e-9


def bore_pitch(tool: Tool, material: Material, machine: Machine, hole_diameter: float) -> float:
    """mm down a turn: the machine's ramp angle along the centre's circle, never more than a step."""
    turn = pi * (hole_diameter - tool.cut_diameter)
    steepest = turn * tan(radians(machine.cutting.ramp_deg))
    return min(steepest, step_limit(tool, material, machine, "bore").depth)
