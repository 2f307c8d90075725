"""Tools whose ends do not cut over the centre: they come down on slopes, or where everything is gone already."""

from collections.abc import Iterable, Iterator

import pytest
import shapely
from passes_bench import QUADS, Move, moves, plan, points, shop, shop_router, tool
from passes_bench import made as sheet_of

from cncpanel.geometry.combine import difference, intersection
from cncpanel.geometry.contour import circle, polygon
from cncpanel.geometry.offset import offset
from cncpanel.geometry.region import Region, region_of
from cncpanel.machine.tool import Tool
from cncpanel.operation.operation import Clear
from cncpanel.passes.clear import clear
from cncpanel.passes.draft import Draft, Title

ROUNDING = 0.02  # mm; as much as the witness allows on a way through what is cut
DEPTH = 3.0  # mm; one step down
FAR = 500.0  # mm


def blunt(diameter: float) -> Tool:
    """A tool that does not plunge."""
    change = {"diameter": diameter, "measured_diameter": None, "plunges": False, "nut_diameter": 35.0}
    return tool().model_copy(update=change)


def drafts(room: Region, cutter: Tool, region: Region | None = None) -> tuple[Draft, ...]:
    operation = Clear(panel="p", feature="recess", region=region or room, open_region=room, depth=DEPTH, tool=cutter)
    return clear(operation, Title("recess", "p", "recess", cutter), shop(shop_router()))


def buried(found: Iterable[Draft], radius: float) -> Iterator[tuple[float, float, float]]:
    """Where a tool goes straight down (x, y) and how wide what it meets there is, mm2."""
    gone: list[shapely.Geometry] = []
    for one in found:
        for move in moves(one.run):
            (x, y, _), (x1, y1, z), _, _ = move
            if (x, y) == (x1, y1) and z < 0:
                left = shapely.Point(x, y).buffer(radius - ROUNDING, quad_segs=QUADS)
                left = left.difference(shapely.union_all(gone)) if gone else left
                if not left.is_empty:
                    yield x, y, left.area
            elif z <= -DEPTH + 1e-9:
                gone.append(_swept(move, radius))


def _swept(move: Move, radius: float) -> shapely.Geometry:
    return shapely.LineString([place[:2] for place in points(move)]).buffer(radius, quad_segs=QUADS)


def beside(outline: Region, width: float, tool_radius: float) -> Region:
    """The room along a panel's low side where a tool goes wholly over the rim; it ends in horns hardly wider."""
    _, low, _, _ = outline.bounds
    (beyond,) = offset((outline,), 2 * tool_radius + 0.1)
    stays = intersection((outline,), (_half(low + width, FAR),))
    return max(intersection(difference((beyond,), stays), (_half(-FAR, low + width + 14),)), key=lambda one: one.area)


def _half(low: float, high: float) -> Region:
    return region_of(polygon([(-FAR, low), (FAR, low), (FAR, high), (-FAR, high)]))


ROOMS = {
    "a small disc": (region_of(circle((0, 0), 23.05)), 7.2, 12.0),
    "a disc": (region_of(circle((0, 0), 40)), 15.0, 12.0),
    "a slim triangle": (region_of(polygon([(0, 0), (120, 0), (60, 30)])), 9.0, 12.0),
}


@pytest.mark.parametrize("room", ROOMS)
def test_a_tool_comes_down_beside_a_rim_only_where_all_is_gone(room: str) -> None:
    """Horns hardly wider than the tool fell into pieces, each with a way straight down; walls were met on a hair."""
    outline, width, diameter = ROOMS[room]
    made = drafts(beside(outline, width, diameter / 2), blunt(diameter))
    assert made
    assert list(buried(made, diameter / 2)) == []


CHAMBERS = polygon([
    (0, 0), (40, 0), (40, 12), (70, 12), (70, 10.0), (82.4, 10.0), (82.4, 24.4), (70, 24.4), (70, 24.1), (40, 24.1),
    (40, 40), (0, 40),
])  # fmt: skip


def test_a_chamber_with_no_room_for_a_circle_is_gone_to_at_depth() -> None:
    made = drafts(region_of(CHAMBERS), blunt(12.0))
    assert made
    assert list(buried(made, 6.0)) == []


SQUARES = [
    region_of(polygon([
        (0, 0), (40, 0), (40, 17.9), (50, 17.9), (50, 12), (high, 12), (high, high - 38), (50, high - 38), (50, 18.1),
        (40, 18.1), (40, 40), (0, 40),
    ]))
    for high in (62.05, 63.0)
]  # fmt: skip


@pytest.mark.parametrize("number", [0, 1])
def test_a_place_as_wide_as_the_tool_is_cut_by_one_that_plunges_only(number: int) -> None:
    """Beyond a neck too narrow for the tool the recess goes on, the second time with room for a small circle."""
    made = drafts(SQUARES[number], blunt(12.0))
    assert (not number) == (made == ())
    assert list(buried(made, 6.0)) == []
    assert drafts(SQUARES[number], blunt(12.0).model_copy(update={"plunges": True}))


def test_a_recess_with_no_room_for_a_slope_is_refused_with_what_to_change() -> None:
    cutter, panel = blunt(12.0), polygon([(-60, -60), (160, -60), (160, 160), (-60, 160)])
    recess = Clear(
        panel="panel 0", feature="recess", region=SQUARES[0], open_region=SQUARES[0], depth=DEPTH, tool=cutter
    )
    with pytest.raises(AssertionError, match=r"does not fit into it.*a narrower tool \(tool\), or one that may go"):
        sheet_of([(0, 100, 100)], [plan(0, panel, recess)])
