"""Everything between the cuts: a safe start, tools, spindle on and off, waiting for a person, the end.

Whatever waits for a person first retracts and parks; whatever follows a wait first lifts again, since the
person may have moved the tool.
"""

from cncpanel.machine.tool import Tool
from cncpanel.sequence.header import z_zero
from cncpanel.sequence.program import (
    Block,
    Dwell,
    End,
    LiftHome,
    Preamble,
    Rapid,
    SpindleOff,
    SpindleOn,
    Stop,
    ToolChange,
)
from cncpanel.sequence.setting import Setting
from cncpanel.sequence.side import turn_lines
from cncpanel.sequence.wording import said_tool

ABOVE_CLAMPS = "RAISE THE TOOL ABOVE ALL CLAMPS BEFORE YOU GO ON"


def lifted(setting: Setting) -> tuple[Block, ...]:
    """Z alone to the highest place that the machine knows."""
    return (LiftHome(),) if setting.machine.motion.homes else (Rapid(z=setting.clearance),)


def parked(setting: Setting) -> tuple[Block, ...]:
    """Up, then to where a person can reach."""
    return (*lifted(setting), _to_park(setting))


def _to_park(setting: Setting) -> Rapid:
    return Rapid(x=setting.park.x, y=setting.park.y)


def waited(setting: Setting, *lines: str, fits: int | None = None) -> tuple[Block, ...]:
    """Up, parked, a stop with these lines, up again."""
    return (*parked(setting), Stop((*lines, *_warning(setting)), fits), *lifted(setting))


def _warning(setting: Setting) -> tuple[str, ...]:
    return () if setting.machine.motion.homes else (ABOVE_CLAMPS,)


def started(setting: Setting, tool: Tool, *, first: bool = False) -> tuple[Block, ...]:
    """The modal state and the tool up, before anything else moves; then the first tool.

    The `first` program after a turn stops for the sheet to be seen to lie turned.
    """
    turned = turn_lines(setting) if first else ()
    if setting.machine.dialect.tool_change == "changer":
        return (Preamble(), *_raised(setting, turned), ToolChange(tool.number))
    fitted = (*turned, *_fit_lines(setting, tool))
    if not setting.machine.motion.homes:
        stop = Stop((*fitted, ABOVE_CLAMPS), tool.number)
        return (Preamble(), stop, *lifted(setting))
    return (Preamble(), *waited(setting, *fitted, fits=tool.number))


def _raised(setting: Setting, turned: tuple[str, ...]) -> tuple[Block, ...]:
    if setting.machine.motion.homes:
        return waited(setting, *turned) if turned else lifted(setting)
    return (Stop((*turned, ABOVE_CLAMPS)), *lifted(setting))


def _fit_lines(setting: Setting, tool: Tool) -> tuple[str, ...]:
    named, measured = said_tool(tool, setting.machine)
    return f"FIT {named}", measured, f"SET {z_zero(setting)}"


def changed(setting: Setting, tool: Tool) -> tuple[Block, ...]:
    """From one tool to the next inside a program, the spindle standing still."""
    by_hand = setting.machine.spindle.control == "hand"
    if setting.machine.dialect.tool_change == "changer":
        still = waited(setting, *OFF_LINES) if by_hand else (*lifted(setting), *_run_down(setting))
        return (*still, ToolChange(tool.number))
    fitted = _fit_lines(setting, tool)
    if by_hand:
        return waited(setting, *OFF_LINES, *fitted, fits=tool.number)
    stop = Stop((*fitted, *_warning(setting)), tool.number)
    return (*lifted(setting), *_run_down(setting), _to_park(setting), stop, *lifted(setting))


def driven(setting: Setting, count: int) -> tuple[Block, ...]:
    """Stand still and wait for the screws to be driven, then up again."""
    screws = "1 SCREW" if count == 1 else f"{count} SCREWS"
    drive = f"DRIVE {screws} INTO THE HOLES JUST MADE", "HEADS STAND IN THE TOOLS' WAY FROM HERE ON"
    if setting.machine.spindle.control == "hand":
        return waited(setting, *OFF_LINES, *drive)
    stop = Stop((*drive, *_warning(setting)))
    return (*lifted(setting), *_run_down(setting), _to_park(setting), stop, *lifted(setting))


OFF_LINES = ("SWITCH THE SPINDLE OFF AND WAIT UNTIL IT STANDS STILL",)


def _run_down(setting: Setting) -> tuple[Block, ...]:
    return (SpindleOff(), *_dwell(setting.machine.spindle.spin_down_s))


def _dwell(seconds: float) -> tuple[Block, ...]:
    return (Dwell(seconds),) if seconds > 0 else ()


def spun_up(setting: Setting, rpm: float) -> tuple[Block, ...]:
    """The spindle at `rpm`: by the program with its dwell, or by a person at a stop."""
    spindle = setting.machine.spindle
    if spindle.control == "program":
        return (SpindleOn(rpm), *_dwell(spindle.spin_up_s))
    return waited(setting, *dial_lines(setting, rpm))


def dial_lines(setting: Setting, rpm: float) -> tuple[str, ...]:
    """What a person sets and switches; the dial's setting is the one nearest to `rpm`."""
    dial = setting.machine.spindle.dial
    speed = f"{rpm:.0f} RPM"
    if dial:
        mark = min(dial, key=lambda name: (abs(dial[name] - rpm), name))
        speed = f"DIAL AT {mark.upper()}, {dial[mark]:.0f} RPM"
    return f"SPINDLE {speed}", "SWITCH THE SPINDLE ON AND WAIT UNTIL IT IS UP TO SPEED"


def ended(setting: Setting) -> tuple[Block, ...]:
    """Up, the spindle off, parked, the end."""
    if setting.machine.spindle.control == "hand":
        return (*parked(setting), Stop(OFF_LINES), End())
    return (*lifted(setting), SpindleOff(), _to_park(setting), End())
