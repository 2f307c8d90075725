"""The height map: lines, arcs and helices of every outline, by numpy and compiled, against stations along the way."""

from math import pi

import numpy as np
import pytest
from removal_moves import FORMS, arc, brute, chorded, line, path, shifted

from cncpanel.proof import cut_depth, fast, removal, spans
from cncpanel.proof.heightmap import FLOAT_STEP, HeightMap
from cncpanel.proof.removal import NOBODY, MeasuredMap, Removal
from cncpanel.proof.tool_form import cone_form, disc_form, flat_form, nose_form
from cncpanel.proof.ways import distinct, ways_of

SIZE, THICKNESS = (60.0, 40.0), 18.0
NEEDS_FAST = pytest.mark.skipif(not fast.is_there(), reason="the extra 'fast' is not installed")
CELL = 1.25  # mm; coarse, for the stations' sake
MOVES = {
    "a stay": [line((30.0, 20.0, 0.0), (30.0, 20.0, -4.0))],
    "a line": [line((15.3, 11.2, -5.0), (43.1, 27.9, -5.0))],
    "a line along X": [line((15.0, 20.0, -5.0), (45.0, 20.0, -5.0))],
    "a line along Y": [line((30.0, 10.0, -5.0), (30.0, 30.0, -5.0))],
    "a ramp": [line((15.3, 11.2, 0.5), (43.1, 27.9, -6.0))],
    "a ramp upward": [line((43.1, 27.9, -6.0), (15.3, 11.2, -1.0))],
    "a quarter": [arc((40.0, 20.0, -5.0), (30.0, 20.0), pi / 2)],
    "three quarters": [arc((40.0, 20.0, -5.0), (30.0, 20.0), -3 * pi / 2)],
    "a full circle": [arc((40.0, 20.0, -5.0), (30.0, 20.0), 2 * pi)],
    "a tight circle": [arc((31.0, 20.0, -5.0), (30.0, 20.0), 2 * pi)],
    "a helix": [arc((36.0, 20.0, -1.0), (30.0, 20.0), 2 * pi, -5.0)],
    "a tight helix": [arc((31.2, 20.0, 0.5), (30.0, 20.0), -2 * pi, -5.0)],
    "a part of a helix": [arc((22.0, 12.0, -6.0), (30.0, 20.0), 2.0, 4.0)],
}


OFF = (0.0137, 0.0071)  # mm; no cell's middle lies right on a wall
for moves in MOVES.values():
    moves[:] = [shifted(move, *OFF) for move in moves]


def cut(moves, form, cell=CELL, compiled=False):
    heights = HeightMap(SIZE, THICKNESS, cell, compiled=compiled)
    heights.remove(moves, form)
    return heights.depth


def middles(cell=CELL):
    columns, rows = int(SIZE[0] / cell), int(SIZE[1] / cell)
    return np.meshgrid((np.arange(columns) + 0.5) * cell, (np.arange(rows) + 0.5) * cell)


@pytest.mark.parametrize("moves", MOVES.values(), ids=MOVES)
@pytest.mark.parametrize("form", FORMS.values(), ids=FORMS)
def test_the_map_holds_the_depth_at_each_middle(form, moves):
    found = cut(moves, form)
    x, y = middles()
    sampled = brute(moves, form, x, y, steps=1200)
    assert sampled.max() > 1
    over = found - sampled
    assert over.min() > -FLOAT_STEP - 1e-9  # stations only see places where the tool is
    touched = sampled > 0
    near_wall = np.abs(over) > 0.02  # there the depth jumps, or has an upright tangent, between two stations
    assert near_wall[touched].sum() <= 4 + 0.01 * touched.sum()


@NEEDS_FAST
def test_the_compiled_loops_search_as_the_plain_ones_do():
    from cncpanel.proof import compiled_removal as compiled

    assert (cut_depth.SAMPLES, cut_depth.SEARCH, cut_depth.GOLDEN, spans.UPRIGHT) == (
        compiled.SAMPLES,
        compiled.SEARCH,
        compiled.GOLDEN,
        compiled.UPRIGHT,
    )


