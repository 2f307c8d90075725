"""What holds each part of a sheet while it is freed: its tabs, their strength, the force of the passes, the factor."""

from collections.abc import Iterator, Sequence
from itertools import groupby

from cncpanel.drawing.paper import Table
from cncpanel.passes.run import SheetRuns, Tab

HEAD = ("Part", "What is freed", "Held by", "Holds, N", "Push, N", "Times")


def holding_table(runs: SheetRuns) -> Iterator[Table]:
    """A row for each part's outline and each slug, the weakest first; no table where there are no tabs.

    Tabs at their least section against the mean force of a full-width pass, by a specific cutting force measured on
    particleboard: an estimate. Tabs of a neighbour that end on the same part are not counted.
    """
    tabs = sorted(runs.tabs, key=_whose)
    rows = sorted((_row(list(group)) for _, group in groupby(tabs, key=_whose)), key=lambda row: (float(row[5]), row))
    if rows:
        yield Table(head=HEAD, rows=tuple(rows), shares=(42, 40, 18, 18, 18, 14))


def _whose(tab: Tab) -> tuple[str, str]:
    return tab.part, tab.feature


def _row(tabs: Sequence[Tab]) -> tuple[str, ...]:
    first, holds = tabs[0], sum(tab.grip for tab in tabs)
    times = f"{holds / first.force:.1f}" if first.force else "0.0"
    count = f"{len(tabs)} tab{'s' if len(tabs) > 1 else ''}"
    return first.part, first.feature, count, f"{holds:.0f}", f"{first.force:.0f}", times
