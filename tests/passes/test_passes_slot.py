"""The disc's ways and its channel's by themselves: how far off, how far along, how slowly, and what is told."""

from dataclasses import replace
from itertools import pairwise
from math import sqrt

import pytest
import shapely
from passes_bench import STOCK, plan, sheet, shop_router

from cncpanel.errors import Gathering, Place
from cncpanel.geometry.area import Area
from cncpanel.geometry.contour import Contour, polygon
from cncpanel.geometry.point import Point
from cncpanel.geometry.region import region_of
from cncpanel.geometry.segment import Segment
from cncpanel.geometry.shape import rectangle
from cncpanel.job.model import KeepOut, Settings, Stock
from cncpanel.machine.read import read_machine
from cncpanel.machine.tool import Tool
from cncpanel.operation.operation import PanelPlan, SlotChannel, SlotCut
from cncpanel.operation.slot_way import STEP
from cncpanel.panel.edge import RimSlot, Slot, Stretch
from cncpanel.passes.draft import Title
from cncpanel.passes.sheet import sheet_runs
from cncpanel.passes.shop import Shop
from cncpanel.passes.slot import _slower, rim_slot, slot_pace
from cncpanel.passes.slot_channel import distances, reach, slot_channel

RIM = Place("job.toml", 9, "panel[0].edge[0]")
WALL = rectangle(0, 0, 160, 120)
(DISC,) = [tool for tool in read_machine("nesting-router").tool if tool.undercuts]
FLAT = shop_router().tool[0]


def slot_cut(contour: Contour = WALL, stretch: Stretch | None = None, tool: Tool = DISC) -> SlotCut:
    return SlotCut(
        panel="panel 0", feature="edge 1", side="outside", contour=contour, stretch=stretch, width=1.6, into=9.0,
        levels=(9.8,), apart=1.0, why="", tool=tool,
    )  # fmt: skip


def channel(slot: SlotCut) -> SlotChannel:
    return SlotChannel(panel="panel 0", feature="channel for edge 1", slot=slot, depth=10.3, tool=FLAT)


def stretch(start: float, stop: float, *, opened: bool) -> Stretch:
    return Stretch(start=start, stop=stop, open_start=opened, open_stop=opened, run_out=0.0)


def shop(direction: str = "climb") -> Shop:
    return Shop(shop_router(), STOCK, Settings(direction=direction, finish_direction=direction))  # type: ignore[arg-type]


def title(operation: SlotCut | SlotChannel) -> Title:
    return Title("edge", "panel 0", operation.feature, operation.tool)


def body(contour: Contour = WALL) -> Area:
    return Area.of([region_of(contour)])


def opened(cut: SlotCut) -> Area:
    """What its channel takes at its full depth."""
    ways = slot_channel(channel(cut), title(channel(cut)), shop())
    swept = [Area.swept(one.chains_at(-10.3), FLAT.radius).shape for one in ways]
    return Area(shapely.union_all(swept))


def test_where_the_disc_keeps_and_how_wide_its_channel_is() -> None:
    cut = slot_cut()
    assert (cut.offset, cut.clear_offset, cut.room) == (7.0, 17.0, 34.0)
    assert cut.half_chord == pytest.approx(sqrt(16**2 - 7**2))


def test_the_channels_ways_lie_no_further_apart_than_its_share_of_the_tool_from_kerf_to_far_side() -> None:
    operation = channel(slot_cut())
    found = [FLAT.radius, *distances(operation)]
    steps = [b - a for a, b in pairwise(found)]
    assert found[-1] + FLAT.radius == pytest.approx(34.0)
    assert max(steps) <= STEP * FLAT.cut_diameter + 1e-9
    assert max(steps) - min(steps) < 1e-9


