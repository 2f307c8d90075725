"""What a program says of the set-up it belongs to, where a sheet is cut from both faces."""

from cncpanel.sequence.setting import Setting
from cncpanel.sequence.wording import said, said_plainly

ABOUT = {"x": "LONG MIDDLE LINE", "y": "SHORT MIDDLE LINE"}


def side_lines(setting: Setting) -> tuple[str, ...]:
    """For the head; none where there is one set-up."""
    side = setting.sheet.side
    if side is None:
        return ()
    if side.number == 1:
        after = "OUTLINES ARE CUT AFTER THE SHEET IS TURNED OVER"
        return "SET-UP 1 OF 2, NOTHING COMES FREE IN IT", after, *_registration(setting)
    return "SET-UP 2 OF 2", *turn_lines(setting), *_registration(setting)


def turn_lines(setting: Setting) -> tuple[str, ...]:
    """How the sheet lies now; none before the turn, or where there is none."""
    side = setting.sheet.side
    if side is None or side.number == 1:
        return ()
    back = "ON ITS DOWELS" if side.by == "dowels" else "AGAINST THE SAME STOPS"
    along = _machine_axis(setting)
    return (
        f"SHEET TURNED OVER ABOUT ITS {ABOUT[side.axis]}, MACHINE {along}",
        f"SHEET {back}, X AND Y ZERO NOT MOVED, Z ZERO SET AGAIN",
    )


def _machine_axis(setting: Setting) -> str:
    side = setting.sheet.side
    assert side is not None, "asked only where there is one"
    return "X" if (side.axis == "x") != setting.machine.sheet_turned else "Y"


def _registration(setting: Setting) -> tuple[str, ...]:
    side, machine, sheet = setting.sheet.side, setting.machine, setting.sheet
    assert side is not None, "asked only where there is one"
    if side.by == "edge":
        across = sheet.width if side.axis == "x" else sheet.length
        name = "WIDTH" if side.axis == "x" else "LENGTH"
        return (
            "STOPS AT THE SHEET'S TWO EDGES THAT MEET AT X0 Y0",
            f"SHEET {name} MUST MEASURE {said(across, machine)}",
        )
    places = [(sheet.width - p.y, p.x) if machine.sheet_turned else (p.x, p.y) for p in side.dowels]
    told = [f"DOWEL AT X{said_plainly(x, machine)} Y{said_plainly(y, machine)}" for x, y in places]
    return f"DOWELS {said(side.dowel, machine)} THROUGH SHEET AND SPOILBOARD", *told
