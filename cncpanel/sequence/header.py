"""The comments at a program's head: what an operator checks before pressing start."""

from cncpanel.machine.tool import Tool
from cncpanel.sequence.program import Comment
from cncpanel.sequence.setting import Setting
from cncpanel.sequence.side import side_lines
from cncpanel.sequence.wording import control_words, plain_name, said, said_form, said_plainly, said_tool


def header(setting: Setting, tools: tuple[Tool, ...], *, run: int, of: int) -> tuple[Comment, ...]:
    """Job, sheet, run, units, stock, zeros and tools."""
    lines = (
        *_order(setting),
        f"{_sheet(setting)}, RUN {run} OF {of}",
        *side_lines(setting),
        *_place(setting),
        *(line for tool in tools for line in _tool_lines(tool, setting)),
    )
    return tuple(map(Comment, lines))


def _tool_lines(tool: Tool, setting: Setting) -> tuple[str, ...]:
    return f"TOOL {', '.join(said_tool(tool, setting.machine))}", *said_form(tool, setting.machine)


def trace_header(setting: Setting) -> tuple[Comment, ...]:
    """The same for the program that only shows where the sheet's cuts lie."""
    lines = (
        *_order(setting),
        f"{_sheet(setting)}, FRAME TRACE",
        *side_lines(setting),
        "THE TOOL'S CENTRE GOES ROUND ALL CUTS OF THIS SHEET",
        "SPINDLE OFF, NOTHING IS CUT",
        f"HEIGHT Z {said(setting.clearance, setting.machine)}, ABOVE SHEET AND CLAMPS",
        *_place(setting),
    )
    return tuple(map(Comment, lines))


def dry_run_header(setting: Setting, rise: float) -> tuple[Comment, ...]:
    """The same for the program that goes every way above the sheet."""
    lines = (
        *_order(setting),
        f"{_sheet(setting)}, DRY RUN",
        *side_lines(setting),
        f"EVERY CUT OF THIS SHEET IN ITS ORDER, LIFTED BY {said(rise, setting.machine)}",
        "SPINDLE OFF, NOTHING IS CUT, ONE TOOL FOR ALL",
        f"NOWHERE BELOW Z {said(setting.clearance, setting.machine)}, ABOVE SHEET AND CLAMPS",
        "AS FAST AS THE MACHINE FEEDS: TURN THE OVERRIDE DOWN TO FOLLOW",
        *_place(setting),
    )
    return tuple(map(Comment, lines))


def _order(setting: Setting) -> tuple[str, ...]:
    job = setting.job
    date = f", {plain_name(job.date)}" if job.date else ""
    revision = f", REVISION {plain_name(job.revision)}" if job.revision else ""
    return f"JOB {plain_name(job.name)}{revision}{date}", f"MACHINE {plain_name(setting.machine.name)}"


def _sheet(setting: Setting) -> str:
    count = f" OF {setting.sheets}" if setting.sheets else ""
    return f"SHEET {setting.sheet.number}{count}"


def _place(setting: Setting) -> tuple[str, ...]:
    sheet, machine, stock = setting.sheet, setting.machine, setting.sheet.stock
    unit = "INCH" if machine.dialect.unit == "inch" else "MM"
    measured = "AS MEASURED" if stock.measured else "NOT MEASURED"
    lies = "Y" if machine.sheet_turned else "X"
    size = f"{said_plainly(sheet.length, machine)} X {said(sheet.width, machine)}"
    return (
        f"UNITS {unit}, {', '.join(map(str.upper, control_words(machine)))}",
        f"STOCK {plain_name(stock.name)}, {size}, THICKNESS {said(stock.thickest, machine)} {measured}",
        f"X0 Y0 THE SHEET'S CORNER NEAREST THE MACHINE'S ZERO, LONG SIDE ALONG {lies}",
        z_zero(setting),
    )


def z_zero(setting: Setting) -> str:
    """Where Z is set, in words: `Z0 ...`."""
    if setting.is_zeroed_at_table:
        return "Z0 THE SPOILBOARD'S SURFACE, SET BESIDE THE SHEET"
    if setting.top:
        side = "OVER" if setting.top < 0 else "UNDER"
        return f"Z0 {said(abs(setting.top), setting.machine)} {side} THE SHEET'S TOP"
    if setting.spot is None:
        return "Z0 THE SHEET'S TOP, SET BEFORE RUN 1 AND KEPT, NO SPOT STAYS UNCUT"
    x, y = (said_plainly(value, setting.machine) for value in setting.spot)
    return f"Z0 THE SHEET'S TOP, SET AT X{x} Y{y} WHERE NO PROGRAM CUTS"
