"""What the set-up page says of each part's tabs."""

from cncpanel.drawing.holding_table import holding_table
from cncpanel.geometry.point import Point
from cncpanel.passes.run import Freed, SheetRuns, Tab


def tab(part: str, feature: str, force: float, beyond: str = "") -> Tab:
    return Tab(
        part=part, feature=feature, centre=Point(0, 0), along=Point(1, 0), width=8, top=-15, height=3, grip=100.0,
        force=force, beyond=beyond,
    )  # fmt: skip


def test_each_part_has_its_tabs_their_hold_and_how_many_times_the_push_it_is() -> None:
    tabs = (tab("lid", "outline", 50), tab("lid", "outline", 50), tab("base", "outline", 40), tab("lid", "window", 80))
    rows = [row for table in holding_table(SheetRuns(sheet=1, runs=(), tabs=tabs)) for row in table.rows]
    assert rows == [
        ("lid", "window", "1 tab", "100", "80", "1.2"),
        ("base", "outline", "1 tab", "100", "40", "2.5"),
        ("lid", "outline", "2 tabs", "200", "50", "4.0"),
    ]


def test_a_neighbours_tabs_that_end_on_a_part_hold_it_too() -> None:
    """One of a neighbour's pushes harder: its passes push the part as well."""
    freed = tuple(
        Freed(part=part, feature="outline", vacuum=vacuum, skin=0, force=50, alone=False)
        for part, vacuum in (("lid", 60.0), ("base", 0.0), ("peg", 0.0))
    )
    tabs = (tab("lid", "outline", 50), tab("base", "outline", 80, "lid"), tab("lid", "outline", 50, "peg"))
    (table,) = holding_table(SheetRuns(sheet=1, runs=(), tabs=tabs, freed=freed))
    assert table.rows == (
        ("base", "outline", "1 tab", "100", "80", "1.2"),
        ("peg", "outline", "1 of a neighbour's", "100", "50", "2.0"),
        ("lid", "outline", "2 tabs, 1 of a neighbour's, vacuum", "360", "80", "4.5"),
    )


def test_without_tabs_there_is_no_table() -> None:
    assert list(holding_table(SheetRuns(sheet=1, runs=(), tabs=()))) == []
