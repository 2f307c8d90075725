"""One sheet's whole set: its runs, its programs as values and as text, and what the witness says of them."""

from dataclasses import dataclass, replace

from cncpanel import wanted
from cncpanel.errors import Gathering
from cncpanel.geometry.point import Point
from cncpanel.job.read import ReadJob
from cncpanel.layout.layout import Sheet
from cncpanel.machine.model import Machine
from cncpanel.make.cutting_limits import cutting_limits
from cncpanel.make.sheet_given import circumstances_of
from cncpanel.operation.operation import PanelPlan
from cncpanel.output.rs274 import program_text
from cncpanel.passes.run import SheetRuns
from cncpanel.passes.sheet import sheet_runs
from cncpanel.proof.circumstances import Circumstances
from cncpanel.proof.prove import prove
from cncpanel.proof.report import Report
from cncpanel.proof.target import Target
from cncpanel.sequence.estimate import TimeEstimate, estimate
from cncpanel.sequence.program import Program
from cncpanel.sequence.sheet import sheet_programs, touch_off
from cncpanel.sequence.trace import frame_trace


@dataclass(frozen=True, slots=True, kw_only=True)
class Written:
    """A program as value and as the text that was proven, with its time."""

    program: Program
    text: str
    time: TimeEstimate


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetSet:
    """Everything of one sheet; `trace` is the frame-trace program, `target` what the witness compared with."""

    sheet: Sheet
    runs: SheetRuns
    programs: tuple[Written, ...]
    trace: Written | None
    spot: Point | None
    target: Target
    report: Report

    @property
    def written(self) -> tuple[Written, ...]:
        """Every program, the frame trace first."""
        return (self.trace, *self.programs) if self.trace else self.programs


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
    programs = sheet_programs(sheet, runs, machine, read.job.job, gathering, sheets=sheets)
    trace = frame_trace(sheet, runs, machine, read.job.job, sheets=sheets)
    written = tuple(_written(program, machine) for program in programs)
    target = target_of(sheet, runs, plans, machine, read)
    shown = _written(trace, machine) if trace else None
    return SheetSet(
        sheet=sheet,
        runs=runs,
        programs=written,
        trace=shown,
        spot=touch_off(sheet, runs, machine, read.job.job),
        target=target,
        report=_witnessed(written, shown, machine, target, _circumstances(sheet, runs, machine)),
    )


def target_of(sheet: Sheet, runs: SheetRuns, plans: tuple[PanelPlan, ...], machine: Machine, read: ReadJob) -> Target:
    """What the sheet's programs are to make."""
    spots = tuple(spot for plan in plans for spot in plan.spots)
    return wanted.target(read, sheet, machine, runs.tabs, spots)


def _circumstances(sheet: Sheet, runs: SheetRuns, machine: Machine) -> Circumstances:
    """What stands and lies on the table, and what the material allows."""
    limits = cutting_limits(sheet.stock.material, machine, runs.cuts)
    return replace(circumstances_of(sheet.stock, machine), limits=limits)


def _witnessed(
    programs: tuple[Written, ...],
    trace: Written | None,
    machine: Machine,
    target: Target,
    circumstances: Circumstances,
) -> Report:
    """The witness on the sheet's programs, and on the frame trace, which must leave the sheet untouched."""
    texts = [(w.program.name, w.text) for w in programs]
    report = prove(texts, machine, target, circumstances=circumstances)
    on_the_table = replace(circumstances, limits=None, used=(), flaws=())
    if trace is None:
        return report
    shown = prove([(trace.program.name, trace.text)], machine, target.untouched(), circumstances=on_the_table)
    return report.and_also(shown)


def _written(program: Program, machine: Machine) -> Written:
    return Written(program=program, text=program_text(program, machine), time=estimate(program, machine))
