"""What holds each part of a sheet while it is freed: tabs and vacuum, their strength, the passes' force, the factor."""

from collections.abc import Iterator, Sequence
from itertools import groupby

from cncpanel.drawing.paper import Table
from cncpanel.passes.run import Freed, SheetRuns, Tab

HEAD = ("Part", "What is freed", "Held by", "Holds, N", "Push, N", "Times")

Whose = tuple[str, str]


def holding_table(runs: SheetRuns) -> Iterator[Table]:
    """A row for each part's outline and each slug, the weakest first; no table where there are no tabs and no vacuum.

    Tabs at their least section and the vacuum on the part's underside against the mean force of the passes that free
    it, by a specific cutting force measured on particleboard: an estimate. Tabs of a neighbour that end on the part
    hold it too. That parts which hang on each other are held together is judged where tabs are placed.
    """
    tabs = {whose: list(group) for whose, group in groupby(sorted(runs.tabs, key=_whose), key=_whose)}
    sucked = {(one.part, one.feature): one for one in runs.freed if one.vacuum > 0}
    outlines = {one.part: (one.part, one.feature) for one in runs.freed}
    lent = {whose: [tab for tab in runs.tabs if tab.beyond == part] for part, whose in outlines.items()}
    held = sorted({*tabs, *sucked, *(whose for whose, some in lent.items() if some)})
    rows = [_row(whose, tabs.get(whose, []), lent.get(whose, []), sucked.get(whose)) for whose in held]
    if rows:
        rows.sort(key=lambda row: (float(row[5]), row))
        yield Table(head=HEAD, rows=tuple(rows), shares=(42, 40, 18, 18, 18, 14))


def _whose(tab: Tab) -> Whose:
    return tab.part, tab.feature


def _row(whose: Whose, tabs: Sequence[Tab], lent: Sequence[Tab], freed: Freed | None) -> tuple[str, ...]:
    every = [*tabs, *lent]
    holds, force = sum(tab.grip for tab in every), max((tab.force for tab in every), default=0.0)
    by = [f"{len(tabs)} tab{'s' if len(tabs) > 1 else ''}"] if tabs else []
    if lent:
        by.append(f"{len(lent)} of a neighbour's")
    if freed is not None:
        holds, force = holds + freed.vacuum, max(force, freed.force)
        by.append("vacuum")
    times = f"{holds / force:.1f}" if force else "0.0"
    return *whose, ", ".join(by), f"{holds:.0f}", f"{force:.0f}", times
