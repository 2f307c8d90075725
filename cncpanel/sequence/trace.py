"""A program that shows where a sheet's cuts lie before anything is cut."""

from collections.abc import Sequence

from cncpanel.geometry.contour import joined_bounds
from cncpanel.geometry.segment import Bounds
from cncpanel.job.model import JobHead
from cncpanel.layout.layout import Sheet
from cncpanel.machine.model import Machine
from cncpanel.passes.run import SheetRuns
from cncpanel.sequence.attend import parked, started
from cncpanel.sequence.frame import centre_box
from cncpanel.sequence.header import trace_header
from cncpanel.sequence.placed import placed_runs
from cncpanel.sequence.program import Block, Cut, End, Program, Rapid
from cncpanel.sequence.setting import Setting
from cncpanel.sequence.sheet import setting_of
from cncpanel.sequence.wording import sheet_stem

PACE = 3000.0  # mm/min; slow enough to follow by eye: common practice, no source


def frame_trace(
    sheet: Sheet,
    runs: SheetRuns,
    programs: Sequence[Program],
    machine: Machine,
    job: JobHead,
    *,
    sheets: int | None = None,
) -> Program | None:
    """Once round all tool centres at clearance height, spindle off; None for a sheet without programs."""
    if not programs:
        return None
    placed = placed_runs(sheet, runs, machine)
    setting = setting_of(sheet, placed, machine, job, sheets=sheets)
    tool = programs[0].tools[0]
    blocks = (
        *trace_header(setting),
        *started(setting, tool),
        *_round(setting, joined_bounds(map(centre_box, placed))),
        *parked(setting),
        End(),
    )
    return Program(
        name=f"{sheet_stem(job.name, sheet)}-frame",
        purpose="trace",
        sheet=sheet.number,
        run=1,
        of=1,
        tools=(tool,),
        blocks=blocks,
    )


def trace_feed(machine: Machine) -> float:
    """mm/min of the frame trace."""
    return min(PACE, machine.motion.feed_xy_max)


def _round(setting: Setting, box: Bounds) -> tuple[Block, ...]:
    left, low, right, high = box
    feed = trace_feed(setting.machine)
    corners = ((right, low), (right, high), (left, high), (left, low))
    z = setting.clearance
    return (
        Rapid(x=left, y=low),
        Rapid(z=z),
        *(Cut(x=x, y=y, z=z, feed=feed) for x, y in corners),
    )
