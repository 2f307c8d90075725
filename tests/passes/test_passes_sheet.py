"""Whole sheets: what is swept at each depth, what stays, what is held."""

from math import cos, hypot, pi, sin

import pytest
import shapely
import shapely.affinity
from passes_bench import (
    STOCK,
    made,
    moves,
    plan,
    polygon_of,
    ramp,
    sheet,
    shop_router,
    steepest_entry,
    swept,
    tool,
)

from cncpanel.errors import Gathering
from cncpanel.geometry.contour import Contour, Vertex, circle, polygon
from cncpanel.geometry.point import Point
from cncpanel.geometry.region import region_of
from cncpanel.job.model import Settings
from cncpanel.machine.read import read_machine
from cncpanel.operation.operation import Bore, Clear, Profile
from cncpanel.passes.run import SheetRuns, Tab
from cncpanel.passes.sheet import sheet_runs

BOX = polygon([(0, 0), (200, 0), (200, 120), (0, 120)])
POCKET = polygon([(10, 10), (40, 10), (40, 60), (10, 60)])
DISC = circle((40, 40), 40)
BOTTOM = -18.0


def moved(contour: Contour, x: float, y: float) -> shapely.Polygon:
    return shapely.affinity.translate(polygon_of(contour), x, y)


def window(contour: Contour, panel: int = 0) -> Profile:
    return Profile(panel=f"panel {panel}", feature="window", side="inside", contour=contour, tool=tool())


def pieces_of(runs: SheetRuns, length: float = 1000, width: float = 600) -> list[shapely.Polygon]:
    """What hangs together at the sheet's underside, tabs counted; flakes left out."""
    left = shapely.box(0, 0, length, width).difference(swept(runs.runs, BOTTOM))
    return [piece for piece in shapely.get_parts(left.buffer(-0.2)) if piece.area > 5]


def tab_zone(tab: Tab, radius: float) -> shapely.Geometry:
    """Where wood may stay for a tab: the lift's length along the wall, across a kerf or two."""
    half = tab.width / 2 + radius
    a = tab.centre.plus(tab.along.times(half))
    b = tab.centre.minus(tab.along.times(half))
    return shapely.LineString([a, b]).buffer(4 * 2 * radius, cap_style="flat")


def test_an_outline_is_cut_right_through_all_round_but_for_its_tabs_and_never_into_the_part() -> None:
    runs = made([(0, 100, 100)], [plan(0, BOX)])
    cut, part = swept(runs.runs, BOTTOM), moved(BOX, 100, 100)
    assert part.buffer(-0.011).intersection(cut).is_empty
    kerf = part.buffer(6, quad_segs=64).difference(part.buffer(0.01, quad_segs=64))
    tabs = shapely.union_all([tab_zone(tab, 3) for tab in runs.tabs])
    assert kerf.difference(cut.buffer(0.01)).difference(tabs).area == pytest.approx(0, abs=0.01)
    assert len(runs.tabs) >= 3


def test_the_part_hangs_on_its_tabs_and_on_nothing_else() -> None:
    runs = made([(0, 100, 100)], [plan(0, BOX)])
    assert len(pieces_of(runs)) == 1
    above = shapely.box(0, 0, 1000, 600).difference(swept(runs.runs, -16.0 + 0.01))
    assert len([piece for piece in shapely.get_parts(above.buffer(-0.2)) if piece.area > 5]) == 2


def test_a_tab_stays_as_high_over_the_underside_as_it_says() -> None:
    runs = made([(0, 100, 100)], [plan(0, BOX)])
    for tab in runs.tabs:
        assert -18 + tab.height == pytest.approx(tab.top)
        just_over, just_under = swept(runs.runs, tab.top), swept(runs.runs, tab.top - 0.001)
        out = tab.along.left.times(-1.0)
        kerf_middle = shapely.Point(tab.centre.plus(out.times(3)))
        assert just_over.contains(kerf_middle)
        assert not just_under.contains(kerf_middle)


def test_tabs_keep_away_from_corners_and_within_the_spacing() -> None:
    runs = made([(0, 100, 100)], [plan(0, BOX)])
    ring = shapely.LinearRing(BOX.flattened(0.01))
    places = sorted(ring.project(shapely.Point(t.centre.x - 100, t.centre.y - 100)) for t in runs.tabs)
    gaps = [(b - a) % ring.length for a, b in zip(places, places[1:] + places[:1], strict=True)]
    assert max(gaps) <= 250
    for tab in runs.tabs:
        for corner in ((100, 100), (300, 100), (300, 220), (100, 220)):
            assert tab.centre.distance(Point(*corner)) >= 4 + 6


