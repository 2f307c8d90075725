"""The height map against plain writing of the whole map, and the look-ahead against a plain loop.

A pass is a tool at one level: millrace's busiest sheet has about twenty. The baseline makes the map, as the work does,
and writes all of it once a pass. The compiled loops are given the moves' columns, which a sheet and its finer parts
share; numpy's share of the work includes making them.
"""

import time
from collections.abc import Callable, Mapping, Sequence
from typing import Any

import numpy as np
import pytest

from cncpanel.errors import Gathering
from cncpanel.machine.model import Machine
from cncpanel.output.rs274 import program_text
from cncpanel.passes.sheet import sheet_runs
from cncpanel.proof import fast
from cncpanel.proof.heightmap import HeightMap
from cncpanel.proof.lookahead import joint_speeds
from cncpanel.proof.motion import Move
from cncpanel.proof.reader import read
from cncpanel.proof.removal import MeasuredMap
from cncpanel.proof.setup import Setup
from cncpanel.proof.ways import Ways, ways_of
from cncpanel.sequence.sheet import sheet_programs

THICKNESS = 18.0
Cuts = dict[int, list[Move]]


@pytest.fixture(scope="module")
def sheet(millrace: Any) -> Cuts:
    """The feed moves of millrace's busiest sheet, by tool."""
    sheets = [_cuts(millrace, sheet) for sheet in millrace.layout.sheets]
    busiest = max(sheets, key=lambda cuts: sum(map(len, cuts.values())))
    assert sum(map(len, busiest.values())) > 3000
    return busiest


def _cuts(millrace: Any, sheet: Any) -> Cuts:
    gathering, settings = Gathering(), millrace.read.job.settings
    runs = sheet_runs(sheet, millrace.by_panel, millrace.machine, settings, gathering)
    cuts: Cuts = {}
    for program in sheet_programs(sheet, runs, millrace.machine, millrace.read.job.job, gathering):
        text = program_text(program, millrace.machine)
        for move in read(text, Setup(millrace.machine, THICKNESS).control).moves:
            if move.kind != "rapid":
                cuts.setdefault(move.tool, []).append(move)
    return cuts


def _passes(cuts: Cuts) -> int:
    """Tools at levels."""
    levels = {
        (tool, round(move.end[2], 3))
        for tool, moves in cuts.items()
        for move in moves
        if move.end[2] < 0 and abs(move.start[2] - move.end[2]) < 1e-6
    }
    assert 10 <= len(levels) <= 40
    return len(levels)


def _removed(cuts: Mapping[int, Sequence[Move] | Ways], machine: Machine, compiled: bool = False) -> HeightMap:
    heights = HeightMap((2440.0, 1220.0), THICKNESS, compiled=compiled)
    tools = {tool.number: tool for tool in machine.tool}
    for number, moves in cuts.items():
        heights.remove(moves, tools[number])
    assert heights.volume > 1e6
    return heights


def _written(passes: int) -> None:
    depth = np.zeros((2440, 4880), dtype=np.float32)
    for number in range(passes):
        depth.fill(number)


@pytest.mark.benchmark(timer=time.process_time)
def test_removing_a_sheet(millrace: Any, sheet: Cuts, race: Callable[..., float]) -> None:
    passes = _passes(sheet)
    race(
        f"millrace's sheet removed / map written {passes} times",
        lambda: _removed(sheet, millrace.machine),
        lambda: _written(passes),
        limit=2.0,
        rounds=9,
    )


@pytest.mark.skipif(not fast.is_there(), reason="the extra 'fast' is not installed")
@pytest.mark.benchmark(timer=time.process_time)
def test_removing_a_sheet_compiled(millrace: Any, sheet: Cuts, race: Callable[..., float]) -> None:
    passes = _passes(sheet)
    ways = {tool: ways_of(moves, 0.0) for tool, moves in sheet.items()}
    race(
        f"millrace's sheet removed, compiled, from columns / map written {passes} times",
        lambda: _removed(ways, millrace.machine, compiled=True),
        lambda: _written(passes),
        limit=0.6,
        rounds=9,
    )


@pytest.mark.benchmark(timer=time.process_time)
def test_measuring_every_move(millrace: Any, sheet: Cuts, race: Callable[..., float]) -> None:
    tools = {tool.number: tool for tool in millrace.machine.tool}

    def measured() -> None:
        cells = MeasuredMap(HeightMap((2440.0, 1220.0), THICKNESS))
        for number, moves in sheet.items():
            cells.remove(moves, tools[number])

    race(
        "each move of a sheet measured / the sheet removed",
        measured,
        lambda: _removed(sheet, millrace.machine),
        limit=15,
    )


@pytest.mark.benchmark(timer=time.process_time)
def test_looking_ahead(race: Callable[..., float]) -> None:
    rng = np.random.default_rng(7)
    count = 200_000
    lengths = rng.uniform(0.1, 20.0, count)
    accelerations = rng.uniform(300.0, 900.0, count)
    caps = np.concatenate(([0.0], rng.uniform(0.0, 150.0, count - 1), [0.0]))
    assert joint_speeds(caps, lengths, accelerations) == pytest.approx(
        _one_by_one(caps, lengths, accelerations), abs=1e-4
    )
    race(
        "200,000 moves looked ahead / a plain loop",
        lambda: joint_speeds(caps, lengths, accelerations),
        lambda: _one_by_one(caps, lengths, accelerations),
        limit=1 / 40,
    )


def _one_by_one(caps: Any, lengths: Any, accelerations: Any) -> list[float]:
    """The two passes as the textbook writes them."""
    speeds = caps.tolist()
    moves = list(zip(lengths.tolist(), accelerations.tolist(), strict=True))
    for i in range(len(moves) - 1, -1, -1):
        length, acceleration = moves[i]
        speeds[i] = min(speeds[i], (speeds[i + 1] ** 2 + 2 * acceleration * length) ** 0.5)
    for i, (length, acceleration) in enumerate(moves):
        speeds[i + 1] = min(speeds[i + 1], (speeds[i] ** 2 + 2 * acceleration * length) ** 0.5)
    return speeds
