"""One sheet's whole set: its runs, its programs as values and as text, and what the witness says of them."""

from dataclasses import dataclass

from cncpanel import wanted
from cncpanel.errors import Gathering
from cncpanel.geometry.point import Point
from cncpanel.job.read import ReadJob
from cncpanel.layout.layout import Sheet
from cncpanel.machine.model import Machine
from cncpanel.operation.operation import PanelPlan
from cncpanel.output.rs274 import program_text
from cncpanel.passes.run import SheetRuns
from cncpanel.passes.sheet import sheet_runs
from cncpanel.proof.prove import prove
from cncpanel.proof.report import Report
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
    """Everything of one sheet; `trace` is the frame-trace program."""

    sheet: Sheet
    runs: SheetRuns
    programs: tuple[Written, ...]
    trace: Written | None
    spot: Point | None
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
    spots = tuple(spot for plan in plans for spot in plan.spots)
    target = wanted.target(read, sheet, machine, runs.tabs, spots)
    report = prove([(w.program.name, w.text) for w in written], machine, target)
    return SheetSet(
        sheet=sheet,
        runs=runs,
        programs=written,
        trace=_written(trace, machine) if trace else None,
        spot=touch_off(sheet, runs, machine, read.job.job),
        report=report,
    )


def _written(program: Program, machine: Machine) -> Written:
    return Written(program=program, text=program_text(program, machine), time=estimate(program, machine))