@pytest.mark.parametrize("gap", [6.0, 6.5, 8.0, 11.0, 13.0, 20.0])
def test_neighbours_in_a_grid_are_all_held_whatever_the_gap(gap: float) -> None:
    places = [(0, 3 + i * (200 + gap), 3 + j * (120 + gap)) for i in range(3) for j in range(2)]
    runs = made(places, [plan(0, BOX)])
    assert len(pieces_of(runs)) == 1
    cut = swept(runs.runs, BOTTOM)
    for _, x, y in places:
        assert moved(BOX, x, y).buffer(-0.011).intersection(cut).is_empty


def test_a_shared_kerf_keeps_the_tabs_of_both_neighbours() -> None:
    runs = made([(0, 3, 3), (0, 209, 3)], [plan(0, BOX)])
    cut = swept(runs.runs, BOTTOM)
    for tab in runs.tabs:
        across = shapely.LineString([tab.centre, tab.centre.plus(tab.along.left.times(-6.0))])
        assert not cut.intersects(across.buffer(tab.width / 2 - 0.05, cap_style="flat"))


def test_a_round_part_has_three_tabs_on_its_arc() -> None:
    runs = made([(0, 100, 100)], [plan(0, DISC)])
    assert len(runs.tabs) == 3
    assert len(pieces_of(runs)) == 1


def test_a_tiny_part_is_held_or_told() -> None:
    runs = made([(0, 100, 100)], [plan(0, polygon([(0, 0), (30, 0), (30, 20), (0, 20)]))])
    assert len(runs.tabs) >= 2
    assert len(pieces_of(runs)) == 1


def test_a_part_too_small_for_any_tab_is_a_problem_that_names_it() -> None:
    gathering, small = Gathering(), polygon([(0, 0), (7, 0), (7, 7), (0, 7)])
    known = {0: plan(0, small)}
    sheet_runs(sheet([(0, 100, 100)]), known, shop_router(), Settings(), gathering)
    assert [str(problem) for problem in gathering.problems] == [
        "job.toml:7: panel[0]: panel 0: no tab fits, so it would come free while it is cut "
        "(smaller or lower tabs, a smaller tool, or more room on the sheet)"
    ]


def test_the_slug_of_an_opening_is_held() -> None:
    hole = polygon([(60, 40), (140, 40), (140, 80), (60, 80)])
    runs = made([(0, 100, 100)], [plan(0, BOX, window(hole))])
    assert sum(tab.feature == "window" for tab in runs.tabs) >= 2
    assert len(pieces_of(runs)) == 1
    cut = swept(runs.runs, BOTTOM)
    assert moved(hole, 100, 100).intersection(cut).area > 500
    frame = moved(BOX, 100, 100).difference(moved(hole, 100, 100).buffer(0.011))
    assert frame.buffer(-0.011).intersection(cut).is_empty


@pytest.mark.parametrize(("width", "height"), [(80, 40), (60, 60), (100, 80)])
def test_a_slug_that_is_pushed_little_hangs_on_two_tabs(width: float, height: float) -> None:
    """Common practice, no source: two points for scrap, three for a part."""
    hole = polygon([(40, 20), (40 + width, 20), (40 + width, 20 + height), (40, 20 + height)])
    runs = made([(0, 100, 100)], [plan(0, BOX, window(hole))])
    assert sum(tab.feature == "window" for tab in runs.tabs) == 2


def test_an_opening_with_a_neck_holds_both_of_its_slugs() -> None:
    dumbbell = polygon(
        [(20, 30), (80, 30), (80, 55), (120, 55), (120, 30), (180, 30),
         (180, 90), (120, 90), (120, 65), (80, 65), (80, 90), (20, 90)]
    )  # fmt: skip
    runs = made([(0, 100, 100)], [plan(0, BOX, window(dumbbell))])
    assert len(pieces_of(runs)) == 1


def test_a_small_slug_is_cut_away_whole() -> None:
    hole = polygon([(60, 40), (85, 40), (85, 65), (60, 65)])
    runs = made([(0, 100, 100)], [plan(0, BOX, window(hole))])
    assert sum(tab.feature == "window" for tab in runs.tabs) == 0
    assert [run.kind for run in runs.runs if run.feature == "waste"][:1] == ["hole"]
    cut = swept(runs.runs, BOTTOM)
    assert moved(hole, 100, 100).buffer(-3).buffer(2.99).difference(cut).area == pytest.approx(0, abs=0.05)


