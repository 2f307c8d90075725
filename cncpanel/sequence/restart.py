"""The beginning of a program that takes up another one: what a person must do first, and the way to the cut."""

from dataclasses import dataclass

from cncpanel.geometry.point import Point
from cncpanel.machine.tool import Tool
from cncpanel.sequence.attend import ABOVE_CLAMPS, ended, lifted, parked, spun_up
from cncpanel.sequence.header import z_zero
from cncpanel.sequence.program import Block, Comment, Cut, Preamble, Rapid, Stop, ToolChange
from cncpanel.sequence.setting import Setting
from cncpanel.sequence.sheet import SKIM
from cncpanel.sequence.wording import plain_name, said, said_plainly, said_tool


@dataclass(frozen=True, slots=True, kw_only=True)
class TakenUp:
    """A program taken up: the file's line that broke the bit, the first line run again, and how the tool gets there.

    It comes down over `at` to `z`, at `feed`, and goes along `lead`.
    """

    program: str
    asked_line: int
    first_line: int
    tool: Tool
    rpm: float
    at: Point
    z: float
    feed: float
    lead: tuple[Cut, ...]


def restart_blocks(setting: Setting, taken: TakenUp) -> tuple[Block, ...]:
    """From the first word to where the old program's line goes on."""
    return (
        Preamble(),
        *_confirmed(setting, taken),
        *_fitted(setting, taken.tool),
        *spun_up(setting, taken.rpm),
        *_down(setting, taken),
    )


def restart_header(taken: TakenUp) -> tuple[Comment, ...]:
    """What stands over the old program's head."""
    name = plain_name(taken.program)
    return (
        Comment(f"RESTART OF {name} AFTER ITS LINE {taken.asked_line}"),
        Comment(f"RUNS IT AGAIN FROM ITS LINE {taken.first_line}"),
    )


def broken_off(setting: Setting) -> tuple[Block, ...]:
    """How a program ends that was stopped in the middle, for the proof of what was cut until then."""
    return Rapid(z=setting.clearance), *ended(setting)


def _confirmed(setting: Setting, taken: TakenUp) -> tuple[Block, ...]:
    """The stop at which the bit is fitted, Z set anew, and X, Y and the diameter confirmed."""
    machine = setting.machine
    named, measured = said_tool(taken.tool, machine)
    diameter = said(taken.tool.cut_diameter, machine)
    lines = (
        f"RESTART AFTER LINE {taken.asked_line}",
        f"FIT {named}",
        measured,
        f"MEASURE THE BIT, GO ON ONLY IF ITS DIAMETER IS {diameter}",
        *_xy_lines(setting),
        *_z_lines(setting, taken.tool),
    )
    by_itself = machine.motion.homes
    warning = () if by_itself else (ABOVE_CLAMPS,)
    first = parked(setting) if by_itself else ()
    return (*first, Stop((*lines, *warning), taken.tool.number), *lifted(setting))


def _xy_lines(setting: Setting) -> tuple[str, ...]:
    """Where X and Y zero must still be."""
    unmoved = "AND NOTHING HAS MOVED"
    if setting.corner == Point(0.0, 0.0):
        return (f"CHECK THAT X0 Y0 STILL IS THE SHEET'S CORNER {unmoved}",)
    x, y = (said_plainly(value, setting.machine) for value in setting.corner)
    return f"CHECK THAT THE SHEET'S LOWER LEFT CORNER STILL IS AT X{x} Y{y}", unmoved


def _z_lines(setting: Setting, tool: Tool) -> tuple[str, ...]:
    """Where Z is set anew: nowhere that an operator would have to trust a top which is cut."""
    machine = setting.machine
    offset = (f"AND THE LENGTH OFFSET H{tool.number} OF THE NEW BIT",) if machine.dialect.length_offsets else ()
    if setting.is_zeroed_at_table or (setting.spot is not None and not setting.top):
        return f"SET ANEW {z_zero(setting)}", *offset
    over = said(setting.sheet.stock.thickest - setting.top, machine)
    zero = z_zero(setting) if setting.top else "Z0 THE SHEET'S TOP"
    return f"SET ANEW {zero} WHERE IT IS NOT CUT", f"OR {over} OVER THE SPOILBOARD", *offset


def _fitted(setting: Setting, tool: Tool) -> tuple[Block, ...]:
    return (ToolChange(tool.number), *lifted(setting)) if setting.machine.dialect.tool_change == "changer" else ()


def _down(setting: Setting, taken: TakenUp) -> tuple[Block, ...]:
    """Over the place at clearance, a rapid to just over the sheet, then at a feed into ground already cut."""
    down = max(setting.top + SKIM, taken.z)
    blocks: list[Block] = [Rapid(x=taken.at.x, y=taken.at.y), Rapid(z=setting.clearance), Rapid(z=down)]
    if taken.z < down:
        blocks.append(Cut(x=taken.at.x, y=taken.at.y, z=taken.z, feed=taken.feed))
    return (*blocks, *taken.lead)
