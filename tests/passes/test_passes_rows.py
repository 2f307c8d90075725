"""Tabs side by side: the last that is tried for a part that is held too weakly."""

from collections.abc import Iterator
from itertools import pairwise

import pytest
import shapely
from passes_bench import PLACE, STOCK, made, plan, sheet, swept

from cncpanel.errors import Gathering
from cncpanel.geometry.contour import polygon
from cncpanel.job.model import Settings
from cncpanel.machine.read import read_machine
from cncpanel.passes.run import Tab
from cncpanel.passes.sheet import sheet_runs
from cncpanel.passes.tabs import LONGEST_ROW

PLATE = polygon([(0, 0), (70, 0), (70, 50), (0, 50)])
LONG = polygon([(0, 0), (140, 0), (140, 25), (0, 25)])
CORNER = STOCK.model_copy(update={"margin": 6.0})
NESTING = read_machine("nesting-router")
THICK = next(t for t in NESTING.tool if t.cut_diameter == 12)  # it pushes with 224 N, a tab bears 49


def rows(tabs: tuple[Tab, ...]) -> Iterator[list[float]]:
    """Along each side of a part, where its tabs stand."""
    for side in sorted({(round(t.along.x), round(t.along.y)) for t in tabs}):
        here = [tab for tab in tabs if (round(tab.along.x), round(tab.along.y)) == side]
        yield sorted(tab.centre.x * tab.along.x + tab.centre.y * tab.along.y for tab in here)


def test_a_part_in_the_sheets_corner_hangs_on_two_sides_firmly_enough() -> None:
    runs = made([(0, 6, 6)], [plan(0, PLATE, cutter=THICK)], NESTING, CORNER)
    assert len(list(rows(runs.tabs))) == 2
    assert sum(tab.grip for tab in runs.tabs) + runs.freed[0].vacuum >= 2 * runs.tabs[0].force
    gaps = [b - a for row in rows(runs.tabs) for a, b in pairwise(row)]
    assert min(gaps) < 8 + 12, "side by side"
    assert min(gaps) >= 8 - 1e-6, "and none over another"


def test_what_is_left_between_two_near_tabs_is_wood_and_counts() -> None:
    runs = made([(0, 6, 6)], [plan(0, PLATE, cutter=THICK)], NESTING, CORNER)
    deep = swept(runs.runs, runs.tabs[0].top - 0.01)
    least = min(tab.grip for tab in runs.tabs)
    for tab in runs.tabs:
        length = tab.width * tab.grip / least
        middle = tab.centre.plus(tab.along.left.times(-6.0))
        for share in (0.05, 0.5, 0.95):
            at = middle.plus(tab.along.times(-tab.width / 2 + share * length))
            assert not deep.contains_properly(shapely.Point(at)), "no tool goes deep there"
    assert any(tab.grip > least for tab in runs.tabs)


def test_no_row_is_so_long_that_it_would_be_a_floor() -> None:
    """Forty-five tabs would be needed; what there is room for stands in rows of 90 mm at most."""
    machine = NESTING.model_copy(
        update={"cutting": NESTING.cutting.model_copy(update={"tab_width": 4.0, "tab_height": 0.5})}
    )
    gathering = Gathering()
    runs = sheet_runs(sheet([(0, 6, 6)], CORNER), {0: plan(0, LONG, cutter=THICK)}, machine, Settings(), gathering)
    assert len(gathering.problems) == 1
    lengths = []
    for row in rows(runs.tabs):
        begin = row[0]
        for a, b in pairwise(row):
            begin = b if b - a >= 4 + 12 else begin
            lengths.append(b - begin + 4)
    assert LONGEST_ROW / 2 < max(lengths) <= LONGEST_ROW + 1e-6


def test_what_no_row_holds_is_told_with_a_skin_as_a_way_out() -> None:
    gathering = Gathering()
    small = polygon([(0, 0), (40, 0), (40, 30), (0, 30)])
    sheet_runs(sheet([(0, 6, 6)], CORNER), {0: plan(0, small, cutter=THICK)}, NESTING, Settings(), gathering)
    (problem,) = gathering.problems
    assert problem.place == PLACE
    assert 'settings.hold = "skin" pushes less at the end' in problem.allowed


@pytest.mark.parametrize("x", [6, 200])
def test_a_part_that_is_held_by_tabs_apart_has_none_side_by_side(x: float) -> None:
    runs = made([(0, x, x)], [plan(0, PLATE)], stock=CORNER)
    assert len({tab.grip for tab in runs.tabs}) == 1
