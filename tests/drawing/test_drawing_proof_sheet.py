"""What a page shows of a sheet: every move as a step, unknown places jumped over, no cut lost from a smaller map."""

import numpy as np
import pytest
import shapely
from picture_samples import BOARD, MACHINE, RING, SQUARE, TARGET, picture, run

from cncpanel.drawing.proof_picture import DepthMap, Step
from cncpanel.drawing.proof_sheet import sheet_picture
from cncpanel.drawing.proof_track import track_of
from cncpanel.proof.reader import read
from cncpanel.proof.report import report_of
from cncpanel.proof.target import Floor, Target


def test_a_track_tells_each_move_with_its_line_feed_and_time() -> None:
    track = track_of(read(RING.format(tool=2)).moves, MACHINE.motion)
    arcs = track.step == Step.ARC
    assert track.line[arcs].tolist() == [7, 8]
    assert track.sweep[arcs] == pytest.approx([np.pi, np.pi])
    assert track.centre_x[arcs].tolist() == [150, 150]
    assert track.seconds[arcs] == pytest.approx([30 * np.pi / 2400 * 60] * 2)
    assert (track.tool.max(), track.rpm.max(), track.feed[arcs].tolist()) == (2, 18000, [2400, 2400])


def test_seconds_that_somebody_reckoned_are_taken_as_they_are() -> None:
    moves = read(SQUARE.format(tool=1)).moves
    track = track_of(moves, MACHINE.motion, [0.5] * len(moves))
    assert track.seconds.sum() == pytest.approx(0.5 * len(moves))


def test_nothing_is_drawn_from_or_to_a_place_that_is_not_known() -> None:
    track = track_of(read("G21 G90\nG0 Z5\nG0 X10\nG1 Y20 F100\nX30\nM2\n").moves, MACHINE.motion)
    known = track.step != Step.JUMP
    assert track.line[known].tolist() == [5]
    assert np.isfinite([track.x, track.y, track.z, track.seconds]).all()


def test_a_place_that_changes_without_a_move_is_jumped_to() -> None:
    moves = read("G21 G90\nG0 X0 Y0 Z5\nG1 X10 F100\nX20\nX30\nM2\n").moves
    track = track_of((*moves[:2], *moves[3:]), MACHINE.motion)
    assert track.line.tolist() == [2, 3, 5, 5]
    assert track.step[-2:].tolist() == [Step.JUMP, Step.FEED]
    assert track.x[-3:].tolist() == [10, 20, 30]


def test_a_program_without_a_move_stands_on_its_first_line() -> None:
    track = track_of(read("(nothing)\nM2\n").moves, MACHINE.motion)
    assert (track.step.tolist(), track.line.tolist(), track.seconds.tolist()) == ([Step.JUMP], [1], [0])


def test_an_upright_arc_becomes_chords_that_end_where_it_ends() -> None:
    track = track_of(read("G21 G90 G18\nG0 X0 Y0 Z0\nG2 X20 Z0 I10 K0 F600\nM2\n").moves, MACHINE.motion)
    arc = track.line == 3
    assert (track.step[arc] == Step.FEED).all()
    assert (track.x[-1], track.z[-1]) == pytest.approx((20, 0))
    assert np.abs(track.z[arc]).max() == pytest.approx(10)
    assert track.seconds[arc].sum() == pytest.approx(np.pi * 10 / 600 * 60)


def test_a_map_nobody_handed_over_is_cut_from_the_moves() -> None:
    shown = picture().sheets[0].depth

    def at(x: float, y: float) -> float:
        return float(shown.depth[int(y / shown.cell), int(x / shown.cell)])

    assert shown.depth.shape == (800, 1200)
    assert at(150, 50) == pytest.approx(5)  # on the square's lower side
    assert at(180, 100) == pytest.approx(18)  # on the ring, right through
    assert (at(150, 100), at(150, 54)) == (0, 0)


def test_a_reduced_map_keeps_the_deepest_cut_and_the_furthest_excess() -> None:
    cells = np.zeros((101, 57))
    cells[100, 56], cells[50, 50], cells[51, 50] = 3.0, -2.0, 1.0
    small = DepthMap(depth=cells, cell=0.5, origin=(10.0, 0.0)).reduced(most=1000)
    assert small.depth.size <= 1000
    assert (small.depth.max(), small.depth.min()) == (3.0, -2.0)
    assert (small.cell * small.depth.shape[0] >= 50.5, small.origin) == (True, (10.0, 0.0))
    assert DepthMap(depth=cells, cell=0.5).reduced().cell == 0.5


def test_outlines_are_every_rim_of_the_wanted_shapes_and_each_tab() -> None:
    ring = shapely.Point(150, 100).buffer(30).difference(shapely.Point(150, 100).buffer(10))
    two = shapely.union_all([ring, shapely.box(0, 0, 5, 5)])
    floors = (Floor(name="two", kind="recess", shape=two, depth=4.0),)
    target = Target(sheet=TARGET.sheet, thickness=18.0, pieces=TARGET.pieces, floors=floors, tabs=TARGET.tabs)
    shown = sheet_picture("a", [run("square", SQUARE)], report_of((), {}), BOARD, MACHINE, target=target)
    assert [(outline.kind, len(outline.points) > 2) for outline in shown.outlines] == [
        ("piece", True),
        *[("recess", True)] * 3,
        ("tab", False),
    ]
    assert shown.outlines[-1].points == ((146.0, 60.0), (154.0, 60.0))


def test_only_tools_that_are_used_are_shown() -> None:
    assert [tool.number for tool in picture().sheets[0].tools] == [1, 2]
    assert [tool.number for tool in picture().sheets[1].tools] == [1]
