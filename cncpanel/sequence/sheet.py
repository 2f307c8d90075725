"""A sheet's runs become its programs: one, or one for each stay of a tool, as the machine changes tools."""

from collections.abc import Sequence
from itertools import zip_longest

from cncpanel.errors import Gathering
from cncpanel.geometry.point import Point
from cncpanel.job.model import JobHead
from cncpanel.layout.layout import Sheet
from cncpanel.machine.model import Machine
from cncpanel.passes.run import Run, SheetRuns
from cncpanel.sequence.attend import changed, driven, ended, spun_up, started
from cncpanel.sequence.envelope import check_envelope
from cncpanel.sequence.frame import programmed_keep_outs, programmed_size
from cncpanel.sequence.header import header
from cncpanel.sequence.order import ordered
from cncpanel.sequence.placed import lead_boxes, placed_runs
from cncpanel.sequence.program import Block, Comment, Cut, Program, Rapid
from cncpanel.sequence.retract import Heights
from cncpanel.sequence.setting import Setting
from cncpanel.sequence.spot import touch_off_spot
from cncpanel.sequence.wording import plain_name, sheet_stem

SKIM = 1.0  # mm over the sheet's top: rapids go no lower; from here down at the machine's Z feed

Group = tuple[Run, ...]


def sheet_programs(
    sheet: Sheet,
    runs: SheetRuns,
    machine: Machine,
    job: JobHead,
    gathering: Gathering,
    *,
    sheets: int | None = None,
) -> tuple[Program, ...]:
    """The programs of one sheet in the order they are run; none for a sheet without runs.

    `sheets` is how many the job has, for the header. What the machine does not reach is gathered as Problems.
    """
    placed = placed_runs(sheet, runs, machine)
    check_envelope(sheet, placed, machine, gathering)
    setting = setting_of(sheet, placed, machine, job, sheets=sheets)
    groups = ordered(placed, Point(0.0, 0.0))
    files = [(group,) for group in groups] if machine.dialect.tool_change == "file" else [groups]
    heights = Heights(setting, placed, runs.screws)
    return tuple(
        _program(setting, file, number, len(files), heights) for number, file in enumerate(files, start=1) if file
    )


def setting_of(sheet: Sheet, placed: Sequence[Run], machine: Machine, job: JobHead, *, sheets: int | None) -> Setting:
    """What the sheet's programs share; `placed` are its runs in program coordinates."""
    keep_outs = [*programmed_keep_outs(sheet, machine), *lead_boxes(placed)]
    spot = touch_off_spot(placed, programmed_size(sheet, machine), keep_outs) if machine.table.z_zero == "top" else None
    return Setting(sheet=sheet, machine=machine, job=job, sheets=sheets, spot=spot)


def touch_off(sheet: Sheet, runs: SheetRuns, machine: Machine, job: JobHead) -> Point | None:
    """Where the operator sets Z, in the sheet's own frame; None where Z zero is the table or all is cut."""
    placed = placed_runs(sheet, runs, machine)
    spot = setting_of(sheet, placed, machine, job, sheets=None).spot
    return Point(spot.y, sheet.width - spot.x) if spot and machine.sheet_turned else spot


def _program(setting: Setting, groups: Sequence[Group], run: int, of: int, heights: Heights) -> Program:
    tools = tuple(dict.fromkeys(group[0].tool for group in groups))
    blocks: list[Block] = [*header(setting, tools, run=run, of=of)]
    for index, group in enumerate(groups):
        tool = group[0].tool
        blocks += changed(setting, tool) if index else started(setting, tool, first=run == 1)
        blocks += _cut_group(setting, group, heights)
    blocks += ended(setting)
    tail = f"-t{tools[0].number}" if setting.machine.dialect.tool_change == "file" else ""
    return Program(
        name=f"{sheet_stem(setting.job.name, setting.sheet)}-run{run}of{of}{tail}",
        sheet=setting.sheet.number,
        run=run,
        of=of,
        tools=tools,
        blocks=tuple(blocks),
    )


def _cut_group(setting: Setting, group: Group, heights: Heights) -> list[Block]:
    blocks: list[Block] = []
    rpm, about, screws = 0.0, "", sum(run.kind == "screw" for run in group)
    at = setting.clearance
    for number, (run, following) in enumerate(zip_longest(group, group[1:]), start=1):
        if run.rpm != rpm:
            blocks += spun_up(setting, run.rpm)
        if _title(run) != about:
            blocks.append(Comment(_title(run)))
        rpm, about = run.rpm, _title(run)
        blocks += _cut(setting, run, at)
        at = setting.clearance if number == screws else heights.after(run, following)
        blocks.append(Rapid(z=at))
        if number == screws:
            blocks += driven(setting, screws)
            rpm = 0.0
    return blocks


def _title(run: Run) -> str:
    feature = plain_name(run.feature) if run.feature else run.kind.upper()
    return f"PART {plain_name(run.part)}, {feature}, T{run.tool.number}"


def _cut(setting: Setting, run: Run, at: float) -> list[Block]:
    """Over the start at the height `at`, down, the cuts."""
    skim = setting.top + SKIM
    down = max(run.approach, skim)
    blocks: list[Block] = [Rapid(x=run.start.x, y=run.start.y), Rapid(z=at), Rapid(z=down)]
    if run.approach < down:
        feed = setting.machine.motion.feed_z_max
        blocks.append(Cut(x=run.start.x, y=run.start.y, z=run.approach, feed=feed))
    return [*blocks, *(Cut(x=s.x, y=s.y, z=s.z, feed=s.feed, bulge=s.bulge) for s in run.steps)]
