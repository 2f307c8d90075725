"""Rapid travel by order and doors: against the nearest next cut alone, on all demo and drawn sheets."""

from collections.abc import Callable
from pathlib import Path

from travel_samples import DEMO, DRAWN, HOME, nearest_next, sheets_of, travel

from cncpanel.sequence.order import ordered


def test_ways_between_cuts_against_the_nearest_next(fixtures: Path, weighed: Callable[..., float]) -> None:
    paths = [fixtures / "jobs" / f"{name}.toml" for name in DEMO] + [fixtures / "travel" / f"{n}.toml" for n in DRAWN]
    found = [travel(ordered(runs, HOME)) / travel(nearest_next(runs)) for path in paths for runs in sheets_of(path)]
    weighed(
        f"ways between cuts on {len(found)} sheets / by the nearest next, mean",
        sum(found) / len(found),
        1.0,
        limit=0.90,
    )
    weighed("the same, the worst sheet", max(found), 1.0, limit=1.0)
