"""Work raced against a baseline in the same run, turn about, and the table of all measures at the end."""

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from statistics import median
from typing import Any

import pytest

from cncpanel.errors import Gathering
from cncpanel.job.read import ReadJob, read_job
from cncpanel.layout.layout import Layout
from cncpanel.layout.place import lay_out
from cncpanel.machine.model import Machine
from cncpanel.machine.read import read_machine
from cncpanel.operation.operation import PanelPlan
from cncpanel.operation.plan import plan
from cncpanel.panel.resolve import resolve

Work = Callable[[], object]
Race = Callable[..., float]
Tabled = Callable[..., None]
TABLE = pytest.StashKey[list[tuple[str, float, float, str]]]()


@pytest.fixture
def tabled(request: pytest.FixtureRequest) -> Tabled:
    """`tabled(name, measure, limit=, unit=)`: a line of the table; fails where it is over the limit."""

    def run(name: str, measure: float, *, limit: float, unit: str = "") -> None:
        request.config.stash.setdefault(TABLE, []).append((name, measure, limit, unit))
        assert measure <= limit, f"{name}: {measure:.3g}{unit}, at most {limit:g}{unit}"

    return run


@pytest.fixture
def race(benchmark: Any, request: pytest.FixtureRequest, tabled: Tabled) -> Race:
    """`race(name, work, baseline, limit)`: the ratio of their medians, turn about; fails where it is over the limit.

    Both are timed by the clock that the test's benchmark mark names.
    """
    timer = request.node.get_closest_marker("benchmark").kwargs["timer"]

    def run(name: str, work: Work, baseline: Work, *, limit: float, rounds: int = 5) -> float:
        work()  # imports and caches are warm in both
        taken: list[float] = []

        def timed_baseline() -> None:
            start = timer()
            baseline()
            taken.append(timer() - start)

        timed_baseline()
        taken.clear()
        benchmark.pedantic(work, setup=timed_baseline, rounds=rounds)
        ratio = benchmark.stats.stats.median / median(taken)
        benchmark.extra_info.update(ratio=ratio, limit=limit)
        tabled(name, ratio, limit=limit)
        return ratio

    return run


@pytest.fixture
def weighed(tabled: Tabled) -> Callable[..., float]:
    """`weighed(name, measure, baseline, limit)`: for what a clock of ours reckons, not what a watch measures."""

    def weigh(name: str, measure: float, baseline: float, *, limit: float) -> float:
        ratio = measure / baseline
        tabled(name, ratio, limit=limit)
        return ratio

    return weigh


def pytest_terminal_summary(terminalreporter: Any, config: pytest.Config) -> None:
    """A line a measure: name, ratio (or figure with its unit), limit; in the order of their names."""
    rows = config.stash.get(TABLE, [])
    if rows:
        terminalreporter.section("measures: work / baseline, or as the unit says")
        width = max(len(name) for name, _, _, _ in rows)
        for name, measure, limit, unit in sorted(rows):
            over = "" if measure <= limit else "  OVER"
            terminalreporter.write_line(f"{name:{width}}  {measure:8.2f}{unit:3}  limit {limit:g}{unit}{over}")


@dataclass(frozen=True, slots=True, kw_only=True)
class Ready:
    """The demo console, everything up to its passes."""

    path: Path
    read: ReadJob
    machine: Machine
    plans: tuple[PanelPlan, ...]
    layout: Layout

    @property
    def by_panel(self) -> dict[int, PanelPlan]:
        return {one.panel.index: one for one in self.plans}


@pytest.fixture(scope="session")
def millrace(fixtures: Path) -> Ready:
    path, gathering = fixtures / "jobs" / "millrace.toml", Gathering()
    read = read_job(path, gathering)
    panels = resolve(read, gathering)
    machine = read_machine(read.job.job.machine, beside=path.parent)
    plans = plan(panels, machine, read.job.settings, gathering)
    assert read.job.settings.gap is not None
    layout = lay_out(panels, read.job.settings.gap, gathering)
    assert gathering.problems == ()
    return Ready(path=path, read=read, machine=machine, plans=plans, layout=layout)
