"""Several searches over the cores, each with a seed of its own; of every stock the best layout among them is taken.

They are looked at in the order of their seeds, and the first that brings all stocks to what cannot be beaten ends it:
so what is found is the same on one core as on sixty-four.
"""

import os
import signal
import threading
from collections.abc import Iterator, Mapping, Sequence
from concurrent.futures import ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from dataclasses import dataclass, replace
from multiprocessing import current_process, get_context, parent_process
from multiprocessing.synchronize import Event
from time import time

from cncpanel.errors import Gathering, Place, Problem, ProblemsFound
from cncpanel.geometry.contour import Contour
from cncpanel.layout.budget import Budget
from cncpanel.layout.layout import Layout, Packed, Sheet, placement
from cncpanel.layout.place import lay_out
from cncpanel.panel.panel import Panel

Waste = Mapping[int, tuple[Contour, ...]]
Rank = tuple[float, int, float]


def cores_here() -> int:
    """How many processes the system lets this one run at a time."""
    return len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1


def best_of(
    panels: Sequence[Panel],
    gap: float,
    gathering: Gathering,
    budget: Budget,
    waste: Waste,
    count: int,
    cores: int | None = None,
) -> Layout:
    """The best of `count` layouts, each with the budget's steps, with its seed and those after it.

    Each may have its own best stocks. The budget's seconds are for all of them together. What does not fit is
    gathered; raises ProblemsFound where a process was ended from outside.
    """
    if count < 2 or not budget.steps:
        return lay_out(panels, gap, gathering, budget, waste)
    quick = lay_out(panels, gap, gathering, Budget(seed=budget.seed), waste)
    if gathering.found or _is_best(quick):
        return quick
    task = _Task(tuple(panels), gap, waste, budget.seed, budget.steps, _deadline(budget))
    by_index = {panel.index: panel for panel in panels}
    best: Layout | None = None
    for number, found in enumerate(_each(task, count, min(count, cores or cores_here())), 1):
        best = found if best is None else _better(best, found, by_index)
        best = replace(best, alternatives=number)
        budget.tell(f"placing parts: alternative {number} of {count}: {len(best.sheets)} sheets")
        if _is_best(best):
            break
    assert best is not None, "there are two alternatives at least"
    return replace(best, seed=budget.seed, seconds=budget.seconds if best.seconds is not None else None)


@dataclass(frozen=True, slots=True)
class _Task:
    """What every alternative is given; `until` in the clock's seconds."""

    panels: tuple[Panel, ...]
    gap: float
    waste: Waste
    seed: int
    steps: int
    until: float | None


def _deadline(budget: Budget) -> float | None:
    left = budget.left
    return None if left is None else time() + left


def _is_best(layout: Layout) -> bool:
    return all(packed.is_best for packed in layout.packed)


def _each(task: _Task, count: int, cores: int) -> Iterator[Layout]:
    """The layouts in the order of their seeds; those not asked for any more are given up."""
    if cores < 2 or current_process().daemon:  # such a process may have none of its own
        yield from (_searched(task, number) for number in range(count))
        return
    context = get_context("spawn")
    stop = context.Event()
    with ProcessPoolExecutor(cores, mp_context=context, initializer=_begin, initargs=(stop,)) as pool:
        futures = [pool.submit(_searched, task, number) for number in range(count)]
        try:
            yield from (future.result() for future in futures)
        except BrokenProcessPool:
            text = "a process that looked for a layout was ended from outside"
            raise ProblemsFound([Problem(Place("settings.packing"), text, "run it again")]) from None
        finally:
            stop.set()
            pool.shutdown(wait=True, cancel_futures=True)


_stop: Event | None = None


def _begin(stop: Event) -> None:
    """In a process of its own: it ends with its parent, and Ctrl-C is the parent's to tell."""
    global _stop
    _stop = stop
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    threading.Thread(target=_end_with_parent, daemon=True).start()


def _end_with_parent() -> None:
    parent = parent_process()
    if parent is not None:
        parent.join()
        os._exit(1)


def _is_stopped() -> bool:
    return _stop is not None and _stop.is_set()


def _searched(task: _Task, number: int) -> Layout:
    seconds = None if task.until is None else max(0.0, task.until - time())
    budget = Budget(steps=task.steps, seed=task.seed + number, seconds=seconds, stopped=_is_stopped)
    return lay_out(task.panels, task.gap, Gathering(), budget, task.waste)


def _better(first: Layout, second: Layout, panels: Mapping[int, Panel]) -> Layout:
    """Of every stock the better sheets, the first layout's where they are as good."""
    sheets: list[Sheet] = []
    packed: list[Packed] = []
    for one, other in zip(first.packed, second.packed, strict=True):
        ours, theirs = _of(first, one), _of(second, other)
        worse = _rank(other, theirs, panels) >= _rank(one, ours, panels)
        for sheet in ours if worse else theirs:
            sheets.append(replace(sheet, number=len(sheets) + 1))
        packed.append(replace(one if worse else other, steps=one.steps + other.steps))
    seconds = first.seconds if first.seconds is not None else second.seconds
    return replace(first, sheets=tuple(sheets), packed=tuple(packed), steps=first.steps + second.steps, seconds=seconds)


def _of(layout: Layout, packed: Packed) -> list[Sheet]:
    return [sheet for sheet in layout.sheets if sheet.stock.name == packed.stock]


def _rank(packed: Packed, sheets: Sequence[Sheet], panels: Mapping[int, Panel]) -> Rank:
    """As `search.rank_of`: cheapest first, then fewest, then the largest rest beyond the parts of one sheet."""
    rest = max((sheet.length - _end(sheet, panels)) * sheet.width for sheet in sheets)
    return round(packed.cost, 6), len(sheets), -round(rest, 3)


def _end(sheet: Sheet, panels: Mapping[int, Panel]) -> float:
    outlines = (placement(panels[part.panel], part).contour(panels[part.panel].outline) for part in sheet.parts)
    return max(outline.bounds[2] for outline in outlines)
