"""Many searches as one: the same layout on any number of cores, of every stock the best, over once none is better."""

from dataclasses import replace

import pytest
from layout_samples import BOARD, plain_panel
from test_layout_place import crowded

from cncpanel.errors import Gathering
from cncpanel.geometry.shape import rectangle
from cncpanel.layout import alternatives
from cncpanel.layout.alternatives import best_of
from cncpanel.layout.budget import Budget
from cncpanel.layout.judge import faults
from cncpanel.layout.layout import Layout
from cncpanel.layout.place import lay_out
from cncpanel.panel.panel import Panel


def found(panels: list[Panel], count: int, cores: int, steps: int = 3, seconds: float | None = None) -> Layout:
    layout = best_of(panels, 5, Gathering(), Budget(steps=steps, seconds=seconds), {}, count, cores)
    assert faults(layout, {panel.index: panel for panel in panels}) == ()
    return layout


@pytest.mark.parametrize("steps", [2, pytest.param(6, marks=pytest.mark.slow)])
def test_two_processes_find_what_one_finds(steps: int) -> None:
    alone = found(crowded(), 2, 1, steps)
    assert found(crowded(), 2, 2, steps) == alone
    assert (alone.alternatives, alone.seed) == (2, 1)
    assert 2 * 2 <= alone.steps <= 2 * steps


def test_nothing_is_looked_for_where_the_quick_layout_cannot_be_beaten() -> None:
    layout = found([plain_panel(0, rectangle(0, 0, 600, 500), copies=6)], 50, 2)
    assert (layout.alternatives, layout.steps) == (1, 0)


def at_most(board: int, sheets: int, layout: Layout) -> Layout:
    """As if the search had found so many sheets of a board: those over are dropped."""
    name = layout.packed[board].stock
    kept = [sheet for sheet in layout.sheets if sheet.stock.name == name][:sheets]
    others = [sheet for sheet in layout.sheets if sheet.stock.name != name]
    cost = layout.packed[board].cost * sheets / layout.packed[board].sheets
    packed = replace(layout.packed[board], sheets=sheets, cost=cost, steps=3)
    all_packed = [packed if n == board else one for n, one in enumerate(layout.packed)]
    return replace(layout, sheets=(*others, *kept) if board else (*kept, *others), packed=tuple(all_packed), steps=3)


def test_every_stock_keeps_its_own_best_and_the_best_ends_it(monkeypatch: pytest.MonkeyPatch) -> None:
    other = BOARD.model_copy(update={"name": "other"})
    panels = [
        plain_panel(0, rectangle(0, 0, 1500, 700), copies=4),
        plain_panel(1, rectangle(0, 0, 1500, 700), copies=4, stock=other),
    ]
    whole = lay_out(panels, 5, Gathering())
    bound = replace(whole.packed[0].bound, sheets=2, cost=whole.packed[0].cost / 2)
    open_ended = replace(whole, packed=tuple(replace(packed, bound=bound) for packed in whole.packed))
    seeds = [open_ended, at_most(0, 2, open_ended), at_most(1, 2, open_ended), open_ended]
    monkeypatch.setattr(alternatives, "lay_out", lambda panels, gap, gathering, budget, waste: seeds[asked(budget)])
    told: list[str] = []
    budget = Budget(steps=3, tell=told.append)
    layout = best_of(panels, 5, Gathering(), budget, {}, 4, 1)
    assert [sheet.stock.name for sheet in layout.sheets] == ["board", "board", "other", "other"]
    assert [sheet.number for sheet in layout.sheets] == [1, 2, 3, 4]
    assert [packed.sheets for packed in layout.packed] == [2, 2]
    assert (layout.alternatives, layout.seed) == (3, 1)
    assert told == [f"placing parts: alternative {n} of 4: {sheets} sheets" for n, sheets in ((1, 8), (2, 6), (3, 4))]


def asked(budget: Budget) -> int:
    """The quick layout first, then one a seed."""
    return budget.seed - 1 if budget.steps else 0


def test_the_seconds_are_for_all_of_them_and_are_recorded() -> None:
    layout = found(crowded(), 3, 1, steps=1000, seconds=0.5)
    assert layout.seconds == 0.5


def test_a_process_that_has_none_of_its_own_looks_for_them_one_by_one(monkeypatch: pytest.MonkeyPatch) -> None:
    class Daemon:
        daemon = True

    monkeypatch.setattr(alternatives, "current_process", Daemon)
    monkeypatch.setattr(alternatives, "ProcessPoolExecutor", None)
    assert found(crowded(), 2, 2, steps=2).alternatives == 2
