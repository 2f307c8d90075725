"""Tools are chosen fewest first, then quickest; what they cannot reach is named; what none can make is a Problem."""

import re
from dataclasses import replace
from math import radians, tan

import pytest

from cncpanel.errors import Gathering, Place
from cncpanel.geometry.contour import circle, polygon
from cncpanel.geometry.point import Point
from cncpanel.geometry.region import region_of
from cncpanel.geometry.shape import rectangle, slot
from cncpanel.job.model import Settings, Stock
from cncpanel.machine.model import Machine
from cncpanel.machine.read import read_machine
from cncpanel.operation.operation import Bore, Clear, Drill, PanelPlan, Profile
from cncpanel.operation.plan import plan, tool_reach
from cncpanel.panel.panel import Hole, Opening, Panel, Recess

MDF = Stock(name="mdf", material="mdf", thickness=18, sheet=(2440, 1220), count=1)
PLACE = Place("job.toml", 7, "panel[0]")
FULL = read_machine("shop-router")
SHOP = FULL.model_copy(update={"tool": tuple(t for t in FULL.tool if t.kind != "compression")})


def hole(diameter: float, depth: float | None = None, tool: str | None = None) -> Hole:
    return Hole(
        name=f"hole {diameter:g}",
        centre=Point(100, 100),
        diameter=diameter,
        depth=depth,
        top=0.0,
        tool=tool,
        place=PLACE,
    )


def opening(contour: object, tool: str | None = None) -> Opening:
    return Opening(name="opening", contour=contour, tool=tool, place=PLACE)  # type: ignore[arg-type]


def recess(contour: object, depth: float) -> Recess:
    region = region_of(contour)  # type: ignore[arg-type]
    return Recess(
        name="recess",
        kind="recess",
        region=region,
        open_region=region,
        depth=depth,
        tool=None,
        place=PLACE,
    )


def panel(*features: object, outline: object = None, stock: Stock = MDF) -> Panel:
    def of(kind: type) -> tuple:
        return tuple(f for f in features if isinstance(f, kind))

    return Panel(
        index=0,
        name="front",
        stock=stock,
        face="show",
        copies=1,
        mirrored=0,
        turn="any",
        outline=outline or rectangle(0, 0, 600, 400),  # type: ignore[arg-type]
        openings=of(Opening),
        recesses=of(Recess),
        holes=of(Hole),
        marks=(),
        grilles=(),
        bench=(),
        place=PLACE,
    )


def planned(*features: object, machine: Machine = SHOP, **more: object) -> tuple[PanelPlan, Gathering]:
    gathering = Gathering()
    return plan([panel(*features, **more)], machine, Settings(), gathering)[0], gathering  # type: ignore[arg-type]


def made(found: PanelPlan, feature: str) -> object:
    return next(o for o in found.operations if o.feature == feature)


def with_tools(*numbers: int) -> Machine:
    return SHOP.model_copy(update={"tool": tuple(t for t in SHOP.tool if t.number in numbers)})


def test_one_tool_serves_where_one_can() -> None:
    found, gathering = planned(
        opening(rectangle(50, 50, 200, 200, (6, 6, 6, 6))), recess(rectangle(300, 50, 200, 200, (6, 6, 6, 6)), 6)
    )
    assert {o.tool.name for o in found.operations} == {"6 mm up-cut"}
    assert gathering.found == []


def test_inside_work_stands_before_the_outline() -> None:
    found, _ = planned(hole(30), opening(rectangle(200, 50, 200, 200, (6, 6, 6, 6))), recess(circle((500, 100), 40), 6))
    assert [o.feature for o in found.operations] == ["recess", "hole 30", "opening", "outline"]


def test_a_sturdy_tool_goes_before_a_slender_one() -> None:
    found, _ = planned(opening(slot(Point(50, 50), Point(150, 50), 5.8)))
    assert {o.feature: o.tool.name for o in found.operations} == {
        "opening": "4 mm long up-cut",
        "outline": "6 mm up-cut",
    }


def test_a_slot_as_wide_as_a_tool_is_cut_by_it() -> None:
    found, gathering = planned(opening(slot(Point(50, 50), Point(150, 80), 6.0)))
    assert {o.tool.name for o in found.operations} == {"6 mm up-cut"}
    assert not gathering.found


@pytest.mark.parametrize(
    ("diameter", "kind", "tool"),
    [
        (4.5, Drill, "4.5 mm drill"),
        (4.0, Drill, "4 mm drill"),
        (8.0, Bore, "6 mm up-cut"),
        (24.0, Bore, "6 mm up-cut"),
        (30.0, Clear, "6 mm up-cut"),
        (116.0, Profile, "6 mm up-cut"),
    ],
)
def test_holes_are_drilled_bored_cleared_or_cut_round_by_size(diameter: float, kind: type, tool: str) -> None:
    found, gathering = planned(hole(diameter))
    operation = made(found, f"hole {diameter:g}")
    assert (type(operation), operation.tool.name) == (kind, tool)  # type: ignore[attr-defined]
    assert gathering.problems == ()


