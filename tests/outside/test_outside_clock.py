"""The witness's clock against textbook closed forms and published figures.

Trapezoid: constant acceleration from rest to rest; L >= V^2/a takes L/V + V/a, else 2 sqrt(L/a) (kinematics; as in
Siciliano et al., Robotics, and Biagiotti and Melchiorri 2008: from memory). Corner: a circle tangent to both moves
that passes the corner at d, v^2 = a r (Kunz and Stilman, RSS VIII 2012: its blend; speeds worked out by hand from
r = d s / (1 - s), s = sin(theta / 2)). Jerk: a control maker's worked example (Heidenhain iTNC 530 manual, page 813):
0.5 m/s and 70 m/s3 give at most 5.92 m/s2 and need 85 mm to reach the speed.
"""

from math import cos, pi, radians, sin, sqrt

import numpy as np
import pytest

from cncpanel.machine.model import Motion
from cncpanel.proof.axis_limits import limits_of
from cncpanel.proof.lookahead import corner_speeds, joint_speeds, move_times
from cncpanel.proof.motion import Move


def alone(length, speed, acceleration):
    one = np.array([float(length)])
    return move_times(one, one * 0 + speed, one * 0 + acceleration, one * 0, one * 0)[0]


@pytest.mark.parametrize(
    ("length", "speed", "acceleration", "seconds"),
    [
        (100, 50, 500, 2.1),
        (4, 50, 500, 0.17889),
        (5, 50, 500, 0.2),
        (1000, 100, 500, 10.2),
        (50, 5000 / 60, 500, 0.767),  # below: worked out for three machines, rounded to their last digit
        (600, 5000 / 60, 500, 7.37),
        (50, 20000 / 60, 1000, 0.447),
        (600, 20000 / 60, 1000, 2.13),
        (2400, 20000 / 60, 1000, 7.53),
        (50, 1000, 3000, 0.258),
        (600, 1000, 3000, 0.933),
        (2400, 1000, 3000, 2.73),
    ],
)
def test_a_move_from_rest_to_rest_takes_the_textbook_time(length, speed, acceleration, seconds):
    assert seconds == pytest.approx(alone(length, speed, acceleration), rel=2.5e-3)


@pytest.mark.parametrize(
    ("between_deg", "speed"),
    [(170, 51.166), (150, 16.837), (135, 11.017), (90, 4.913), (45, 2.490), (10, 0.977)],
)
def test_a_corner_is_taken_at_the_speed_of_its_tangent_circle(between_deg, speed):
    turn = pi - radians(between_deg)
    ends, begins = np.array([[1.0, 0.0, 0.0]]), np.array([[cos(turn), sin(turn), 0.0]])
    assert speed == pytest.approx(corner_speeds(ends, begins, np.array([500.0]), 0.02)[0], abs=6e-4)


def test_a_square_corner_costs_the_braking_it_must():
    corner = sqrt(500 * 0.02 * sin(pi / 4) / (1 - sin(pi / 4)))
    lengths, accelerations = np.full(2, 100.0), np.full(2, 500.0)
    joints = joint_speeds(np.array([0.0, corner, 0.0]), lengths, accelerations)
    found = move_times(lengths, np.full(2, 50.0), accelerations, joints[:-1], joints[1:])
    one = 50 / 500 + (50 - corner) / 500 + (100 - 50**2 / 1000 - (50**2 - corner**2) / 1000) / 50
    assert [pytest.approx(one)] * 2 == found.tolist()


def test_fifty_short_moves_straight_on_take_the_time_of_one():
    lengths, accelerations = np.full(50, 0.1), np.full(50, 500.0)
    caps = np.array([0.0, *[50.0] * 49, 0.0])
    joints = joint_speeds(caps, lengths, accelerations)
    total = move_times(lengths, np.full(50, 50.0), accelerations, joints[:-1], joints[1:]).sum()
    assert alone(5.0, 50.0, 500.0) == pytest.approx(total)


MOTION = Motion(
    feed_xy_max=60000,
    feed_z_max=6000,
    rapid_xy=60000,
    rapid_z=6000,
    acceleration_xy=500,
    acceleration_z=200,
    rapid_path="straight",
    homes=False,
    park=(0, 0),
    tool_change_s=60,
)


def test_an_arc_is_no_faster_than_its_radius_allows():
    # v = sqrt(a r): 500 mm/s2 on 5 mm gives 50 mm/s
    arc = Move(1, "arc", (5.0, 0.0, 0.0), (-5.0, 0.0, 0.0), 60000.0, 0.0, True, 1, (0.0, 0.0, 0.0), 1, pi)
    limits = limits_of([arc], MOTION)
    assert limits.speed[0] == pytest.approx(50.0)
    assert limits.length[0] == pytest.approx(5 * pi)
    assert limits.begins[0] == pytest.approx((0.0, 1.0, 0.0))
    assert limits.ends[0] == pytest.approx((0.0, -1.0, 0.0))


def test_a_slant_is_limited_by_whichever_axis_has_the_least():
    slant = Move(1, "feed", (0.0, 0.0, 0.0), (30.0, 0.0, -40.0), 60000.0, 0.0, True, 1)
    limits = limits_of([slant], MOTION)
    assert limits.speed[0] == pytest.approx(100 / 0.8)  # Z: 6000 mm/min over 4/5
    assert limits.acceleration[0] == pytest.approx(min(500 / 0.6, 200 / 0.8))


def test_even_acceleration_reaches_a_speed_sooner_than_the_catalogues_jerk_does():
    speed, jerk = 500.0, 70_000.0
    acceleration = sqrt(speed * jerk)
    assert acceleration == pytest.approx(5920, rel=2e-3)
    with_jerk = 2 * speed * sqrt(speed / jerk)  # up and down again, as the manual reckons
    assert with_jerk == pytest.approx(85, rel=1e-2)
    evenly = speed**2 / acceleration  # our model, up and down again: half of it
    assert alone(evenly, speed, acceleration) == pytest.approx(2 * speed / acceleration)
    assert evenly == pytest.approx(with_jerk / 2)