@NEEDS_FAST
@pytest.mark.parametrize("moves", MOVES.values(), ids=MOVES)
@pytest.mark.parametrize("form", FORMS.values(), ids=FORMS)
def test_compiled_loops_make_the_same_map(form, moves):
    plain, compiled = cut(moves, form), cut(moves, form, compiled=True)
    angles = any(move.centre is not None and move.start[2] != move.end[2] for move in moves)
    sloped = moves[0].start[2] != moves[0].end[2] and not moves[0].is_vertical
    if angles or (sloped and form.flat < form.radius):
        assert np.abs(plain - compiled).max() <= FLOAT_STEP
    else:
        assert (plain == compiled).all()


def test_asking_for_compiled_loops_without_the_extra_is_an_import_error(monkeypatch):
    monkeypatch.setattr(fast, "is_there", lambda: False)
    with pytest.raises(ImportError, match="extra 'fast'"):
        HeightMap(SIZE, THICKNESS, compiled=True)


@pytest.mark.parametrize("name", ["a quarter", "three quarters", "a full circle", "a helix", "a part of a helix"])
@pytest.mark.parametrize("form", FORMS.values(), ids=FORMS)
def test_an_arc_cuts_what_its_fine_chords_cut(form, name):
    whole = cut(MOVES[name], form)
    chords = cut([chord for move in MOVES[name] for chord in chorded(move)], form)
    other = np.abs(whole - chords) > 0.005
    assert other.sum() <= 6  # cells whose middle lies within a chord's height of a wall


def test_a_standing_arc_is_cut_as_lines_along_it():
    form = nose_form(3.0, 3.0)
    down_and_up = arc((20.0, 20.0, -1.0), (0.0, 0.0), 0.0)._replace(
        start=(20.0, 20.0, 2.0), end=(40.0, 20.0, 2.0), centre=(30.0, 20.0, 2.0), turn=-1, sweep=pi, plane="xz"
    )
    assert down_and_up.at(0.5) == pytest.approx((30.0, 20.0, -8.0)) or down_and_up.at(0.5)[2] == pytest.approx(12.0)
    deep = down_and_up if down_and_up.at(0.5)[2] < 0 else down_and_up._replace(turn=1)
    found = cut([deep], form, cell=0.25)
    assert found.max() == pytest.approx(8.0, abs=0.01)


def test_nothing_is_cut_above_the_top_beyond_the_sheet_or_from_nowhere():
    nowhere = float("nan")
    moves = [
        line((10.0, 10.0, 3.0), (20.0, 10.0, 0.0)),
        line((-30.0, -30.0, -5.0), (-10.0, -30.0, -5.0)),
        line((nowhere, nowhere, nowhere), (10.0, 10.0, -5.0)),
    ]
    assert cut(moves, flat_form(3.0)).max() == 0
    assert cut([], flat_form(3.0)).max() == 0


def test_the_map_goes_no_deeper_than_the_sheet():
    assert THICKNESS == cut([line((30.0, 20.0, 0.0), (30.0, 20.0, -19.0))], flat_form(3.0)).max()


def test_z_zero_on_the_table_counts_from_the_sheets_top():
    heights = HeightMap(SIZE, THICKNESS, top=THICKNESS)
    heights.remove([line((30.0, 20.0, 20.0), (30.0, 20.0, 13.0))], flat_form(3.0))
    assert heights.depth_at(30.0, 20.0) == 5.0
    assert heights.depth_at(-1.0, 20.0) == 0.0


def test_a_refined_part_shows_the_same_cut_in_finer_cells():
    moves = MOVES["three quarters"]
    heights = HeightMap(SIZE, THICKNESS)
    part = heights.refined((30.0, 10.0, 50.0, 30.0), 0.05)
    part.remove(moves, flat_form(3.0))
    whole = HeightMap(SIZE, THICKNESS, 0.05)
    whole.remove(moves, flat_form(3.0))
    assert (part.depth == whole.depth[200:600, 600:1000]).all()


def test_ways_that_a_lower_pass_covers_are_left_out_and_others_kept():
    there, back = (10.0, 10.0), (50.0, 10.0)
    moves = [
        line((*there, -2.0), (*back, -2.0)),
        line((*there, 0.0), (*back, -2.0)),
        line((*back, -4.0), (*there, -4.0)),
        line((*there, -3.0), (*back, -5.0)),
        line((*there, -1.0), (30.0, 10.0, -1.0)),
    ]
    assert [2, 3, 4] == distinct(ways_of(moves, 0.0)).number.tolist()


