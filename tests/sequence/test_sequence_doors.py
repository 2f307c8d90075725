"""Closed passes entered where the way from the last cut is short: how much that saves, and what it keeps."""

from itertools import chain

import pytest
from travel_samples import DEMO, DRAWN, HOME, QUICK, nearest_next, sheets_of, travel

from cncpanel.sequence.chain import chains, forerunners
from cncpanel.sequence.frame import end_of
from cncpanel.sequence.order import ordered


@pytest.fixture(scope="module")
def drawn(fixtures):
    return {name: list(sheets_of(fixtures / "travel" / f"{name}.toml")) for name in QUICK}


def ratios(sheets):
    return [travel(ordered(runs, HOME)) / travel(nearest_next(runs)) for runs in sheets]


def test_ways_on_drawn_sheets_are_shorter_than_by_the_nearest_next(drawn):
    found = ratios(chain.from_iterable(drawn.values()))
    assert len(found) == len(QUICK)
    assert max(found) <= 1.0
    assert sum(found) / len(found) <= 0.90


@pytest.mark.slow
def test_ways_on_all_sheets_are_shorter_than_by_the_nearest_next(fixtures):
    paths = [fixtures / "jobs" / f"{name}.toml" for name in DEMO] + [fixtures / "travel" / f"{n}.toml" for n in DRAWN]
    found = ratios(runs for path in paths for runs in sheets_of(path))
    assert len(found) >= len(paths)
    assert max(found) <= 1.0
    assert sum(found) / len(found) <= 0.90


def test_doors_change_neither_what_is_cut_first_nor_the_tools(drawn):
    for (runs,) in drawn.values():
        groups = ordered(runs, HOME)
        assert [group[0].tool for group in groups] == [group[0].tool for group in nearest_next(runs)]
        place = {(run.part, run.feature): n for n, run in enumerate(chain.from_iterable(groups))}
        work = chains(runs)
        for index, before in enumerate(forerunners(work)):
            mine = work[index].runs[0]
            for other in range(index):
                first = work[other].runs[-1]
                if before >> other & 1 and (first.part, first.feature) != (mine.part, mine.feature):
                    assert place[first.part, first.feature] < place[mine.part, mine.feature]


def test_equal_work_is_entered_by_equal_doors(drawn):
    (runs,) = drawn["rails"]
    assert ordered(runs, HOME) == ordered(runs, HOME)


def test_a_run_begins_and_ends_where_its_door_says(drawn):
    count = 0
    for (runs,) in drawn.values():
        for run in runs:
            for number, door in enumerate(run.entries.doors if run.entries else ()):
                entered = run.entries.run(number)
                assert entered.start.distance(door.start) < 1e-6
                assert end_of(entered).distance(door.end) < 1e-3
                assert (entered.part, entered.feature, entered.tool, entered.rpm, entered.frees) == (
                    run.part,
                    run.feature,
                    run.tool,
                    run.rpm,
                    run.frees,
                )
                count += 1
    assert count > 50