def test_a_star_of_scrap_between_four_round_corners_is_cut_away() -> None:
    outline = polygon([(0, 0), (120, 0), (120, 120), (0, 120)])
    rounded = Contour(
        tuple(
            Vertex(x, y, b)
            for x, y, b in [
                (20, 0, 0), (100, 0, 0.41421356), (120, 20, 0), (120, 100, 0.41421356),
                (100, 120, 0), (20, 120, 0.41421356), (0, 100, 0), (0, 20, 0.41421356),
            ]
        )
    )  # fmt: skip
    assert outline.area > rounded.area
    runs = made([(0, 3, 3), (0, 129, 3), (0, 3, 129), (0, 129, 129)], [plan(0, rounded)])
    assert len(pieces_of(runs)) == 1
    assert not shapely.box(124, 124, 128, 128).difference(swept(runs.runs, BOTTOM)).area > 0.01


def test_no_flat_tool_enters_material_steeper_than_the_machine_ramps() -> None:
    hole = polygon([(60, 40), (140, 40), (140, 80), (60, 80)])
    pocket = Clear(
        panel="panel 0", feature="recess", tool=tool(), depth=9,
        region=region_of(POCKET), open_region=region_of(POCKET),
    )  # fmt: skip
    bored = Bore(panel="panel 0", feature="hole", centre=Point(170, 60), diameter=10, top=0, depth=None, tool=tool())
    machine = shop_router()
    runs = made([(0, 100, 100), (0, 306, 100)], [plan(0, BOX, window(hole), pocket, bored)], machine)
    assert all(steepest_entry(run) <= ramp(machine) for run in runs.runs)


def test_every_run_frees_its_part_once_and_begins_over_the_sheet_or_a_cleared_floor() -> None:
    runs = made([(0, 3, 3), (0, 209, 3), (1, 3, 200)], [plan(0, BOX), plan(1, DISC)])
    assert sorted(run.part for run in runs.runs if run.frees) == ["panel 0", "panel 0 2", "panel 1"]
    assert all(run.approach == 2.0 for run in runs.runs if run.kind == "outline")


def test_no_step_is_empty_and_no_arc_turns_further_than_half_round() -> None:
    runs = made([(0, 3, 3), (0, 209, 3), (1, 3, 200)], [plan(0, BOX), plan(1, DISC)])
    for run in runs.runs:
        for (x0, y0, z0), (x1, y1, z1), bulge, feed in moves(run):
            assert hypot(x1 - x0, y1 - y0) + abs(z1 - z0) > 1e-4
            assert abs(bulge) <= 1.0 + 1e-9
            assert feed > 0


def test_the_same_sheet_gives_the_same_runs() -> None:
    first = made([(0, 3, 3), (0, 209, 3)], [plan(0, BOX)])
    assert first == made([(0, 3, 3), (0, 209, 3)], [plan(0, BOX)])


def test_a_tool_that_is_too_short_is_a_problem_with_all_lengths() -> None:
    gathering = Gathering()
    known = {0: plan(0, BOX, cutter=tool(3))}
    sheet_runs(sheet([(0, 100, 100)]), known, shop_router(), Settings(), gathering)
    assert [str(problem) for problem in gathering.problems] == [
        "job.toml:7: panel[0]: panel 0, outline: T3 3 mm up-cut goes 12 mm deep at most (flutes 12, stick-out 24 mm), "
        "18.5 mm are needed in MDF 18, 18 mm thick (a longer tool, or less depth)"
    ]


def test_a_neighbour_nearer_than_the_tool_is_wide_is_a_problem() -> None:
    gathering = Gathering()
    sheet_runs(sheet([(0, 3, 3), (0, 207, 3)]), {0: plan(0, BOX)}, shop_router(), Settings(), gathering)
    told = (
        "job.toml:7: panel[0]: panel 0: T1 6 mm up-cut cuts 2.00 mm into panel 0 2, 4.00 mm away "
        "(a gap of 6 mm at least)"
    )
    assert told in [str(problem) for problem in gathering.problems]


@pytest.mark.parametrize("name", ["shop-router", "desktop-router", "nesting-router"])
def test_no_step_is_faster_than_the_machine_goes_in_z_or_across(name: str) -> None:
    machine = read_machine(name)
    cutter = next(t for t in machine.tool if t.is_flat and t.reach >= 18.7)
    hole = polygon([(60, 40), (140, 40), (140, 80), (60, 80)])
    opening = Profile(panel="panel 0", feature="window", side="inside", contour=hole, tool=cutter)
    slot = Clear(
        panel="panel 0", feature="slot", region=region_of(POCKET), open_region=region_of(POCKET), depth=None,
        tool=cutter,
    )  # fmt: skip
    gap = cutter.cut_diameter + 1
    firm = Settings(tab_height=3.0)  # the window's slug is small for a 12 mm tool
    places = [(0, 30, 30), (0, 230 + gap, 30)]
    runs = made(places, [plan(0, BOX, opening, slot, cutter=cutter)], machine, settings=firm)
    for run in runs.runs:
        for (x0, y0, z0), (x1, y1, z1), bulge, feed in moves(run):
            across = hypot(x1 - x0, y1 - y0) * (1.0 if abs(bulge) < 1e-9 else 1.01)
            climb = abs(z1 - z0) / hypot(across, z1 - z0)
            assert feed * climb <= machine.motion.feed_z_max * 1.01
            assert feed <= max(machine.motion.feed_xy_max, machine.motion.feed_z_max)


