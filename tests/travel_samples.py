"""The sheets that ways between cuts are measured on, and the measure."""

from collections.abc import Iterator, Sequence
from itertools import chain
from pathlib import Path

from cncpanel.errors import Gathering
from cncpanel.geometry.point import Point
from cncpanel.make.choice import Choice
from cncpanel.make.flow import prepare
from cncpanel.passes.run import Run
from cncpanel.passes.sheet import sheet_runs
from cncpanel.sequence.chain import chains, forerunners
from cncpanel.sequence.changes import tool_groups
from cncpanel.sequence.frame import end_of
from cncpanel.sequence.links import nearest
from cncpanel.sequence.placed import placed_runs

HOME = Point(0.0, 0.0)
DEMO = (
    "control_deck",
    "lit_sign",
    "loop_board",
    "millrace",
    "rounded_tray",
    "seed_station",
    "story_dial",
    "trail_plaque",
)
DRAWN = ("frames", "mixed", "rails", "scatter")  # fixtures/travel
QUICK = ("frames", "rails")
Groups = Sequence[Sequence[Run]]


def sheets_of(path: Path) -> Iterator[tuple[Run, ...]]:
    """The runs of each sheet of a job, in program coordinates."""
    prepared = prepare(path, Choice(), lambda told: None)
    plans = {plan.panel.index: plan for plan in prepared.plans}
    for sheet in prepared.layout.sheets:
        runs = sheet_runs(sheet, plans, prepared.machine, prepared.read.job.settings, Gathering())
        yield placed_runs(sheet, runs, prepared.machine)


def nearest_next(runs: Sequence[Run]) -> Groups:
    """The same work by the nearest next cut alone, every closed pass entered where it is as a rule."""
    work, at, groups = chains(runs), HOME, []
    before = forerunners(work)
    for members in tool_groups(work, before):
        row = nearest(work, before, members, at)
        groups.append([run for index in row for run in work[index].runs])
        at = work[row[-1]].end
    return groups


def travel(groups: Groups) -> float:
    """All ways between cuts from the zero on, mm."""
    length, at = 0.0, HOME
    for run in chain.from_iterable(groups):
        length += at.distance(run.start)
        at = end_of(run)
    return length
