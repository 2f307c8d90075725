"""A machine's limits, habits and dialect, in mm, mm/min, mm/s2, rpm, W, s.

Machine coordinates are the control's own (travel). The work zero is the sheet's corner nearest the
machine's origin, so a program's X runs 0..sheet length when the machine's longer axis is X; when it is Y, the
sheet lies turned a quarter (see `sheet_turned`). Z zero is the sheet's top or the spoilboard's surface.
"""

from typing import Annotated, Literal, Self

from pydantic import BaseModel, ConfigDict, Field, model_validator

from cncpanel.machine import rules
from cncpanel.machine.contradiction import refuse
from cncpanel.machine.figure import Flag, Number, Text, Whole
from cncpanel.machine.tool import Tool

Span = tuple[Number, Number]
LackedWord = Annotated[str, Field(pattern=r"^(G\d{1,2}(\.[1-3])?|M\d{1,2}|[A-Z]|#|\[|/)$")]


class _Frozen(BaseModel):
    model_config = ConfigDict(frozen=True, extra="forbid", allow_inf_nan=False)


class Travel(_Frozen):
    """How far each axis goes, machine coordinates; Z as the tip's height over the spoilboard's surface."""

    x: Span
    y: Span
    z: Span = Field(description="lowest and highest height of a racked tool's tip over the spoilboard's surface")

    @model_validator(mode="after")
    def _agrees(self) -> Self:
        refuse(rules.travel_rules(self))
        return self


class Zone(_Frozen):
    """A part of a vacuum table that is opened and shut by itself: a rectangle in machine coordinates."""

    x: Span
    y: Span
    pressure: Number | None = Field(None, gt=0, le=101.3, description="kPa under the sheet; none: the table's")


class Table(_Frozen):
    """What the sheet lies on."""

    zero_x: Number = Field(description="machine X of the work zero (the sheet's corner)")
    zero_y: Number = Field(description="machine Y of the work zero")
    spoilboard: Number = Field(gt=0, description="thickness of the sacrificial board; below it is the table")
    flatness: Number = Field(ge=0, description="how far the spoilboard's surface is out of flat, mm")
    z_zero: Literal["top", "table"] = Field(description="where Z zero is set: sheet's top or spoilboard's surface")
    z_error: Number = Field(ge=0, description="how far a touch-off is out")
    thickness_spread: Number = Field(ge=0, description="how much the stock's thickness varies beyond its readings")
    cut_through: Number = Field(ge=0, description="how far below the sheet's underside a through cut goes")
    hold: Literal["clamps", "screws", "vacuum"]
    clamp_height: Number = Field(ge=0, description="tallest clamp or screw head over the sheet's top; 0 for vacuum")
    pressure: Number = Field(
        67.7, gt=0, le=101.3, description="vacuum: kPa under the sheet, by the gauge while it cuts"
    )
    zone: tuple[Zone, ...] = Field((), max_length=64, description="vacuum: none: one, as large as the sheet")

    def top_of(self, height: float | None) -> float:
        """How high a clamp or a screw stands over the sheet, mm: as the job says, else as the clamps of this table."""
        return self.clamp_height if height is None else height

    @property
    def lowered(self) -> float:
        """How much nearer to the table than programmed a tool may go, mm; thickness counts where Z is set on top."""
        return self.z_error + self.flatness + (self.thickness_spread if self.z_zero == "top" else 0.0)

    @model_validator(mode="after")
    def _agrees(self) -> Self:
        refuse(rules.table_rules(self))
        return self


class Spindle(_Frozen):
    """What turns the tool."""

    control: Literal["program", "hand"]
    rpm_min: Number = Field(gt=0)
    rpm_max: Number = Field(gt=0)
    dial: dict[str, Number] = Field(default_factory=dict, description="dial setting -> rpm; hand control only")
    power: Number = Field(gt=0, description="W at the cutter, continuous")
    rpm_rated: Number | None = Field(
        None,
        gt=0,
        description="rpm from which the power is there, below it fades in proportion; none: everywhere",
    )
    spin_up_s: Number = Field(ge=0, le=20, description="dwell from M3 until the first plunge")
    spin_down_s: Number = Field(ge=0, le=20, description="time from M5 until it stands still")

    @property
    def is_fixed(self) -> bool:
        """Whether it turns at one speed only."""
        return self.rpm_min == self.rpm_max

    def power_at(self, rpm: float) -> float:
        """W at the cutter at this speed: the torque stays the same below the rated speed."""
        return self.power * min(1.0, rpm / self.rpm_rated) if self.rpm_rated else self.power

    @model_validator(mode="after")
    def _agrees(self) -> Self:
        refuse(rules.spindle_rules(self))
        return self


