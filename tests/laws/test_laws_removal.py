"""What holds for every set of moves: exact depths at the middles, no order, more moves never leave more."""

from math import hypot, pi

import numpy as np
from hypothesis import example, given, settings
from hypothesis import strategies as st
from law_examples import examples

from cncpanel.proof.heightmap import FLOAT_STEP, HeightMap
from cncpanel.proof.motion import Move
from cncpanel.proof.removal import MeasuredMap
from cncpanel.proof.tool_form import ToolForm, cone_form, flare_form, flat_form, nose_form

SIZE, CELL = (30.0, 20.0), 1.0
PLACES = st.tuples(st.floats(-3, 33), st.floats(-3, 23), st.floats(-9, 1))
FORMS = st.sampled_from(
    [
        flat_form(2.03),
        flat_form(5.1),
        cone_form(3.1, 90.0),
        nose_form(3.1, 3.1),
        nose_form(4.1, 1.5),
        flare_form(4.1, 1.1, 3.0),
    ]
)


@st.composite
def moves(draw):
    start = draw(PLACES)
    if draw(st.booleans()):
        end = draw(PLACES)
        if draw(st.booleans()):
            end = (*end[:2], start[2])
        return Move(1, "feed", start, end, 1000.0, 9000.0, True, 1)
    centre = (draw(st.floats(0, 30)), draw(st.floats(0, 20)), start[2])
    if hypot(start[0] - centre[0], start[1] - centre[1]) < 0.05:
        start = (centre[0] + 1.0, centre[1], start[2])
    sweep, turn = draw(st.floats(0.05, 2 * pi)), draw(st.sampled_from((1, -1)))
    rise = draw(st.sampled_from((0.0, -3.0, 2.5)))
    move = Move(1, "arc", start, (*start[:2], start[2] + rise), 1000.0, 9000.0, True, 1, centre, turn, sweep)
    x, y, _ = move.at(1 - 1e-15)
    return move._replace(end=(x, y, start[2] + rise))


HARDLY_ASIDE = [Move(1, "feed", (0.0, 0.0, 0.0), (0.0, 2.2e-257, -1.0), 1000.0, 9000.0, True, 1)]
PROGRAMS = st.lists(moves(), min_size=1, max_size=6)


def depth_of(some: list[Move], form: ToolForm) -> np.ndarray:
    heights = HeightMap(SIZE, 18.0, CELL)
    heights.remove(some, form)
    return heights.depth


@given(PROGRAMS, FORMS)
@settings(max_examples=examples(80), deadline=None)
def test_a_cell_is_as_deep_as_every_station_of_the_tool_makes_it(some, form):
    found = depth_of(some, form)
    x, y = np.meshgrid(np.arange(30) + 0.5, np.arange(20) + 0.5)
    inside = form.radius - 1e-6  # a middle right on a wall may fall either way
    for move in some:
        for share in np.linspace(0, 1, 41):
            at_x, at_y, at_z = move.at(float(share))
            distance = np.hypot(x - at_x, y - at_y)
            cut = np.where(distance < inside, -at_z - form.heights(np.minimum(distance, form.radius)), 0.0)
            missing = cut - found
            assert missing.max() <= (FLOAT_STEP if form.is_convex or move.centre is None else 0.05)


@given(PROGRAMS, FORMS)
@settings(max_examples=examples(80), deadline=None)
def test_no_cell_is_deeper_than_the_deepest_tip_or_further_than_the_tool_reaches(some, form):
    found = depth_of(some, form)
    assert found.max() <= max(0.0, *(-min(move.start[2], move.end[2]) for move in some)) + FLOAT_STEP
    x, y = np.meshgrid(np.arange(30) + 0.5, np.arange(20) + 0.5)
    nearest = np.full_like(x, np.inf)
    for move in some:
        for share in np.linspace(0, 1, 201):
            at_x, at_y, _ = move.at(float(share))
            nearest = np.minimum(nearest, np.hypot(x - at_x, y - at_y))
    gap = max(move.length for move in some) / 400
    assert (found[nearest > form.radius + gap + 1e-6] == 0).all()


@given(PROGRAMS, FORMS, st.randoms(use_true_random=False))
@settings(max_examples=examples(40), deadline=None)
def test_the_order_makes_no_difference_to_what_is_left(some, form, random):
    other = list(some)
    random.shuffle(other)
    assert (depth_of(some, form) == depth_of(other, form)).all()


@given(PROGRAMS, PROGRAMS, FORMS)
@settings(max_examples=examples(40), deadline=None)
def test_more_moves_never_leave_more(some, more, form):
    assert (depth_of([*some, *more], form) >= depth_of(some, form)).all()


@given(PROGRAMS, FORMS)
@settings(max_examples=examples(40), deadline=None)
@example(HARDLY_ASIDE, cone_form(3.1, 90.0))
def test_the_moves_share_out_all_that_is_taken(some, form):
    measured = MeasuredMap(HeightMap(SIZE, 18.0, CELL))
    told = measured.remove(some, form)
    heights = HeightMap(SIZE, 18.0, CELL)
    heights.remove(some, form)
    assert (heights.depth == measured.heights.depth).all()
    assert abs(told.volume.sum() - heights.volume) < 1e-3
    assert ((measured.writer >= 0) == (heights.depth > 0)).all()