@pytest.mark.parametrize("direction", ["climb", "conventional"])
def test_all_round_the_channel_runs_against_the_slot_for_its_wood_lies_on_the_other_side(direction: str) -> None:
    cut = slot_cut()
    (run,) = rim_slot(cut, title(cut), body(), shop(direction))
    ways = list(slot_channel(channel(cut), title(channel(cut)), shop(direction)))
    assert len(ways) == len(distances(channel(cut)))

    def turn(steps: object) -> bool:
        return bool(shapely.LinearRing([(step.x, step.y) for step in steps]).is_ccw)  # type: ignore[attr-defined]

    assert turn(run.run.steps[2:-1]) == (direction == "conventional")
    assert all(turn(one.run.steps) == (direction == "climb") for one in ways)


def test_what_the_disc_covers_outside_the_part_has_been_opened_deeper_and_the_part_not_touched() -> None:
    """All round, between corners, and with ends on the rim: by sweeping both with shapely's buffer."""
    for part in (None, stretch(0.0, 160.0, opened=True), stretch(30.0, 130.0, opened=False)):
        cut = slot_cut(stretch=part)
        (disc,) = rim_slot(cut, title(cut), body(), shop())
        opened = [
            Area.swept(one.chains_at(-10.3), FLAT.radius) for one in slot_channel(channel(cut), title(cut), shop())
        ]
        ground = Area(shapely.union_all([one.shape for one in opened]))
        kerf = body().grown(2 * FLAT.radius)
        swept = Area.swept(disc.chains_at(-9.8), DISC.radius)
        assert swept.minus(ground).minus(kerf).size < 0.02
        assert ground.overlap(body()) < 0.01
        taken = swept.within(body())
        chord = 0.0 if part is None or part.open_start else cut.half_chord
        length = 2 * (160 + 120) - 4 * 9 if part is None else part.stop - part.start - 2 * chord
        assert taken.size >= length * 9 - 0.5
        assert taken.minus(body().grown(0.0)).is_empty


@pytest.mark.parametrize("direction", ["climb", "conventional"])
@pytest.mark.parametrize("part", [None, stretch(0.0, 160.0, opened=True)], ids=["all round", "a side"])
@pytest.mark.parametrize("contour", [WALL, WALL.reversed()], ids=["left", "right"])
def test_a_channels_feeds_are_noted_and_slower_round_a_corner(
    contour: Contour, part: Stretch | None, direction: str
) -> None:
    """Round the part's corner the rim in the wood goes further than the centre: it shall go no faster there."""
    if contour is not WALL and part is not None:
        part = replace(part, start=0.0, stop=contour.segments[0].length)
    operation, used = channel(slot_cut(contour, part)), shop(direction)
    first = next(slot_channel(operation, title(operation), used))
    z, flat = 0.0, {"arc": set[float](), "straight": set[float]()}
    for step in first.run.steps:
        if step.z == z < -10:
            flat["arc" if step.bulge else "straight"].add(step.feed)
        z = step.z
    assert flat["arc"] | flat["straight"] <= {one.data.feed for one in used.cuts if one.kind == "clear"}
    (straight,) = flat["straight"]
    assert max(flat["arc"]) <= straight * (1 + 0.01) * distances(operation)[0] / (distances(operation)[0] + FLAT.radius)


def test_past_an_end_at_a_corner_the_channel_goes_round_it_as_far_as_the_disc_comes() -> None:
    first, last = reach(channel(slot_cut(stretch=stretch(0.0, 160.0, opened=True))))
    half = slot_cut().half_chord
    assert (first, last) == pytest.approx((-(half + 1.0), 160 + half + 1.0), abs=1e-3)
    first, last = reach(channel(slot_cut(stretch=stretch(30.0, 130.0, opened=False))))
    assert (first, last) == pytest.approx((30 - (17 - half + 1), 130 + 17 - half + 1), abs=1e-3)


def test_a_stretch_whose_channel_would_meet_itself_is_opened_all_round() -> None:
    cut = slot_cut(stretch=stretch(0.0, 545.0, opened=True))
    assert opened(cut).bounds == pytest.approx((-34, -34, 194, 154), abs=0.02)
    assert opened(cut).shape.geom_type == "Polygon"
    assert len(opened(cut).shape.interiors) == 1