def test_a_drill_is_refused_where_the_spindle_is_too_fast_and_the_hole_is_bored() -> None:
    thin = Stock(name="ply", material="plywood", thickness=9, sheet=(600, 600), count=1)
    desktop = read_machine("desktop-router")
    found, gathering = planned(hole(5.0), machine=desktop, stock=thin, outline=rectangle(0, 0, 200, 200))
    assert isinstance(made(found, "hole 5"), Bore)
    assert gathering.problems == ()


def test_a_hole_that_no_tool_makes_is_a_problem_with_a_reason_for_each_tool() -> None:
    found, gathering = planned(hole(2.0), machine=with_tools(1, 3))
    assert [o.feature for o in found.operations] == ["outline"]
    assert list(map(str, gathering.problems)) == [
        "job.toml:7: panel[0]: panel front: hole 2: no tool fits (T1 6 mm up-cut: too wide, it bores holes from "
        "7.2 mm, this one is 2 mm; T3 3 mm up-cut: its flutes are 12 mm long, the cut is 18.50 mm deep)"
    ]


def test_never_a_tool_that_is_too_short() -> None:
    thick = MDF.model_copy(update={"thickness": 30.0})
    found, gathering = planned(machine=with_tools(1, 2), stock=thick)
    assert found.operations == ()
    assert "its flutes are 25 mm long, the cut is 30.50 mm deep" in str(gathering.problems[0])


def test_the_named_tool_is_taken_and_an_unknown_one_is_a_problem() -> None:
    found, _ = planned(opening(rectangle(50, 50, 200, 200, (6, 6, 6, 6)), tool="4 mm long up-cut"))
    assert made(found, "opening").tool.name == "4 mm long up-cut"  # type: ignore[attr-defined]
    _, gathering = planned(opening(rectangle(50, 50, 200, 200), tool="7 mm nothing"))
    assert [p.text for p in gathering.problems] == [
        "panel front: opening: tool '7 mm nothing' is not in the machine's rack"
    ]


def test_sharp_corners_are_named_with_size_and_place() -> None:
    found, gathering = planned(opening(rectangle(50, 50, 200, 200)))
    assert sorted((round(s.at.x, 2), round(s.at.y, 2), round(s.size, 2)) for s in found.spots) == [
        (51.5, 51.5, 3.0),
        (51.5, 248.5, 3.0),
        (248.5, 51.5, 3.0),
        (248.5, 248.5, 3.0),
    ]
    assert [w.text for w in gathering.warnings] == [
        "panel front: opening: T1 6 mm up-cut cannot reach 4 spots: "
        + ", ".join(f"({s.at.x:.1f}, {s.at.y:.1f}) 3.00 mm" for s in found.spots)
    ]


def test_an_inside_corner_of_the_outline_is_named() -> None:
    ell = polygon([(0, 0), (600, 0), (600, 200), (300, 200), (300, 400), (0, 400)])
    found, _ = planned(outline=ell)
    assert [(round(s.at.x, 2), round(s.at.y, 2), round(s.size, 2)) for s in found.spots] == [(301.5, 201.5, 3.0)]


def test_spots_are_told_where_the_author_drew_them() -> None:
    gathering = Gathering()
    drawn = replace(panel(opening(rectangle(50, 50, 200, 200))), drawn_at=Point(-100, -20))
    plan([drawn], SHOP, Settings(), gathering)
    assert "(-48.5, 31.5) 3.00 mm" in gathering.warnings[0].text
    assert "(148.5, 228.5) 3.00 mm" in gathering.warnings[0].text


@pytest.mark.parametrize(("turn_deg", "named"), [(5, 0), (15, 1)])
def test_a_shallow_inside_corner_is_named_where_the_witness_would_find_it(turn_deg: float, named: int) -> None:
    """A round tool leaves r (1 / cos(turn / 2) - 1) in a corner: 0.003 mm of a bend by 5 degrees, 0.026 by 15."""
    rise = 300 * tan(radians(turn_deg))
    found, _ = planned(outline=polygon([(0, 0), (300, 0), (600, -rise), (600, 400), (0, 400)]))
    assert [round(s.at.x) for s in found.spots] == [300] * named
    bent_outwards, _ = planned(outline=polygon([(0, 0), (300, 0), (600, rise), (600, 400), (0, 400)]))
    assert bent_outwards.spots == ()


def test_a_small_slug_is_cleared_and_a_large_one_is_cut_round() -> None:
    small, _ = planned(opening(rectangle(50, 50, 30, 200, (6, 6, 6, 6))))
    large, _ = planned(opening(rectangle(50, 50, 100, 200, (6, 6, 6, 6))))
    assert (type(made(small, "opening")), type(made(large, "opening"))) == (Clear, Profile)


