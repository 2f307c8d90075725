"""The proof of a sheet's programs as a picture: read again for it, timed with look-ahead, wanted shape over it."""

from collections.abc import Sequence

from cncpanel.drawing.proof_picture import ProofPicture, SheetPicture
from cncpanel.drawing.proof_sheet import Board, Run, sheet_picture
from cncpanel.machine.model import Machine
from cncpanel.make.flow import Made
from cncpanel.make.sheet_set import SheetSet
from cncpanel.proof.clock import duration
from cncpanel.proof.reader import read
from cncpanel.proof.report import Report
from cncpanel.proof.setup import Setup
from cncpanel.proof.sheet_ground import as_it_lies
from cncpanel.proof.target import Target


def picture_of(
    name: str,
    programs: Sequence[tuple[str, str]],
    report: Report,
    machine: Machine,
    setup: Setup,
    board: Target,
    target: Target | None,
) -> SheetPicture:
    """The picture of programs (name, text) in their order; `board` and `target` in program coordinates."""
    runs = [_run(program, text, machine, setup) for program, text in programs]
    left, low, right, high = board.sheet.bounds
    size = Board(size=(right - left, high - low), thickness=setup.thickness, top=setup.top)
    return sheet_picture(name, runs, report, size, machine, target=target)


def _run(name: str, text: str, machine: Machine, setup: Setup) -> Run:
    reading = read(text, setup.control)
    seconds = tuple(float(second) for second in duration(reading, machine).moves_s)
    return Run(name=name, text=text, reading=reading, seconds=seconds)


def job_picture(made: Made) -> ProofPicture:
    """Every sheet of a job; a job whose programs failed is shown too, for what is wrong to be seen."""
    return ProofPicture(made.read.job.job.name, tuple(_sheet(made, sheet) for sheet in made.sheets))


def _sheet(made: Made, made_sheet: SheetSet) -> SheetPicture:
    sheet, machine = made_sheet.sheet, made.machine
    setup = Setup(machine, sheet.stock.thickest)
    target = as_it_lies(made_sheet.target, setup)
    programs = [(written.program.name, written.text) for written in made_sheet.written]
    return picture_of(f"sheet {sheet.number}", programs, made_sheet.report, machine, setup, target, target)
