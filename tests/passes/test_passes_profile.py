"""One wall at a time: direction, allowance, leads, overlap and how many blocks a pass costs."""

from dataclasses import replace
from math import atan, atan2, hypot, pi

import pytest
import shapely
from passes_bench import STOCK, Move, moves, polygon_of, ramp, shop, shop_router, steepest_entry, swept, tool

from cncpanel.geometry.area import Area
from cncpanel.geometry.contour import Contour, circle, polygon
from cncpanel.geometry.region import region_of
from cncpanel.job.model import Settings, Stock
from cncpanel.machine.model import Machine
from cncpanel.operation.operation import Profile
from cncpanel.passes.draft import Title
from cncpanel.passes.profile import profile, track
from cncpanel.passes.run import Run
from cncpanel.passes.shop import Shop

BOX = polygon([(0, 0), (200, 0), (200, 120), (0, 120)])
NOTCHED = polygon([(0, 0), (200, 0), (200, 120), (120, 120), (120, 60), (80, 60), (80, 120), (0, 120)])
DISC = circle((40, 40), 40)
WALLS = {"box": BOX, "notched": NOTCHED, "disc": DISC}
SIDES = ["outside", "inside"]
WORLD = Area.box((-100, -100, 400, 400))


def runs(
    contour: Contour, side: str, machine: Machine | None = None, room: float = 99, neighbour: Area | None = None
) -> list[Run]:
    operation = Profile(panel="p", feature="wall", side=side, contour=contour, tool=tool())  # type: ignore[arg-type]
    inside = Area.of([region_of(contour)])
    scrap = WORLD.minus(inside) if side == "outside" else inside
    if neighbour:
        scrap = scrap.minus(neighbour)
    used = shop(machine)
    way = track(operation, room, used)
    assert way is not None
    title = Title("outline" if side == "outside" else "opening", "p", "wall", tool())
    return [closed.entered(closed.first()).run for closed in profile(operation, way, scrap, title, used)]


def material(contour: Contour, side: str) -> shapely.Geometry:
    solid = polygon_of(contour)
    return solid if side == "outside" else shapely.box(-100, -100, 400, 400).difference(solid)


MACHINES = {
    "climb and finish": {},
    "climb in one": {"finish_allowance": 0.0},
    "conventional": {"direction": "conventional"},
    "conventional finish": {"finish_direction": "conventional"},
    "conventional in one": {
        "direction": "conventional",
        "finish_direction": "conventional",
        "finish_allowance": 0.0,
    },
}


@pytest.mark.parametrize("wall", WALLS)
@pytest.mark.parametrize("side", SIDES)
@pytest.mark.parametrize("habit", MACHINES)
def test_the_kerf_lies_against_the_wall_and_never_in_the_material(wall: str, side: str, habit: str) -> None:
    contour = WALLS[wall]
    cut = swept(runs(contour, side, shop_router(**MACHINES[habit])), -18.5)
    stays = material(contour, side)
    assert stays.buffer(-0.011).intersection(cut).is_empty
    centres = polygon_of(contour).buffer(3 if side == "outside" else -3, quad_segs=256).boundary
    assert centres.buffer(2.99, quad_segs=64).difference(cut.buffer(0.01)).area == pytest.approx(0, abs=1e-3)


@pytest.mark.parametrize("wall", WALLS)
@pytest.mark.parametrize("side", SIDES)
@pytest.mark.parametrize("habit", MACHINES)
def test_entries_are_no_steeper_than_the_ramp(wall: str, side: str, habit: str) -> None:
    for run in runs(WALLS[wall], side, shop_router(**MACHINES[habit])):
        assert steepest_entry(run) <= ramp(shop_router())


def on_the_wall(run: Run, radius: float) -> list[Move]:
    """Flat moves of a tool centre on a circle about (40, 40)."""
    return [
        move
        for move in moves(run)
        if move[0][2] == move[1][2]
        and all(abs(hypot(x - 40, y - 40) - radius) < 1e-6 for x, y, _ in move[:2])
        and move[2]
    ]


@pytest.mark.parametrize(("side", "turns"), [("outside", -1), ("inside", 1)])
def test_climb_is_clockwise_round_a_part_and_counter_clockwise_in_an_opening(side: str, turns: int) -> None:
    (run,) = runs(DISC, side)
    radius = 43 if side == "outside" else 37
    finish = on_the_wall(run, radius)
    assert finish
    assert {turns} == {1 if bulge > 0 else -1 for _, _, bulge, _ in finish}
    assert {-18.5} == {a[2] for a, _, _, _ in finish}


@pytest.mark.parametrize(("side", "turns"), [("outside", 1), ("inside", -1)])
def test_conventional_roughing_turns_the_other_way_and_its_finish_climbs(side: str, turns: int) -> None:
    (run,) = runs(DISC, side, shop_router(direction="conventional"))
    rough, wall = (43.3, 43) if side == "outside" else (36.7, 37)
    assert {turns} == {1 if bulge > 0 else -1 for _, _, bulge, _ in on_the_wall(run, rough)}
    assert {-turns} == {1 if bulge > 0 else -1 for _, _, bulge, _ in on_the_wall(run, wall)}