def test_about_an_inside_corner_the_centre_goes_slower_and_outside_it_does_not() -> None:
    """A quarter turn of 7 about an inside corner, whose wall is 14 from it: 7 / (7 + 7 + 4.5) of the feed."""
    cut = slot_cut()
    left = Segment(Point(0, 0), Point(7, 7), 0.41421356)
    assert _slower(cut, left, 1000.0, shop()) == pytest.approx(1000 * 7 / 18.5)
    assert _slower(cut, left.reversed(), 1000.0, shop()) == 1000.0
    assert _slower(cut, left.reversed(), 1000.0, shop("conventional")) == pytest.approx(1000 * 7 / 18.5)
    assert _slower(cut, Segment(Point(0, 0), Point(7, 7)), 1000.0, shop()) == 1000.0


def test_head_on_it_is_fed_for_its_chord_and_along_for_the_slots_depth() -> None:
    used = shop()
    paced = slot_pace(slot_cut(), used)
    assert [(one.kind, one.depth, round(one.width, 3)) for one in used.cuts] == [
        ("profile", 1.6, 9.0),
        ("profile", 1.6, 28.775),
    ]
    assert paced.ramp <= paced.slot
    assert paced.rpm <= (DISC.rpm_max or 0.0)


def test_where_a_wall_stands_beside_every_place_it_does_not_come_down() -> None:
    """A notch 28 wide and 60 deep: between its walls there is no place for a disc of 32."""
    notched = polygon(
        [Point(0, 0), Point(160, 0), Point(160, 120), Point(98, 120), Point(98, 60), Point(70, 60), Point(70, 120),
         Point(0, 120)]
    )  # fmt: skip
    floor = notched.length - 120 - 70 - 60 - 28
    cut = slot_cut(notched, stretch(floor, floor + 28, opened=False))
    assert list(rim_slot(cut, title(cut), body(notched), shop())) == []


def slotted(contour: Contour = WALL) -> PanelPlan:
    cut, plain = slot_cut(contour), plan(0, contour)
    rim = RimSlot(
        name="edge 1", rim="outline", inside=False, contour=contour, form=Slot(1.6, 9.0), top=8.2, stretch=None,
        tool=None, place=RIM,
    )  # fmt: skip
    panel = replace(plain.panel, slots=(rim,))
    return replace(plain, panel=panel, operations=(*plain.operations, channel(cut), cut))


def told(apart: float, stock: Stock = STOCK, low: float = 40.0) -> list[tuple[Place, str]]:
    gathering, plans = Gathering(), {0: slotted(), 1: plan(1, WALL)}
    sheet_runs(sheet([(0, 40, low), (1, 200 + apart, low)], stock), plans, shop_router(), Settings(), gathering)
    return [(one.place, f"{one.text} ({one.allowed})") for one in gathering.problems]


OR_ELSE = "or leave bench out: the slot is listed for the bench"


def test_neighbours_clamps_and_the_sheets_edge_in_the_channel_are_told_at_the_edges_line() -> None:
    assert told(34.2) == []
    found = told(30.0)
    assert {place for place, _ in found} == {RIM}
    wide = "panel 0, edge 1: its channel, 34.00 mm wide,"
    assert found[0] == (RIM, f"{wide} would cut panel 1 (a wider gap between them; {OR_ELSE})")
    clamped = STOCK.model_copy(update={"keep_out": (KeepOut(at=(0, 60), size=(15, 20), height=5),)})
    assert (RIM, f"{wide} would meet a clamp or screw (another place for it, or for the part; {OR_ELSE})") in told(
        40, clamped
    )
    over = [text for _, text in told(40, low=20.0)]
    assert over == [f"{wide} goes 13.95 mm over the sheet's edge (a margin of the stock of 34 mm at least; {OR_ELSE})"]
