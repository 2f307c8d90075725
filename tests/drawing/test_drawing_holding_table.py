"""What the set-up page says of each part's tabs."""

from cncpanel.drawing.holding_table import holding_table
from cncpanel.geometry.point import Point
from cncpanel.passes.run import SheetRuns, Tab


def tab(part: str, feature: str, force: float) -> Tab:
    return Tab(
        part=part, feature=feature, centre=Point(0, 0), along=Point(1, 0), width=8, top=-15, height=3, grip=100.0,
        force=force,
    )  # fmt: skip


def test_each_part_has_its_tabs_their_hold_and_how_many_times_the_push_it_is() -> None:
    tabs = (tab("lid", "outline", 50), tab("lid", "outline", 50), tab("base", "outline", 40), tab("lid", "window", 80))
    rows = [row for table in holding_table(SheetRuns(sheet=1, runs=(), tabs=tabs)) for row in table.rows]
    assert rows == [
        ("lid", "window", "1 tab", "100", "80", "1.2"),
        ("base", "outline", "1 tab", "100", "40", "2.5"),
        ("lid", "outline", "2 tabs", "200", "50", "4.0"),
    ]


def test_without_tabs_there_is_no_table() -> None:
    assert list(holding_table(SheetRuns(sheet=1, runs=(), tabs=()))) == []