def test_a_strip_too_thin_to_hold_between_two_parts_is_cut_away() -> None:
    places = [(0, 50, 50), (0, 263.0, 50)]
    runs = made(places, [plan(0, BOX)])
    assert [run.feature for run in runs.runs].count("waste") >= 1
    strip = shapely.box(256.32, 60, 256.68, 160)
    tabs = shapely.union_all([tab_zone(tab, 3) for tab in runs.tabs])
    assert strip.difference(swept(runs.runs, BOTTOM)).difference(tabs).area == pytest.approx(0, abs=0.01)


def rabbeted(depth: float) -> tuple[Tab, ...]:
    """The tabs of a part with a rabbet along its lower side, from wall to wall."""
    edge = region_of(polygon([(0, 0), (200, 0), (200, 12), (0, 12)]))
    over = region_of(polygon([(-3.1, -3.1), (203.1, -3.1), (203.1, 12), (-3.1, 12)]))
    rabbet = Clear(panel="panel 0", feature="rabbet", region=edge, open_region=over, depth=depth, tool=tool())
    return made([(0, 100, 100)], [plan(0, BOX, rabbet)]).tabs


def test_no_tab_is_put_where_a_deep_rabbet_runs_out() -> None:
    tabs = rabbeted(16.5)
    assert len(tabs) >= 3
    assert all(tab.centre.y > 112 + tab.width for tab in tabs)


def test_tabs_stand_under_a_rabbet_that_stays_over_their_tops() -> None:
    (top,) = {tab.top for tab in rabbeted(16.5)}
    assert all(any(tab.centre.y < 112 for tab in rabbeted(depth)) for depth in (5.0, 0.0 - top - 0.1))
    assert not any(tab.centre.y < 112 for tab in rabbeted(0.1 - top))


def test_a_free_form_outline_of_short_lines_is_held_too() -> None:
    points = [(100 + 90 * cos(i * pi / 90), 60 + 50 * sin(i * pi / 90)) for i in range(180)]
    runs = made([(0, 100, 100)], [plan(0, polygon(points))])
    assert len(runs.tabs) >= 3
    assert len(pieces_of(runs)) == 1


def test_readings_of_the_stock_rule_the_cut_and_the_tabs() -> None:
    uneven = STOCK.model_copy(update={"measured": (17.7, 18.2)})
    runs = made([(0, 100, 100)], [plan(0, BOX)], stock=uneven)
    assert min(step.z for run in runs.runs for step in run.steps) == pytest.approx(-18.7)
    assert {round(tab.top, 9) for tab in runs.tabs} == {-15.7}


def test_the_job_sets_the_size_of_its_tabs() -> None:
    runs = made([(0, 100, 100)], [plan(0, BOX)], settings=Settings(tab_width=12, tab_height=3))
    assert {(tab.width, tab.height, tab.top) for tab in runs.tabs} == {(12, 3, -15)}


def test_a_measured_diameter_rules_the_path() -> None:
    worn = tool().model_copy(update={"measured_diameter": 5.8})
    runs = made([(0, 100, 100)], [plan(0, BOX, cutter=worn)])
    cut = swept(runs.runs, BOTTOM)
    assert moved(BOX, 100, 100).distance(cut) == pytest.approx(0, abs=1e-3)
    assert moved(BOX, 100, 100).buffer(-0.011).intersection(cut).is_empty


def test_a_crumb_in_the_sheets_corner_takes_few_moves_and_none_stays_loose() -> None:
    stock = STOCK.model_copy(update={"margin": 10.0})
    square = polygon([(0, 0), (200, 0), (200, 100), (0, 100)])
    places = [(0, 10.0, 10.0)]
    cutter = tool(4)
    runs = made(places, [plan(0, square, cutter=cutter)], stock=stock)
    crumbs = [run for run in runs.runs if run.feature == "waste"]
    assert 1 <= sum(len(run.steps) for run in crumbs) < 150
    assert len([piece for piece in pieces_of(runs) if piece.area < 100]) == 0