def test_a_recess_may_be_cleared_over_a_deeper_floor_beside_it() -> None:
    deep = recess(rectangle(100, 100, 40, 40, (6, 6, 6, 6)), 10)
    ring = Recess(
        name="recess ring",
        kind="recess",
        region=region_of(rectangle(96, 96, 48, 48, (10, 10, 10, 10)), [deep.region.outer]),
        open_region=region_of(rectangle(96, 96, 48, 48, (10, 10, 10, 10)), [deep.region.outer]),
        depth=4,
        tool=None,
        place=PLACE,
    )
    found, gathering = planned(ring, deep)
    operation = made(found, "recess ring")
    assert isinstance(operation, Clear)
    assert operation.open_region.holes == ()
    assert gathering.problems == ()


def test_the_quickest_is_taken_among_equally_few_tools_that_fit_the_gap() -> None:
    wide, _ = planned(machine=FULL)
    gathering = Gathering()
    narrow = plan([panel()], FULL, Settings(gap=6), gathering)[0]
    assert [o.tool.name for o in (*wide.operations, *narrow.operations)] == ["12 mm compression", "6 mm up-cut"]


def test_the_reach_is_the_widest_outline_tool() -> None:
    found, _ = planned()
    assert tool_reach([found]) == 6.0


def rabbet(tool: str | None = None) -> Recess:
    """12 mm along the left side, open 8 mm beyond it."""
    return Recess(
        name="rabbet",
        kind="rabbet",
        region=region_of(rectangle(0, 0, 12, 400)),
        open_region=region_of(rectangle(-8, -8, 20, 416)),
        depth=9,
        tool=tool,
        place=PLACE,
    )


def test_a_run_out_over_the_rim_reaches_less_far_than_the_outlines_tool() -> None:
    found, _ = planned(rabbet())
    assert made(found, "rabbet").tool.name == "6 mm up-cut"  # type: ignore[attr-defined]
    assert tool_reach([found]) == 6.0


def test_a_wide_tool_that_runs_out_over_the_rim_reaches_further_than_a_narrow_outlines_tool() -> None:
    gathering = Gathering()
    asked = panel(rabbet("12 mm compression"))
    found = plan([asked], FULL, Settings(gap=6), gathering)[0]
    assert gathering.problems == ()
    assert [o.tool.name for o in found.operations] == ["12 mm compression", "6 mm up-cut"]
    assert tool_reach([found]) == pytest.approx(6.1)


def test_a_narrow_groove_beside_a_deeper_recess_is_not_left_to_a_tool_that_fits_the_recess_only() -> None:
    wide = recess(rectangle(100, 100, 200, 20), 6)
    narrow = replace(recess(rectangle(150, 120, 8, 60), 4), name="groove")
    asked = replace(wide, name="wide", tool="12 mm compression")
    found, gathering = planned(asked, narrow, machine=FULL)
    assert [] == [p for p in gathering.problems if not p.warning]
    assert ["12 mm compression", "6 mm up-cut"] == [
        made(found, name).tool.name  # type: ignore[attr-defined]
        for name in ("wide", "groove")
    ]


def test_a_slot_with_square_ends_is_not_excused_by_its_corners() -> None:
    assert 4.0 == _tool_for_a_neck(5.8)
    assert 6.0 == _tool_for_a_neck(6.0)  # its own width


def _tool_for_a_neck(wide: float) -> float:
    low, high = 115 - wide / 2, 115 + wide / 2
    neck = [(130, low), (180, low), (180, high), (130, high)]
    found, _ = planned(recess(polygon([(100, 100), (130, 100), *neck, (130, 130), (100, 130)]), 3), machine=FULL)
    return made(found, "recess").tool.diameter  # type: ignore[attr-defined,no-any-return]


def test_all_places_that_the_tool_does_not_enter_are_named_the_largest_first_with_what_to_do() -> None:
    """A comb of nine gaps too narrow for every tool of 30 mm reach, and one notch with two corners."""
    points: list[tuple[float, float]] = [(0, 0), (600, 0), (600, 400), (580, 400), (580, 360), (550, 360), (550, 400)]
    for x in range(500, 50, -50):
        points += [(x, 400), (x, 370), (x - 3, 370), (x - 3, 400)]
    found, gathering = planned(outline=polygon([*points, (0, 400)]))
    (warning,) = gathering.warnings
    assert len(found.spots) == 11
    assert warning.text.count(" mm,") + 1 == 11
    sizes = [float(size) for size in re.findall(r"\) ([\d.]+) mm", warning.text)]
    assert sizes == sorted(sizes, reverse=True)
    assert sizes[:9] == [30.0] * 9
    assert warning.allowed.startswith("a spot larger than a corner's is a place narrower than ")
    assert "draw it wider, fit a narrower tool or cut it by hand" in warning.allowed
