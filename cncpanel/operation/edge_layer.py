"""The levels that an edge is made in: how far the tool's centre keeps from the finished wall, and where its tip is.

A form tool makes the edge in one last light level after roughing; a ball makes it in steps, from the face down.
"""

from dataclasses import dataclass
from math import ceil, cos, pi, radians, sin, sqrt, tan

from cncpanel.machine.tool import Tool
from cncpanel.panel.edge import Bevel, EdgeForm, Round

LIGHT = 0.3  # mm that the last pass of a form tool takes, off the wall and off the face: common practice, no source
EDGE_STEP = 3.0  # mm of a form that one roughing pass goes further down: common practice, no source
UNDER_WALL = 0.5  # mm that a v-bit's point goes below its bevel: the point itself hardly cuts; own choice
PAST_CORNER = (
    1.0  # mm at least that a tool comes down past a corner which it runs off, where its end has room; own choice
)
OVER_FACE = 0.3  # mm over the face from where a tool that does not go into the kerf slopes down; passes.entry.OVER_TOP
MOST_STEPS = 400  # of a ball; more is a slip of the pen in the scallop


@dataclass(frozen=True, slots=True)
class Layer:
    """`offset`: the centre's distance from the finished wall, into the scrap; `z` of the tip, the face is 0. mm."""

    offset: float
    z: float


def radius_over_tip(tool: Tool, height: float) -> float:
    """How wide the tool is `height` mm over its lowest end; 0 under it."""
    if height < 0:
        return 0.0
    if tool.kind == "ball":
        low = min(height, tool.radius)
        return sqrt(low * (2 * tool.radius - low))
    if tool.kind == "v-bit":
        return min(tool.radius, blunt(tool) + height * tan(half_angle(tool)))
    if tool.kind == "round-over":
        up = min(max(height - tool.under_curve, 0.0), profile_radius(tool))
        return blunt(tool) + profile_radius(tool) - sqrt(profile_radius(tool) ** 2 - up * up)
    return tool.radius


def blunt(tool: Tool) -> float:
    """Half the flat at the small end."""
    return tool.tip_radius or 0.0


def half_angle(tool: Tool) -> float:
    """Of a v-bit, from its axis, radians."""
    return radians((tool.tip_angle_deg or 180.0) / 2)


def profile_radius(tool: Tool) -> float:
    """The radius that a round-over leaves."""
    return tool.profile_radius or 0.0


def form_layers(form: EdgeForm, tool: Tool, step_factor: float) -> tuple[Layer, ...]:
    """Of a tool that has the form: roughing levels, each further down, then the light one on the finished wall."""
    under = tool.under_curve if isinstance(form, Round) else UNDER_WALL
    offset = blunt(tool) if isinstance(form, Round) else blunt(tool) + under * tan(half_angle(tool))
    rough = max(form.depth - LIGHT, 0.0)
    count = ceil(rough / (EDGE_STEP * step_factor) - 1e-9)
    levels = [Layer(offset + LIGHT, -(under + rough * number / count)) for number in range(1, count + 1)]
    return (*levels, Layer(offset, -(under + form.depth)))


def stair_layers(form: EdgeForm, radius: float, scallop: float) -> tuple[Layer, ...]:
    """Of a ball of that radius: it touches the form in every level, ridges between two are no higher than `scallop`."""
    return _round_stair(form, radius, scallop) if isinstance(form, Round) else _bevel_stair(form, radius, scallop)


def ridge(form_radius: float, ball_radius: float, turn: float) -> float:
    """How high a ridge stands on a quarter circle between two touches `turn` radians apart. Geometry.

    Raises ValueError where the two balls do not meet.
    """
    arm = form_radius + ball_radius
    return arm * cos(turn / 2) - sqrt(ball_radius**2 - (arm * sin(turn / 2)) ** 2) - form_radius


def _round_stair(form: Round, radius: float, scallop: float) -> tuple[Layer, ...]:
    arm = form.radius + radius
    count = next(n for n in range(1, MOST_STEPS) if _low_enough(form.radius, radius, _turn(n), scallop))
    angles = [number * _turn(count) for number in range(count, -1, -1)]
    return tuple(Layer(arm * cos(a) - form.radius, -arm + arm * sin(a)) for a in angles)


def _turn(count: int) -> float:
    """Between touches: the last is half of it away from the face."""
    return pi / 2 / (count + 0.5)


def _low_enough(form_radius: float, ball_radius: float, turn: float, scallop: float) -> bool:
    if (form_radius + ball_radius) * sin(turn / 2) >= ball_radius:
        return False
    return ridge(form_radius, ball_radius, turn) <= scallop


def _bevel_stair(form: Bevel, radius: float, scallop: float) -> tuple[Layer, ...]:
    angle = radians(form.angle_deg)
    length = form.depth / cos(angle)
    apart = 2 * sqrt(scallop * (2 * radius - scallop))
    count = max(ceil(length / apart - 0.5), 1)
    ways = [number * length / (count + 0.5) for number in range(count, -1, -1)]
    low = -form.depth + radius * sin(angle) - radius
    return tuple(Layer(radius * cos(angle) - way * sin(angle), low + way * cos(angle)) for way in ways)
