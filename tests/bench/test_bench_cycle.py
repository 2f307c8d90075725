"""How long millrace takes on its own machine: near its lower bound, and sooner done than by the first version's paths.

All times are the witness's clock's, of programs that were read back.
"""

import lzma
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from cncpanel.errors import Gathering
from cncpanel.make.sheet_set import Written, written_of
from cncpanel.passes.run import SheetRuns
from cncpanel.passes.sheet import sheet_runs
from cncpanel.proof.axis_limits import limits_of
from cncpanel.proof.clock import duration
from cncpanel.proof.program import ReadProgram, read_programs
from cncpanel.proof.setup import Setup

FIRST = Path(__file__).parent / "first_paths"
MORE_SHAKES = 200  # tries for the best order that the bound counts with


@pytest.fixture(scope="module")
def cut(millrace: Any) -> tuple[SheetRuns, ...]:
    gathering = Gathering()
    made = tuple(
        sheet_runs(sheet, millrace.by_panel, millrace.machine, millrace.read.job.settings, gathering)
        for sheet in millrace.layout.sheets
    )
    assert gathering.problems == ()
    return made


def programs(millrace: Any, cut: tuple[SheetRuns, ...]) -> list[Written]:
    """The programs of both sheets, read back."""
    gathering, sheets = Gathering(), millrace.layout.sheets
    return [
        written
        for sheet, runs in zip(sheets, cut, strict=True)
        for written in written_of(sheet, len(sheets), runs, millrace.machine, millrace.read, gathering)
    ]


def in_material_s(program: ReadProgram, machine: Any) -> float:
    """Cut length over feed with unlimited acceleration; straight down as it is."""
    moves = program.reading.moves
    limits, real_s = limits_of(moves, machine.motion), duration(program.reading, machine).moves_s
    feed = np.array([move.feed for move in moves]) / 60
    down = np.array([move.is_vertical and move.end[2] < move.start[2] for move in moves])
    cutting = ~limits.rapid
    return float(real_s[cutting & down].sum() + (limits.length / np.maximum(feed, 1e-9))[cutting & ~down].sum())


def test_cycle_time_against_its_lower_bound(
    millrace: Any, cut: tuple[SheetRuns, ...], weighed: Callable[..., float], monkeypatch: pytest.MonkeyPatch
) -> None:
    """The bound: in_material_s, waits and changes as they are, rapids of the best order that is found with patience."""
    ours = programs(millrace, cut)
    monkeypatch.setattr("cncpanel.sequence.shorten.SHAKES", MORE_SHAKES)
    patient = programs(millrace, cut)
    bound = sum(
        in_material_s(one.read, millrace.machine)
        + one.time.dwell_s
        + one.time.change_s
        + min(one.time.rapid_s, best.time.rapid_s)
        for one, best in zip(ours, patient, strict=True)
    )
    weighed("cycle time of millrace / its lower bound", sum(one.time.total_s for one in ours), bound, limit=1.25)


def test_cycle_time_against_the_first_paths(
    millrace: Any, cut: tuple[SheetRuns, ...], weighed: Callable[..., float]
) -> None:
    texts = [(path.stem, lzma.decompress(path.read_bytes()).decode()) for path in sorted(FIRST.glob("*.nc.xz"))]
    assert len(texts) == len(millrace.layout.sheets)
    setup = Setup(millrace.machine, millrace.layout.sheets[0].stock.thickest)
    first = [duration(one.reading, millrace.machine).total_s for one in read_programs(texts, setup)]
    ours = [one.time.total_s for one in programs(millrace, cut)]
    weighed("cycle time of millrace / by the first version's paths", sum(ours), sum(first), limit=0.99)
