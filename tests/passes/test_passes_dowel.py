"""Where dowels stand in a bare sheet of 1000 x 600: by hand, in steps of 5 mm, 4 mm of sheet round each."""

from dataclasses import replace

import pytest
from passes_bench import sheet, shop

from cncpanel.geometry.point import Point
from cncpanel.job.model import Axis, KeepOut
from cncpanel.layout.side import Side
from cncpanel.passes.dowel import dowel_places
from cncpanel.passes.run import SheetRuns, Tab

SHEET = sheet([])
BARE = SheetRuns(sheet=1, runs=(), tabs=())


def places(axis: Axis, dowel: float, after: SheetRuns = BARE, *keep_outs: KeepOut) -> list[Point]:
    lies = replace(SHEET, stock=SHEET.stock.model_copy(update={"keep_out": keep_outs}))
    side = Side(number=2, axis=axis, by="dowels", dowel=dowel)
    return dowel_places((lies, after), (lies, BARE), {}, side, shop(stock=lies.stock))


@pytest.mark.parametrize(
    ("axis", "dowel", "expected"),
    [
        # a disc of 4 + 4 fits from 10 on; the other end keeps 10 + 3 x 8 at least: 35 from its edge
        ("x", 8.0, [(10, 300), (965, 300)]),
        ("y", 8.0, [(500, 10), (500, 565)]),
        # 6 + 4 fit from 10 on; 10 + 3 x 12 are 46: 50 from the edge
        ("x", 12.0, [(10, 300), (950, 300)]),
    ],
)
def test_two_dowels_stand_on_the_line_unlike_far_from_its_ends(
    axis: Axis, dowel: float, expected: list[tuple[float, float]]
) -> None:
    assert [tuple(place) for place in places(axis, dowel)] == expected


def test_no_dowel_stands_beside_a_tab() -> None:
    # a tab of 20 reaches 10 along its wall; 4 + 4 stay off that: 18 from its middle at 20, 310 is x 35 on the line
    tab = Tab(part="a", feature="", centre=Point(20, 310), along=Point(0, 1), width=20, top=-10, height=8)
    assert places("x", 8.0, replace(BARE, tabs=(tab,)))[0] == (35, 300)


@pytest.mark.parametrize(
    ("height", "first"),
    [
        (5, 70),  # 60 and the disc of 8
        (100, 80),  # a nut of 28 or of 35 comes down beside the clamp: its half and 2 of play
    ],
)
def test_the_nut_that_bores_for_a_dowel_passes_a_tall_clamp(height: float, first: float) -> None:
    clamp = KeepOut(kind="clamp", at=(0, 270), size=(60, 60), height=height)
    assert places("x", 8.0, BARE, clamp)[0] == (first, 300)
