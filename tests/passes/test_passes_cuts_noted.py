"""The feeds sheet's rows: a kind of cut is noted where a run makes it, and nowhere else."""

import pytest
from passes_bench import made, plan, shop_router, tool

from cncpanel.geometry.contour import Contour, polygon
from cncpanel.geometry.point import Point
from cncpanel.geometry.region import region_of
from cncpanel.geometry.shape import rectangle, rounded
from cncpanel.operation.operation import Clear, Operation
from cncpanel.passes.run import SheetRuns

BOX = polygon([(0, 0), (200, 0), (200, 120), (0, 120)])
NOTCH = [(0, 0), (200, 0), (200, 120), (140, 120), (140, 60), (60, 60), (60, 120), (0, 120)]


def notched(radius: float) -> Contour:
    """A box with a notch of 80 x 60 mm in its top whose inside corners have that radius."""
    inside = {(140, 60), (60, 60)}
    return rounded([(Point(x, y), radius if (x, y) in inside else 0.0) for x, y in NOTCH])


def pocket(radius: float, size: float = 60.0) -> Clear:
    region = region_of(rectangle(20, 20, size, size, (radius,) * 4))
    return Clear(panel="panel 0", feature="tray", region=region, open_region=region, depth=4.0, tool=tool())


def cut(outline: Contour, *inside: Operation, allowance: float = 0.3) -> SheetRuns:
    router = shop_router(finish_allowance=allowance)
    return made([(0, 100, 100)], [plan(0, outline, *inside)], router)


def noted(runs: SheetRuns) -> set[str]:
    """`clear` and `clear in bends`."""
    return {one.kind + (" in bends" if one.share < 1 else "") for one in runs.cuts}


@pytest.mark.parametrize(
    ("outline", "inside", "allowance", "expected"),
    [
        (BOX, (), 0.3, {"slot", "finish"}),
        (BOX, (), 0.0, {"slot"}),
        (notched(12.0), (), 0.3, {"slot", "finish", "finish in bends"}),
        (BOX, (pocket(3.0),), 0.3, {"slot", "clear", "clear in bends", "finish"}),
        (BOX, (pocket(3.0, 6.0),), 0.3, {"slot", "finish"}),
    ],
    ids=["outline", "outline at once", "inside bends", "pocket", "hole of its tool's width"],
)
def test_a_kind_of_cut_is_noted_where_it_is_made(
    outline: Contour, inside: tuple[Operation, ...], allowance: float, expected: set[str]
) -> None:
    assert expected == noted(cut(outline, *inside, allowance=allowance))


@pytest.mark.parametrize("inside", [(), (pocket(3.0),), (pocket(12.0),)], ids=["none", "tight", "wide"])
def test_every_noted_feed_is_gone_at_by_a_run_of_its_tool(inside: tuple[Operation, ...]) -> None:
    runs = cut(notched(12.0), *inside)
    used = {(run.tool.number, step.feed) for run in runs.runs for step in run.steps}
    assert {(one.tool.number, one.data.feed) for one in runs.cuts} <= used
