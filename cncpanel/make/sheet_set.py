"""One sheet's whole set: its runs, its programs as values and as text, and what the witness says of them."""

from collections.abc import Iterable
from dataclasses import dataclass, replace

from cncpanel import wanted
from cncpanel.drawing.proof_picture import DepthMap
from cncpanel.errors import Gathering
from cncpanel.geometry.point import Point
from cncpanel.job.read import ReadJob
from cncpanel.layout.layout import Sheet
from cncpanel.machine.model import Machine
from cncpanel.make.cutting_limits import cutting_limits
from cncpanel.make.sheet_given import UNNAMED_CLAMPS, circumstances_of
from cncpanel.make.shown_map import depth_map, excess_map
from cncpanel.operation.operation import PanelPlan
from cncpanel.output.rs274 import program_text
from cncpanel.passes.run import SheetRuns
from cncpanel.passes.screws import with_screws
from cncpanel.passes.sheet import sheet_runs
from cncpanel.proof.circumstances import Circumstances
from cncpanel.proof.clock import Duration, duration
from cncpanel.proof.load_spread import LoadSpread
from cncpanel.proof.program import ReadProgram, read_programs
from cncpanel.proof.prove import Witnessed, witnessed
from cncpanel.proof.report import Report
from cncpanel.proof.setup import Setup
from cncpanel.proof.target import Target
from cncpanel.sequence.dry_run import dry_run
from cncpanel.sequence.program import Program
from cncpanel.sequence.sheet import sheet_programs, touch_off
from cncpanel.sequence.trace import frame_trace


@dataclass(frozen=True, slots=True, kw_only=True)
class Written:
    """A program as value, and its text as the witness read it, with the time that takes."""

    program: Program
    read: ReadProgram
    time: Duration

    @property
    def text(self) -> str:
        """What stands in its file."""
        return self.read.text


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetSet:
    """Everything of one sheet; `target` is what the witness compared with.

    `trace` goes round all cuts, `dry` over every one of them; both above the sheet.

    `depth` is what the witness found cut, `excess` what of it is too deep (+) or left (-); both as coarse as is shown.
    """

    sheet: Sheet
    runs: SheetRuns
    programs: tuple[Written, ...]
    trace: Written | None
    dry: Written | None
    spot: Point | None
    target: Target
    report: Report
    depth: DepthMap | None
    excess: DepthMap | None
    loads: tuple[LoadSpread, ...] = ()
    before: "SheetSet | None" = None
    """The set-up before the sheet is turned over, where it is cut from both faces."""

    @property
    def written(self) -> tuple[Written, ...]:
        """Every program in the order they are run, the frame trace of a set-up first."""
        return (*self.before.written, *self.own) if self.before else self.own

    @property
    def own(self) -> tuple[Written, ...]:
        """Those of this set-up alone."""
        return tuple(written for written in (self.trace, self.dry, *self.programs) if written)

    @property
    def set_ups(self) -> "tuple[SheetSet, ...]":
        """Itself, after the set-up before the turn where there is one."""
        return (self.before, self) if self.before else (self,)


def sheet_set(
    sheet: Sheet,
    sheets: int,
    plans: tuple[PanelPlan, ...],
    machine: Machine,
    read: ReadJob,
    gathering: Gathering,
) -> SheetSet:
    """Make the sheet's programs and have the witness read their very text back."""
    by_panel = {plan.panel.index: plan for plan in plans}
    runs = sheet_runs(sheet, by_panel, machine, read.job.settings, gathering)
    sheet = with_screws(sheet, runs.screws)
    target = target_of(sheet, runs, plans, machine, read)
    return witnessed_set(sheet, sheets, runs, target, machine, read, gathering)[0]


def witnessed_set(
    sheet: Sheet,
    sheets: int,
    runs: SheetRuns,
    target: Target,
    machine: Machine,
    read: ReadJob,
    gathering: Gathering,
) -> tuple[SheetSet, Witnessed]:
    """The programs of runs, and what the witness found."""
    written = written_of(sheet, sheets, runs, machine, read, gathering)
    programs = [one.program for one in written]
    trace = frame_trace(sheet, runs, programs, machine, read.job.job, sheets=sheets)
    setup = Setup(machine, sheet.stock.thickest)
    above = dry_run(sheet, runs, programs, machine, read.job.job, sheets=sheets)
    shown, dry = (_written(program, setup) if program else None for program in (trace, above))
    circumstances = _circumstances(sheet, runs, machine)
    found = witnessed([one.read for one in written], machine, target, circumstances=circumstances)
    made = SheetSet(
        sheet=sheet,
        runs=runs,
        programs=written,
        trace=shown,
        dry=dry,
        spot=touch_off(sheet, runs, machine, read.job.job),
        target=target,
        report=_and_above(found.report, (shown, dry), machine, target, circumstances),
        depth=depth_map(found),
        excess=excess_map(found),
        loads=found.loads,
    )
    return made, found


def cut(
    sheet: Sheet,
    sheets: int,
    plans: tuple[PanelPlan, ...],
    machine: Machine,
    read: ReadJob,
    gathering: Gathering,
) -> tuple[SheetRuns, tuple[Written, ...]]:
    """The sheet's runs and its programs with their times, not proven yet."""
    by_panel = {plan.panel.index: plan for plan in plans}
    runs = sheet_runs(sheet, by_panel, machine, read.job.settings, gathering)
    return runs, written_of(with_screws(sheet, runs.screws), sheets, runs, machine, read, gathering)


def written_of(
    sheet: Sheet, sheets: int, runs: SheetRuns, machine: Machine, read: ReadJob, gathering: Gathering
) -> tuple[Written, ...]:
    """The programs of runs with their times, not proven yet."""
    programs = sheet_programs(sheet, runs, machine, read.job.job, gathering, sheets=sheets)
    setup = Setup(machine, sheet.stock.thickest)
    return tuple(_written(program, setup) for program in programs)


def target_of(sheet: Sheet, runs: SheetRuns, plans: tuple[PanelPlan, ...], machine: Machine, read: ReadJob) -> Target:
    """What the sheet's programs are to make."""
    spots = tuple(spot for plan in plans for spot in plan.spots)
    return wanted.target(read, sheet, machine, runs.tabs, spots)


def _circumstances(sheet: Sheet, runs: SheetRuns, machine: Machine) -> Circumstances:
    """What stands and lies on the table, and what the material allows."""
    limits = cutting_limits(sheet.stock.material, machine, runs.cuts)
    known = circumstances_of(sheet.stock, machine)
    unnamed = machine.table.hold != "vacuum" and not known.holding
    return replace(known, limits=limits, not_judged=(UNNAMED_CLAMPS,) if unnamed else ())


def _and_above(
    report: Report,
    above: Iterable[Written | None],
    machine: Machine,
    target: Target,
    circumstances: Circumstances,
) -> Report:
    """Those of the programs too that must leave the sheet untouched."""
    on_the_table = replace(circumstances.screwed_down, limits=None, used=(), flaws=())
    for written in above:
        if written:
            found = witnessed([written.read], machine, target.untouched(), circumstances=on_the_table)
            report = report.and_also(found.report)
    return report


def _written(program: Program, setup: Setup) -> Written:
    (read,) = read_programs([(program.name, program_text(program, setup.machine))], setup)
    return Written(program=program, read=read, time=duration(read.reading, setup.machine))
