"""The witness's clock: what the look-ahead promises, and what a whole program's seconds are made of."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from proof_scene import machine

from cncpanel.proof.clock import STOP_S, duration
from cncpanel.proof.lookahead import corner_speeds, joint_speeds, move_times
from cncpanel.proof.reader import read

HEAD = "(FIT T1 6 MM)\nM0\nM3 S18000\nG4 P3\n"
PLATE = (
    "G17 G21 G40 G54 G80 G90 G94\nG61\nG53 G0 Z0\nG0 X0 Y0\n" + HEAD + "(PART PLATE, RECESS 1, T1)\nG0 X50 Y50 Z5\n"
    "G1 Z-3 F600\nG1 X150 F3000\nG3 X150 Y70 I0 J10\nG0 Z5\n(PART PLATE, OUTLINE, T1)\nG0 X10 Y10\nG1 Z-3 F600\n"
    "G1 X20 F3000\nG0 Z5\nM5\nM2\n"
)


def plain(caps, lengths, accelerations):
    """The two passes one joint after another."""
    speeds = list(caps)
    for i in range(len(lengths) - 1, -1, -1):
        speeds[i] = min(speeds[i], (speeds[i + 1] ** 2 + 2 * accelerations[i] * lengths[i]) ** 0.5)
    for i in range(len(lengths)):
        speeds[i + 1] = min(speeds[i + 1], (speeds[i] ** 2 + 2 * accelerations[i] * lengths[i]) ** 0.5)
    return speeds


SIZES = st.floats(1e-3, 2000.0)
MOVES = st.lists(st.tuples(SIZES, st.floats(0.0, 500.0), st.floats(50.0, 5000.0)), min_size=1, max_size=60)


@given(MOVES)
@settings(max_examples=150, deadline=None)
def test_running_minima_give_what_two_loops_give(moves):
    lengths, caps, accelerations = (np.array(column) for column in zip(*moves, strict=True))
    caps = np.concatenate(([0.0], caps[:-1], [0.0]))
    found = joint_speeds(caps, lengths, accelerations)
    assert found**2 == pytest.approx(np.array(plain(caps, lengths, accelerations)) ** 2, rel=1e-9, abs=1e-5)
    assert (found <= caps).all()
    reachable = np.abs(np.diff(found**2)) <= 2 * accelerations * lengths * (1 + 1e-9) + 1e-5
    assert reachable.all()


@given(MOVES, st.floats(1.01, 3.0))
@settings(max_examples=60, deadline=None)
def test_a_stronger_machine_is_never_slower(moves, factor):
    lengths, caps, accelerations = (np.array(column) for column in zip(*moves, strict=True))
    caps = np.concatenate(([0.0], caps[:-1], [0.0]))
    tops = np.maximum(caps[:-1], caps[1:]) + 1.0

    def total(strength):
        joints = joint_speeds(caps, lengths, accelerations * strength)
        return move_times(lengths, tops, accelerations * strength, joints[:-1], joints[1:]).sum()

    assert total(factor) <= total(1.0) * (1 + 1e-9)


def test_a_straight_joint_limits_nothing_and_a_reversal_stands_still():
    along = np.array([[1.0, 0.0, 0.0]] * 3)
    onward = np.array([[1.0, 0.0, 0.0], [-1.0, 0.0, 0.0], [0.0, 1.0, 0.0]])
    found = corner_speeds(along, onward, np.full(3, 500.0), 0.02)
    assert [np.inf, 0.0] == found[:2].tolist()
    assert 0 < found[2] < 10


def test_a_program_is_told_by_tool_and_by_operation():
    told = duration(read(PLATE), machine())
    assert ["PART PLATE, RECESS 1", "PART PLATE, OUTLINE"] == [one.name for one in told.operations]
    assert {1} == {one.tool for one in told.operations}
    recess, outline = told.operations
    assert recess.cut_m == pytest.approx((8 + 100 + 10 * np.pi) / 1000)
    assert outline.cut_m == pytest.approx((8 + 10) / 1000)
    assert told.cut_s == pytest.approx(recess.cut_s + outline.cut_s)
    assert told.moves_s.sum() == pytest.approx(told.cut_s + told.rapid_s)
    assert told.total_s == pytest.approx(told.moves_s.sum() + told.dwell_s + told.change_s)
    assert told.band_s == pytest.approx((0.8 * told.total_s, 1.2 * told.total_s))
    assert any("corners within 0.01 mm" in line for line in told.assumptions)


def test_a_change_by_hand_takes_the_machines_time_and_another_stop_its_own():
    on = machine()
    change, look = (duration(read(text), on).change_s for text in (HEAD + "M2\n", "M0\nM2\n"))
    assert (on.motion.tool_change_s, STOP_S) == (change, look)


def test_a_spindle_is_waited_for_even_where_the_program_does_not():
    on = machine()
    quick, patient, none = (
        duration(read(text), on).dwell_s
        for text in ("M3 S9000\nG0 X1 Y1 Z5\nM2\n", "M3 S9000\nG4 P7\nG0 X1 Y1 Z5\nM2\n", "G0 X1 Y1 Z5\nM2\n")
    )
    assert (on.spindle.spin_up_s, 7.0, 0.0) == (quick, patient, none)


def test_an_unknown_place_takes_no_time_and_is_counted():
    told = duration(read("G0 X5\nG0 X5 Y5 Z5\nM2\n"), machine())
    assert told.unknown >= 1
    assert np.isfinite(told.moves_s).all()


def test_a_stop_between_two_straight_moves_halts_them():
    on = machine()
    text = "G0 X0 Y0 Z5\nG1 X0 Y0 Z-1 F600\nG1 X50 F6000\n{}G1 X100\nM2\n"
    flowing, halted = (duration(read(text.format(stop)), on) for stop in ("", "G4 P0\n"))
    assert flowing.joint_speeds[3] == pytest.approx(100.0)
    assert halted.joint_speeds[3] == 0.0
    assert halted.cut_s == pytest.approx(flowing.cut_s + 100 / 500)


def test_exact_stop_halts_at_every_corner():
    exact_stop = machine(dialect={"path_words": "G61.1", "path_mode": "exact"})
    text = "G0 X0 Y0 Z5\nG1 Z-1 F600\nG1 X50 F6000\nG1 Y50\nM2\n"
    assert [0.0] * 5 == duration(read(text), exact_stop).joint_speeds.tolist()
    assert duration(read(text), machine()).joint_speeds[3] > 0


def test_a_blend_takes_corners_faster_than_an_exact_path():
    blending = machine(dialect={"path_words": "G64 P0.05", "path_mode": "blend", "blend_tolerance": 0.05})
    text = "G0 X0 Y0 Z5\nG1 Z-1 F600\n" + "".join(f"G1 X{i % 2} Y{i} F6000\n" for i in range(40)) + "M2\n"
    assert duration(read(text), blending).cut_s < duration(read(text), machine()).cut_s


def test_a_dog_leg_takes_as_long_as_its_slowest_axis():
    crooked = machine(motion={"rapid_path": "dog-leg"})
    told = duration(read("G0 X0 Y0 Z5\nG0 X100 Y100\nM2\n"), crooked)
    top, most = crooked.motion.rapid_xy / 60, crooked.motion.acceleration_xy
    alone = 100 / top + top / most if top**2 / most <= 100 else 2 * (100 / most) ** 0.5
    assert told.moves_s[-1] == pytest.approx(alone)


def test_the_z_axis_slows_a_helix_and_a_ramp():
    text = "G0 X0 Y0 Z5\nG1 Z0 F600\n{}\nM2\n"
    level, down = (
        duration(read(text.format(line)), machine())
        for line in ("G3 X0 Y0 I20 J0 F6000", "G3 X0 Y0 Z-200 I20 J0 F6000")
    )
    assert down.moves_s[-1] > level.moves_s[-1] * 1.5


def test_an_empty_program_takes_no_time():
    assert 0.0 == duration(read(""), machine()).total_s
