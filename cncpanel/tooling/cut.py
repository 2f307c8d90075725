"""One cut: a tool in a material at a depth and a width, and what follows from its geometry alone."""

from dataclasses import dataclass
from math import atan2, pi, radians, sin, sqrt, tan
from typing import Literal

from cncpanel.machine.model import Machine
from cncpanel.machine.tool import Tool
from cncpanel.tooling.chip import inside_arc_feed_factor, max_chip, thinning_factor
from cncpanel.tooling.chip_load import (
    RUB,
    ChipLoad,
    chip_load,
    depth_derating,
    form_cutter_load,
    least_chip,
)
from cncpanel.tooling.force import FLUTED, tool_deflection
from cncpanel.tooling.materials import Material

Kind = Literal["profile", "slot", "clear", "bore", "drill", "finish", "mark", "edge"]

FORM_KINDS = ("v-bit", "round-over", "slot-cutter")
FULL_KINDS = ("mark", "drill", "bore", "slot", "edge")  # kinds whose chips are as thick as the advance
THINNING_MOST = 2.0  # a light cut's feed rises no further than this: common practice
DRILL_LOW, DRILL_HIGH = 0.02, 0.04  # advance a turn over diameter: common practice, no source
FINISH_DEFLECTION = 0.5  # of the machine's figure: 0.05 roughing, 0.025 finishing, common practice
LEAST_RIM = 0.2  # mm; a v-bit's tip is never sharper