def test_half_circles_of_opposite_sides_are_two_ways():
    above, below = (arc((40.0, 20.0, -5.0), (30.0, 20.0), turn) for turn in (pi, -pi))
    back = arc((20.0, 20.0, -5.0), (30.0, 20.0), pi)
    assert [0, 1] == distinct(ways_of([above, below, back], 0.0)).number.tolist()


def zigzag():
    return path([(10.0 + 2 * (i % 7), 8.0 + 1.7 * i, -1.0 - 0.9 * (i % 5)) for i in range(14)])


@pytest.mark.parametrize("compiled", [False, pytest.param(True, marks=NEEDS_FAST)])
@pytest.mark.parametrize("form", [FORMS["flat"], FORMS["ball"], FORMS["round-over"]], ids=["flat", "ball", "flare"])
def test_each_move_takes_what_the_ones_before_it_left(form, compiled):
    moves = [*zigzag(), *MOVES["three quarters"], *MOVES["a tight helix"]]
    measured = MeasuredMap(HeightMap(SIZE, THICKNESS, compiled=compiled))
    told = measured.remove(moves, form, first=100)
    heights, before = HeightMap(SIZE, THICKNESS), np.zeros((80, 120), dtype=np.float32)
    writer = np.full_like(before, NOBODY)
    for i, move in enumerate(moves):
        heights.remove([move], form)
        gain = heights.depth.astype(float) - before
        assert told.volume[i] == pytest.approx(gain.sum() * 0.25, rel=1e-6, abs=1e-4)
        assert told.area[i] == pytest.approx((gain > 0).sum() * 0.25, abs=0.5)
        assert told.bite[i] == pytest.approx(gain.max(), abs=1e-5)
        writer[gain > 0] = 100 + i
        before = heights.depth.copy()
    assert np.abs(heights.depth - measured.heights.depth).max() <= FLOAT_STEP
    assert (writer == measured.writer).mean() > 0.999


def test_a_move_in_pieces_of_bounded_size_is_measured_the_same(monkeypatch):
    moves, form = [*zigzag(), *MOVES["three quarters"]], flat_form(3.0)
    at_once = MeasuredMap(HeightMap(SIZE, THICKNESS, 0.1))
    one = at_once.remove(moves, form)
    monkeypatch.setattr(cut_depth, "PAIRS", 500)
    monkeypatch.setattr(removal, "PAIRS", 500)
    in_pieces = MeasuredMap(HeightMap(SIZE, THICKNESS, 0.1))
    other = in_pieces.remove(moves, form)
    assert (at_once.heights.depth == in_pieces.heights.depth).all()
    assert (at_once.writer == in_pieces.writer).all()
    assert other.volume == pytest.approx(one.volume)


def test_a_slot_is_as_wide_as_the_tool_and_a_side_cut_as_its_step():
    measured = MeasuredMap(HeightMap((200.0, 40.0), THICKNESS, 0.1))
    moves = [
        line((10.0, 20.0, 0.0), (10.0, 20.0, -5.0)),
        line((10.0, 20.0, -5.0), (190.0, 20.0, -5.0)),
        line((190.0, 20.0, -5.0), (190.0, 21.5, -5.0)),
        line((190.0, 21.5, -5.0), (10.0, 21.5, -5.0)),
    ]
    told = measured.remove(moves, flat_form(3.0))
    assert told.width[1] == pytest.approx(6.0, abs=0.05)
    assert told.width[3] == pytest.approx(1.5, abs=0.05)
    assert told.width[0] == 0
    assert told.mean_bite[1] == pytest.approx(5.0)
    assert told.rate(np.array([1.0, 2.0, 1.0, 1.0]))[1] == pytest.approx(180 * 30 / 2, rel=0.01)
    assert told.power(np.array([1.0, 2.0, 1.0, 1.0]), 35.0)[1] == pytest.approx(180 * 30 / 2 * 35e-3, rel=0.01)


