"""What of a sheet no run cuts: a way gone round and round costs little more than the same way gone round once."""

import sys
import time
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest

sys.path.append(str(Path(__file__).parents[1] / "passes"))

from passes_bench import made, plan, sheet

from cncpanel.geometry.contour import circle
from cncpanel.passes.free_room import free_room
from cncpanel.passes.run import Run

PLACES = [(0, 300.0, 300.0)]
PLAN = plan(0, circle((0, 0), 120))
FEW, MANY = 5, 50  # times round


@pytest.mark.benchmark(timer=time.process_time)
def test_ten_times_as_many_turns_take_little_longer(race: Callable[..., float]) -> None:
    runs = made(PLACES, [PLAN]).runs

    def often(turns: int) -> list[Run]:
        return [replace(run, steps=run.steps * turns) for run in runs]

    few, many = often(FEW), often(MANY)
    race(
        "free room, 50 turns / 5",
        lambda: free_room(sheet(PLACES), many, {0: PLAN.panel}),
        lambda: free_room(sheet(PLACES), few, {0: PLAN.panel}),
        limit=3,
    )