@pytest.mark.parametrize(("side", "turns"), [("outside", 1), ("inside", -1)])
def test_a_conventional_finish_turns_against_climb_roughing(side: str, turns: int) -> None:
    (run,) = runs(DISC, side, shop_router(finish_direction="conventional"))
    rough, wall = (43.3, 43) if side == "outside" else (36.7, 37)
    assert {-turns} == {1 if bulge > 0 else -1 for _, _, bulge, _ in on_the_wall(run, rough)}
    assert {turns} == {1 if bulge > 0 else -1 for _, _, bulge, _ in on_the_wall(run, wall)}


@pytest.mark.parametrize("direction", ["climb", "conventional"])
@pytest.mark.parametrize("wall", ["box", "notched"])
def test_a_finish_is_slower_before_inside_corners_alone(wall: str, direction: str) -> None:
    (run,) = runs(WALLS[wall], "outside", shop_router(finish_direction=direction, finish_allowance=1.0))
    finish = [move for move in moves(run) if move[0][2] == move[1][2] == -18.5]
    fastest = max(feed for *_, feed in finish)
    slow = [b for _, b, bulge, feed in finish if feed < 0.999 * fastest and not bulge and abs(b[1] - 63) < 1e-6]
    assert sorted(round(x, 6) for x, _, _ in slow) == ([83.0, 117.0] if wall == "notched" else [])


def test_roughing_leaves_the_allowance_and_the_finish_takes_it() -> None:
    (run,) = runs(BOX, "outside")
    part = polygon_of(BOX)
    assert part.distance(swept([run], -17.0)) == pytest.approx(0.0, abs=1e-6)
    rough = replace(run, steps=tuple(step for step in run.steps if step.z > -18.4))
    assert part.distance(swept([rough], -13.8)) == pytest.approx(0.3, abs=1e-3)


def test_without_room_for_the_allowance_the_passes_go_along_the_wall() -> None:
    (run,) = runs(BOX, "outside", room=0.0)
    depths = {a[2] for a, b, _, _ in moves(run) if a[2] == b[2] and abs(a[1] + 3) < 1e-9 and abs(b[1] + 3) < 1e-9}
    assert {-4.625, -9.25, -13.875, -18.5} == depths


def test_leads_stay_clear_of_a_neighbour() -> None:
    neighbour = Area.box((-100, 126, 400, 400)).plus(Area.box((206, -100, 400, 400)))
    (run,) = runs(BOX, "outside", shop_router(finish_allowance=0.0), room=0.0, neighbour=neighbour)
    cut = swept([run], 0.0)
    assert cut.intersection(neighbour.shape.buffer(-0.011)).is_empty
    assert cut.intersection(polygon_of(BOX).buffer(-0.011)).is_empty


def test_hemmed_in_all_round_there_is_no_lead_but_an_overlap() -> None:
    neighbour = Area.box((-100, -100, 400, 400)).minus(Area.of([region_of(BOX)]).grown(6.0))
    (run,) = runs(BOX, "outside", shop_router(finish_allowance=0.0), room=0.0, neighbour=neighbour)
    ring = shapely.LinearRing(polygon_of(BOX).buffer(3, quad_segs=256).exterior.coords)
    assert all(ring.distance(shapely.Point(step.x, step.y)) < 0.001 for step in run.steps)


def test_the_wall_is_met_and_left_along_it() -> None:
    (run,) = runs(BOX, "outside")
    way = list(moves(run))
    onto, first, last, off = _leads(way)
    assert abs(_turn(_end_angle(onto), _start_angle(first))) < 1e-6
    assert abs(_turn(_end_angle(last), _start_angle(off))) < 1e-6


def _leads(way: list[Move]) -> tuple[Move, Move, Move, Move]:
    """The last moves: lead on, finish, lead off."""
    feed = way[-2][3]
    finish = [i for i, move in enumerate(way) if move[3] == feed and move[2]]
    first = next(i for i in finish if abs(way[i][1][1] - 123) < 1e-9 or abs(way[i][1][1] + 3) < 1e-9)
    return way[first], way[first + 1], way[-2], way[-1]


def _start_angle(move: Move) -> float:
    (x0, y0, _), (x1, y1, _), bulge, _ = move
    return atan2(y1 - y0, x1 - x0) - 2 * atan(bulge)


def _end_angle(move: Move) -> float:
    (x0, y0, _), (x1, y1, _), bulge, _ = move
    return atan2(y1 - y0, x1 - x0) + 2 * atan(bulge)


def _turn(a: float, b: float) -> float:
    return (b - a + pi) % (2 * pi) - pi


@pytest.mark.parametrize("wall", WALLS)
@pytest.mark.parametrize("side", SIDES)
def test_a_pass_costs_few_blocks(wall: str, side: str) -> None:
    """n lines and arcs with c corners that need a joining arc: at most n + c + 8 blocks a pass, ramp apart."""
    contour = WALLS[wall]
    used = shop()
    (run,) = runs(contour, side)
    ramps = sum(a[2] - b[2] > 1e-9 for a, b, _, _ in moves(run))
    passes = len(used.step_depths(tool(), "slot", 18.5)) + 1
    n = len(contour.vertices)
    corners = {("box", "outside"): 4, ("notched", "outside"): 6, ("notched", "inside"): 2}.get((wall, side), 0)
    assert (len(run.steps) - ramps) / passes <= n + corners + 8


def test_the_stock_decides_how_deep_a_through_cut_goes() -> None:
    thick = Stock(**{**STOCK.model_dump(), "measured": (17.9, 18.3)})
    used = Shop(shop_router(), thick, Settings())
    assert pytest.approx(used.bottom) == -18.8
    assert pytest.approx(used.tab_top) == -15.9