@dataclass(frozen=True, slots=True, kw_only=True)
class Cut:
    """`depth`: of one step; a bore's pitch, a drill's hole. `width`: radial; a bore's diameter. mm.

    Raises ValueError where depth or width is nothing, or a bore is not wider than its tool.
    """

    tool: Tool
    material: Material
    machine: Machine
    depth: float
    width: float
    kind: Kind

    def __post_init__(self) -> None:
        """Refuse what is no cut."""
        if self.depth <= 0 or self.width <= 0:
            raise ValueError("a cut has a depth and a width")
        if self.kind == "bore" and self.width <= self.tool.cut_diameter:
            raise ValueError("a bore is wider than its tool")

    @property
    def rim(self) -> float:
        """The diameter that cuts: a v-bit's at this depth, else the tool's."""
        tool = self.tool
        if tool.kind == "v-bit" and tool.tip_angle_deg is not None:
            opened = 2 * self.depth * tan(radians(tool.tip_angle_deg / 2))
            return min(tool.cut_diameter, max(LEAST_RIM, opened))
        return tool.cut_diameter

    @property
    def engaged(self) -> float:
        """Radial width in material, mm."""
        return self.rim if self.kind in ("slot", "bore", "drill") else min(self.width, self.rim)

    @property
    def wall_factor(self) -> float:
        """Feed of the centre over the feed along the wall: below 1 in a bore."""
        if self.kind != "bore":
            return 1.0
        return inside_arc_feed_factor(self.width / 2, self.tool.radius)

    @property
    def thinning(self) -> float:
        """How far the advance may rise because the chip is thin."""
        if self.kind in FULL_KINDS:
            return 1.0
        return min(THINNING_MOST, thinning_factor(self.engaged, self.rim))

    @property
    def derating(self) -> float:
        """What the depth leaves of the chip load; all of it in a finish pass, where only bending counts."""
        return 1.0 if self.kind == "finish" else depth_derating(self.depth, self.tool.diameter)

    @property
    def load(self) -> ChipLoad:
        """The table's chip load, derated; its high end raised where chips are thin. Advance along the wall."""
        if self.kind == "drill":
            per_tooth = self.tool.diameter / self.tool.flutes
            return ChipLoad(DRILL_LOW * per_tooth, DRILL_HIGH * per_tooth, "common practice for drills")
        if self.tool.kind in FORM_KINDS:
            return form_cutter_load(self.material.name)
        table = chip_load(self.machine.cutting.chip_load, self.material.name, self.tool.diameter)
        share = self.derating
        derated = table.scaled(share, f"{share:.0%} of it for the depth" if share < 1 else "")
        return ChipLoad(derated.low, derated.high * self.thinning, derated.label)

    @property
    def least_chip(self) -> float:
        """Chip thickness below which the tooth rubs, mm."""
        if self.kind == "drill" or self.tool.kind in FORM_KINDS:
            return RUB * self.load.low
        return least_chip(self.material.name, self.tool.diameter)

    def thickness(self, chip: float) -> float:
        """The thickest part of the chip, mm, at this advance a tooth."""
        return chip if self.kind in FULL_KINDS else max_chip(chip, self.engaged, self.rim)

    @property
    def section(self) -> float:
        """mm2 that goes for each mm of the centre's way (a drill's: down); an edge's is what its level takes."""
        tool = self.tool
        if self.kind == "edge":
            return self.depth * self.width
        if self.kind == "drill":
            return pi * tool.cut_diameter**2 / 4
        if self.kind == "bore":
            wall, core = self.width / 2, max(0.0, self.width / 2 - tool.cut_diameter)
            return self.depth * (wall**2 - core**2) / (2 * (wall - tool.radius))
        return self.depth * self.engaged / (2 if tool.kind == "v-bit" else 1)

    @property
    def force_per_chip(self) -> float:
        """Mean tangential force over the advance a tooth, N/mm: power over rim speed; the rpm cancel."""
        per_turn = self.section * self.wall_factor * self.tool.flutes
        return per_turn * self.material.cutting_force / (pi * self.rim)

    def removal_rate(self, feed: float) -> float:
        """mm3/s at the centre's feed."""
        return self.section * feed / 60

    def centre_feed(self, rpm: float, chip: float) -> float:
        """The centre's feed for an advance a tooth along the wall."""
        return rpm * self.tool.flutes * chip * self.wall_factor

    def bend(self, force: float) -> float:
        """mm at the tip; a drill is pushed along its axis and is not reckoned with."""
        tool = self.tool
        if self.kind == "drill":
            return 0.0
        stick_out, shank = tool.stick_out, tool.shank_diameter
        if tool.undercuts:  # its neck gives way, which has no flutes; one of no known length is as long as the tool
            neck = tool.cutting_length + (stick_out if tool.neck_length is None else tool.neck_length)
            solid = 2 * tool.neck_radius / FLUTED
            return tool_deflection(force, diameter=solid, fluted=neck, stick_out=stick_out, shank_diameter=shank)
        return tool_deflection(
            force, diameter=tool.diameter, fluted=tool.cutting_length, stick_out=stick_out, shank_diameter=shank
        )

    @property
    def bend_max(self) -> float:
        """mm that the tip may give way."""
        share = FINISH_DEFLECTION if self.kind == "finish" else 1.0
        return self.machine.cutting.deflection_max * share

    @property
    def feed_caps(self) -> tuple[tuple[float, str], ...]:
        """Every ceiling on the centre's feed, mm/min, with its sentence."""
        motion = self.machine.motion
        if self.kind == "drill":
            return ((motion.feed_z_max, f"{motion.feed_z_max:g} mm/min is the machine's highest Z feed"),)
        flat = (motion.feed_xy_max, f"{motion.feed_xy_max:g} mm/min is the machine's highest XY feed")
        if self.kind != "bore":
            return (flat,)
        radius = self.width / 2 - self.tool.radius
        turn = 60 * sqrt(motion.acceleration_xy * radius)
        helix = 2 * pi * radius
        climb = motion.feed_z_max / sin(atan2(self.depth, helix))
        return (
            flat,
            (turn, f"{turn:.0f} mm/min is as fast as the machine turns a circle of radius {radius:.2f} mm"),
            (climb, f"{climb:.0f} mm/min brings the helix down at the machine's highest Z feed"),
        )
