"""The height map against a target: gouges and leftovers in mm, with their place and the move that made them."""

import numpy as np
import pytest
import shapely
from proof_scene import good_text, machine, scene_target
from removal_moves import line

from cncpanel.proof.compare_map import MapComparison
from cncpanel.proof.heightmap import HeightMap
from cncpanel.proof.reader import read
from cncpanel.proof.removal import MeasuredMap
from cncpanel.proof.scan import inside
from cncpanel.proof.setup import Setup
from cncpanel.proof.spans import Grid
from cncpanel.proof.target import Floor, Piece, Target
from cncpanel.proof.tool_form import flat_form

GRID = Grid(origin=(-3.0, 2.0), cell=0.7, rows=60, columns=80)


def random_shape(rng):
    discs = shapely.buffer(shapely.points(rng.uniform((0, 5), (50, 40), (6, 2))), rng.uniform(2, 12, 6))
    hollows = shapely.buffer(shapely.points(rng.uniform((0, 5), (50, 40), (4, 2))), rng.uniform(1, 6, 4))
    return shapely.difference(shapely.union_all(discs), shapely.union_all(hollows))


@pytest.mark.parametrize("seed", range(8))
def test_cells_inside_are_those_that_geos_calls_inside(seed):
    shape = random_shape(np.random.default_rng(seed))
    x, y = np.meshgrid(GRID.origin[0] + (np.arange(80) + 0.5) * 0.7, GRID.origin[1] + (np.arange(60) + 0.5) * 0.7)
    found = np.zeros((60, 80), dtype=bool)
    window, mask = inside(shape, GRID)
    found[window] = mask
    assert (found == shapely.contains_xy(shape, x, y)).all()


def test_nothing_and_what_lies_off_the_grid_hold_no_cell():
    for shape in (shapely.Polygon(), shapely.box(500, 500, 600, 600), shapely.box(-90, -90, -80, -80)):
        assert inside(shape, GRID)[1].sum() == 0


TARGET = Target(
    sheet=shapely.box(0, 0, 60, 40),
    thickness=18.0,
    pieces=(Piece(name="plate", shape=shapely.box(5, 5, 55, 35)),),
    floors=(Floor(name="recess", kind="recess", shape=shapely.box(17, 17, 43, 23), depth=5.0),),
)


def after(*moves):
    measured = MeasuredMap(HeightMap((60.0, 40.0), 18.0, 0.25))
    measured.remove(moves, flat_form(3.0), first=0)
    return list(MapComparison(measured, TARGET).differences())


def test_a_move_too_deep_is_told_with_its_depth_place_and_number():
    down, along = line((20.0, 20.0, 0.0), (20.0, 20.0, -5.0)), line((20.0, 20.0, -5.0), (40.0, 20.0, -5.0))
    dip = line((30.0, 20.0, -5.0), (30.0, 20.0, -5.4))
    found = [one for one in after(down, along, dip) if one.kind == "gouge"]
    assert [("recess", 2)] == [(one.name, one.move) for one in found]
    assert found[0].amount == pytest.approx(0.4, abs=1e-5)
    assert np.hypot(found[0].x - 30, found[0].y - 20) <= 3
    assert found[0].area == pytest.approx(np.pi * 9, rel=0.02)


def test_a_move_off_its_way_gouges_the_part():
    found = after(line((20.0, 21.0, -5.0), (40.0, 21.0, -5.0)))
    assert {"gouge", "leftover"} == {one.kind for one in found}
    gouge = next(one for one in found if one.kind == "gouge")
    assert ("plate", 0) == (gouge.name, gouge.move)
    assert gouge.amount == pytest.approx(5.0, abs=1e-5)
    assert gouge.y > 23


def test_what_was_never_cut_is_a_leftover_of_no_move():
    (found,) = after()
    assert ("leftover", "recess", -1, 5.0) == (found.kind, found.name, found.move, found.amount)


def test_the_good_program_leaves_only_what_a_finer_look_allows():
    on, wanted = machine(), scene_target()
    setup = Setup(on, wanted.thickness)
    moves = read(good_text(), setup.control).moves
    measured = MeasuredMap(HeightMap((300.0, 200.0), wanted.thickness, 0.5, top=setup.top))
    for tool in sorted({move.tool for move in moves} & setup.tools.keys()):
        cutting = [move for move in moves if move.tool == tool and move.kind != "rapid"]
        measured.remove(cutting, setup.tools[tool])
    beside_tabs = shapely.union_all([shapely.Point(tab.x, tab.y).buffer(tab.width / 2 + 6) for tab in wanted.tabs])
    assert [] == list(MapComparison(measured, wanted, may_stay=beside_tabs).differences())
    assert measured.heights.volume > 10_000
