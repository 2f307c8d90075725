"""The witness: proving a job may not take much longer than making it."""

import time
from collections.abc import Callable
from typing import Any

import pytest

from cncpanel import wanted
from cncpanel.errors import Gathering
from cncpanel.layout.place import lay_out
from cncpanel.operation.plan import plan
from cncpanel.output.rs274 import program_text
from cncpanel.panel.resolve import resolve
from cncpanel.passes.run import Tab
from cncpanel.passes.sheet import sheet_runs
from cncpanel.proof.prove import prove
from cncpanel.sequence.sheet import sheet_programs

Texts = list[tuple[str, str]]


@pytest.mark.benchmark(timer=time.process_time)
def test_proving_against_making(millrace: Any, race: Callable[..., float]) -> None:
    made = _made(millrace)
    assert sum(text.count("\n") for texts, _ in made for _, text in texts) > 5000
    race("proving millrace / making it", lambda: _proven(millrace, made), lambda: _made(millrace), limit=3, rounds=3)


def _made(ready: Any) -> list[tuple[Texts, tuple[Tab, ...]]]:
    """From the job's values to the programs' texts, the layout's panels anew too."""
    gathering, settings = Gathering(), ready.read.job.settings
    panels = resolve(ready.read, gathering)
    plans = {one.panel.index: one for one in plan(panels, ready.machine, settings, gathering)}
    found = []
    for sheet in lay_out(panels, settings.gap, gathering).sheets:
        runs = sheet_runs(sheet, plans, ready.machine, settings, gathering)
        programs = sheet_programs(sheet, runs, ready.machine, ready.read.job.job, gathering)
        found.append(([(one.name, program_text(one, ready.machine)) for one in programs], runs.tabs))
    return found


def _proven(ready: Any, made: list[tuple[Texts, tuple[Tab, ...]]]) -> None:
    spots = tuple(spot for one in ready.plans for spot in one.spots)
    for sheet, (texts, tabs) in zip(ready.layout.sheets, made, strict=True):
        prove(texts, ready.machine, wanted.target(ready.read, sheet, ready.machine, tabs, spots))