def test_an_undercutting_tool_opens_its_neck_on_its_way_and_its_disc_where_it_goes_down():
    form = disc_form(6.0, 3.0, 2.0)
    heights = HeightMap(SIZE, THICKNESS)
    moves = [line((15.0, 20.0, 0.0), (15.0, 20.0, -8.0)), line((15.0, 20.0, -8.0), (45.0, 20.0, -8.0))]
    heights.remove(moves, form)
    assert heights.depth_at(15.0, 25.5) == 8.0
    assert heights.depth_at(35.0, 21.7) == 8.0
    assert heights.depth_at(35.0, 22.3) == 0.0
    measured = MeasuredMap(HeightMap(SIZE, THICKNESS))
    measured.remove(moves, form)
    assert (heights.depth == measured.heights.depth).all()


def test_reach_is_the_inverse_of_height():
    distance = np.linspace(0.0, 3.999, 200)
    for form in (*FORMS.values(), cone_form(4.0, 90.0)):
        inside = distance[(distance < form.radius) & (distance >= form.flat)]
        if form.flat < form.radius:
            assert form.reaches(form.heights(inside)) == pytest.approx(inside, abs=1e-6)
        assert np.isinf(form.heights(np.array([form.radius + 1e-9]))).all()


def test_moves_made_into_columns_once_cut_the_same():
    moves = [*zigzag(), *MOVES["three quarters"]]
    from_moves, from_columns = HeightMap(SIZE, THICKNESS), HeightMap(SIZE, THICKNESS)
    from_moves.remove(moves, flat_form(3.0))
    from_columns.remove(ways_of(moves, 0.0), flat_form(3.0))
    assert (from_moves.depth == from_columns.depth).all()


def test_the_depth_at_a_place_is_that_of_the_cell_that_holds_it():
    heights = HeightMap((6.0, 4.0), THICKNESS, 2.0, origin=(10.0, -30.0))
    heights.depth[:] = [[1, 2, 3], [4, 5, 6]]
    assert [heights.depth_at(x, -29.5) for x in (10.5, 13.9, 14.1)] == [1, 2, 3]
    assert [heights.depth_at(x, -27.5) for x in (10.5, 13.9, 14.1)] == [4, 5, 6]
    assert [heights.depth_at(*place) for place in ((9.9, -29), (16.1, -29), (11, -30.1), (11, -25.9))] == [0] * 4


@pytest.mark.parametrize("form", [flat_form(3.0), disc_form(6.0, 3.0, 2.0)], ids=["straight", "undercutting"])
def test_no_moves_take_nothing(form):
    measured = MeasuredMap(HeightMap(SIZE, THICKNESS, CELL))
    taken = measured.remove([], form)
    assert 0 == len(taken.volume)
    assert not measured.heights.depth.any()
    assert (measured.writer == NOBODY).all()


@pytest.mark.parametrize("sweep", [pi / 2, -pi / 2])
def test_a_helix_much_tighter_than_its_tool_covers_what_its_disc_comes_to(sweep):
    """A fifth of a millimetre round: on the far side of its middle, from where on the way it is reached."""
    moves = [arc((5.2, 5.1, -1.0), (5.0, 5.1), sweep, -2.0)]
    heights = HeightMap((10.0, 10.0), THICKNESS, 0.1)
    heights.remove(moves, flat_form(2.5))
    x, y = np.meshgrid((np.arange(100) + 0.5) * 0.1, (np.arange(100) + 0.5) * 0.1)
    sampled = brute(moves, flat_form(2.5), x, y, steps=1000)
    assert (heights.depth >= sampled - FLOAT_STEP - 1e-9).all()
    assert (np.abs(heights.depth - sampled) > 0.02).sum() <= 2  # cells that the disc's rim reaches between stations


def test_what_is_removed_in_no_time_has_no_rate():
    taken = Removal(first=0, volume=np.array([6.0, 8.0, 9.0]), area=np.ones(3), bite=np.ones(3), across=np.ones(3))
    seconds = np.array([2.0, 0.0, 0.5])
    left = [np.full(3, 7.0) for _ in range(50)]  # what lies where an array that nobody has filled comes to lie
    del left
    assert [3.0, 0.0, 18.0] == taken.rate(seconds).tolist()
