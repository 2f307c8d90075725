"""A cutter or drill of the machine's rack."""

from typing import Literal, Self

from pydantic import BaseModel, ConfigDict, Field, model_validator

from cncpanel.machine import tool_rules
from cncpanel.machine.contradiction import refuse
from cncpanel.machine.figure import Flag, Number, Text, Whole

ToolKind = Literal[
    "up-cut",
    "down-cut",
    "straight",
    "compression",
    "ball",
    "core-box",
    "v-bit",
    "drill",
    "round-over",
    "slot-cutter",
]
FLAT_KINDS = ("up-cut", "down-cut", "straight", "compression")


class Tool(BaseModel):
    """One tool. Lengths in mm as measured from the tip."""

    model_config = ConfigDict(frozen=True, extra="forbid", allow_inf_nan=False)

    number: Whole = Field(ge=1, le=99, description="its place in the rack or changer; T word")
    name: Text = Field(min_length=1, max_length=40)
    kind: ToolKind
    diameter: Number = Field(gt=0, le=120, description="nominal cutting diameter")
    measured_diameter: Number | None = Field(None, gt=0, le=120, description="by caliper; rules the path")
    flutes: Whole = Field(ge=1, le=6)
    cutting_length: Number = Field(gt=0, le=150, description="length of the flutes from the tip")
    stick_out: Number = Field(gt=0, le=200, description="from the collet nut to the tip")
    shank_diameter: Number = Field(gt=0, le=25)
    nut_diameter: Number = Field(gt=0, le=120, description="collet nut or holder, at the stick-out")
    plunges: Flag = Field(description="whether its end cuts over the centre, so that it may go straight down")
    rpm_max: Number | None = Field(None, gt=0, description="on the shank; none: the maker states none")
    up_cut_length: Number | None = Field(None, gt=0, description="compression only: the up-cut part at the tip")
    tip_angle_deg: Number | None = Field(None, gt=0, lt=180, description="v-bit and drill: included angle")
    tip_radius: Number | None = Field(
        None, ge=0, description="round-over: half the flat at the small end; v-bit: half its blunt point"
    )
    tip_length: Number = Field(0.0, ge=0, le=50, description="round-over: the straight part under its curve")
    pilot_diameter: Number | None = Field(None, gt=0, le=60, description="round-over: the bearing at its end")
    pilot_length: Number | None = Field(None, gt=0, le=50, description="round-over: the bearing, its screw too")
    profile_radius: Number | None = Field(None, gt=0, description="round-over, core-box: the radius it leaves")
    neck_diameter: Number | None = Field(None, gt=0, description="slot-cutter: what is thinner over its disc")
    neck_length: Number | None = Field(None, gt=0, le=100, description="slot-cutter: from its disc up to its shank")

    @property
    def cut_diameter(self) -> float:
        """The diameter that rules paths: measured where it is known."""
        return self.measured_diameter or self.diameter

    @property
    def radius(self) -> float:
        """Half the ruling diameter."""
        return self.cut_diameter / 2

    @property
    def neck_radius(self) -> float:
        """Half of a slot cutter's neck; 0 of other tools."""
        return (self.neck_diameter or 0.0) / 2

    @property
    def undercuts(self) -> bool:
        """Whether material may stand over its cutting edges."""
        return self.kind == "slot-cutter"

    @property
    def is_flat(self) -> bool:
        """Whether it leaves a flat floor and straight walls."""
        return self.kind in FLAT_KINDS

    @property
    def under_curve(self) -> float:
        """How far a round-over's curve begins over its lowest end: straight part, and bearing where it has one."""
        return self.tip_length + (self.pilot_length or 0.0)

    @property
    def reach(self) -> float:
        """The deepest it may go below the face it enters: flutes and stick-out, whichever is shorter.

        A slot cutter's edges are its disc: its neck follows where there is room.
        """
        return self.stick_out if self.undercuts else min(self.cutting_length, self.stick_out)

    @model_validator(mode="after")
    def _agrees(self) -> Self:
        refuse(tool_rules.tool_rules(self))
        return self
