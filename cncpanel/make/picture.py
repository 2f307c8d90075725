"""The proof of a sheet's programs as a picture: as read and timed, the wanted shape over it."""

from collections.abc import Sequence
from dataclasses import dataclass

from cncpanel.drawing.proof_picture import DepthMap, ProofPicture, SheetPicture
from cncpanel.drawing.proof_sheet import Board, Run, sheet_picture
from cncpanel.make.flow import Made
from cncpanel.make.sheet_set import SheetSet
from cncpanel.proof.clock import Duration
from cncpanel.proof.program import ReadProgram
from cncpanel.proof.report import Report
from cncpanel.proof.setup import Setup
from cncpanel.proof.sheet_ground import as_it_lies
from cncpanel.proof.target import Target


@dataclass(frozen=True, slots=True, kw_only=True)
class Shown:
    """What one sheet's picture is drawn from; `board` and `target` in program coordinates.

    A map that is not given is cut for the picture alone.
    """

    name: str
    programs: Sequence[tuple[ReadProgram, Duration]]
    report: Report
    setup: Setup
    board: Target
    target: Target | None
    depth: DepthMap | None
    excess: DepthMap | None


def picture_of(shown: Shown) -> SheetPicture:
    """The picture of programs in their order."""
    setup = shown.setup
    left, low, right, high = shown.board.sheet.bounds
    size = right - left, high - low
    board = Board(size=size, thickness=setup.thickness, top=setup.top, corner=(left, low))
    runs = [
        Run(name=one.name, text=one.text, reading=one.reading, seconds=tuple(time.moves_s.tolist()))
        for one, time in shown.programs
    ]
    return sheet_picture(
        shown.name,
        runs,
        shown.report,
        board,
        setup.machine,
        target=shown.target,
        depth=shown.depth,
        excess=shown.excess,
    )


def job_picture(made: Made) -> ProofPicture:
    """Every sheet of a job; a job whose programs failed is shown too, for what is wrong to be seen."""
    return ProofPicture(
        made.read.job.job.name, tuple(_sheet(made, one) for sheet in made.sheets for one in sheet.set_ups)
    )


def _sheet(made: Made, made_sheet: SheetSet) -> SheetPicture:
    setup = Setup(made.machine, made_sheet.sheet.stock.thickest)
    target = as_it_lies(made_sheet.target, setup)
    return picture_of(
        Shown(
            name=made_sheet.sheet.title,
            programs=[(written.read, written.time) for written in (made_sheet.trace, *made_sheet.programs) if written],
            report=made_sheet.report,
            setup=setup,
            board=target,
            target=target,
            depth=made_sheet.depth,
            excess=made_sheet.excess,
        )
    )