class Motion(_Frozen):
    """Feeds, rapids and accelerations."""

    feed_xy_max: Number = Field(ge=10)
    feed_z_max: Number = Field(ge=10)
    rapid_xy: Number = Field(gt=0)
    rapid_z: Number = Field(gt=0)
    acceleration_xy: Number = Field(gt=0)
    acceleration_z: Number = Field(gt=0)
    rapid_path: Literal["straight", "dog-leg"]
    homes: Flag = Field(description="whether the machine knows its own coordinates (G53 may be used)")
    home_z: Number | None = Field(
        None, description="machine Z of the highest safe position, for G53; needed where the machine homes"
    )
    park: tuple[Number, Number] = Field(description="XY from the sheet's corner, where the tool waits for a person")
    tool_change_s: Number = Field(ge=0, description="one change of tool, touch-off included, for the time estimate")

    @property
    def highest_z(self) -> float:
        """Machine Z that G53 goes up to; 0 where nobody goes there."""
        return 0.0 if self.home_z is None else self.home_z

    @model_validator(mode="after")
    def _agrees(self) -> Self:
        refuse(rules.motion_rules(self))
        return self


class Cutting(_Frozen):
    """Shop habits that the machine's stiffness decides."""

    chip_load: Literal["industrial", "light"] = Field(description="which column of the chip-load tables")
    direction: Literal["climb", "conventional"] = Field(
        description="of roughing: climb on stiff machines, conventional where it gives way; then a light finish"
    )
    finish_direction: Literal["climb", "conventional"] = Field(
        "climb", description="of the last pass along walls and edges"
    )
    step_down_max: Number = Field(ge=0.05, le=3, description="deepest step of a full-width cut, in tool diameters")
    finish_allowance: Number = Field(ge=0, le=3, description="left by roughing for the finish pass, mm; 0 for none")
    deflection_max: Number = Field(gt=0, description="mm at the tool's tip")
    ramp_deg: Number = Field(ge=0.5, le=20)
    tab_width: Number = Field(gt=0)
    tab_height: Number = Field(gt=0, description="real height over the sheet's underside at the thinnest reading")
    tab_spacing: Number = Field(gt=0, description="largest distance between tabs along a rim")

    @model_validator(mode="after")
    def _agrees(self) -> Self:
        refuse(rules.cutting_rules(self))
        return self


class Turning(_Frozen):
    """How a sheet that is cut from both faces comes back to its place; all of it common practice, no source."""

    axis: Literal["x", "y"] = Field("x", description="of the sheet's own: its long or its short middle line")
    by: Literal["dowels", "edge"] = "dowels"
    dowel: Number = Field(8.0, gt=0, le=25, description="diameter of the dowels, mm")
    into: Number = Field(6.0, gt=0, description="how far they go into the spoilboard at most, mm")
    error: Number = Field(0.3, ge=0, description="how far off the turned sheet may lie, mm: play of pins, or of stops")


class Dialect(_Frozen):
    """How its control reads a program."""

    unit: Literal["mm", "inch"]
    decimals: Whole = Field(ge=3, le=6)
    arcs: Flag
    line_max: Whole = Field(ge=40, le=256)
    percent_lines: Flag
    work_offset: Literal["G54", "G55", "G56", "G57", "G58", "G59"] | None
    zero_in_g92: Flag = Field(description="whether the operator's zero lives in G92 (then never cleared)")
    path_words: str = Field(pattern=r"^(G61|G61\.1|G64)( P\d+(\.\d+)?)?$|^$", description="as this control reads it")
    path_mode: Literal["exact", "blend"]
    blend_tolerance: Number = Field(0.0, ge=0)
    dwell_unit: Literal["s", "ms"]
    tool_change: Literal["changer", "stop", "file"] = Field(
        description="changer: T M6; stop: pause in one file; file: a program a tool"
    )
    length_offsets: Flag = Field(description="whether G43 H is used after a change (changer with measured tools)")
    end_word: Literal["M2", "M30"]
    lacks: tuple[LackedWord, ...] = Field((), description='what the control does not read: "G81", "M6", "N", "#", "["')

    @model_validator(mode="after")
    def _agrees(self) -> Self:
        refuse(rules.dialect_rules(self))
        return self


class Machine(_Frozen):
    """One machine: everything that the maker and the witness must respect."""

    name: Text = Field(pattern=r"^[a-z0-9][a-z0-9-]{0,40}$")
    title: Text = Field(min_length=1, max_length=100)
    travel: Travel
    table: Table
    spindle: Spindle
    motion: Motion
    cutting: Cutting
    dialect: Dialect
    turning: Turning = Turning()
    tool: tuple[Tool, ...] = Field(min_length=1)

    @property
    def sheet_turned(self) -> bool:
        """Whether the sheet's long side lies along machine Y: program (x, y) = (sheet width - y, x)."""
        return self.travel.y[1] - self.travel.y[0] > self.travel.x[1] - self.travel.x[0]

    @model_validator(mode="after")
    def _agrees(self) -> Self:
        refuse(rules.machine_rules(self))
        return self
