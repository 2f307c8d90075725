"""Times of moves against textbook closed forms and a published corner rule.

Trapezoid: constant acceleration from rest to rest; for L >= V^2/a the time is L/V + V/a, else 2 sqrt(L/a) (kinematics;
trapezoidal profiles as in Siciliano et al., Robotics, and Biagiotti and Melchiorri 2008: from memory).
Corner: a circle tangent to both moves that comes within d of the corner, v^2 = a r (Kunz and Stilman, Time-Optimal
Trajectory Generation for Path Following with Bounded Acceleration and Velocity, RSS VIII 2012: its blend; the
speeds below were worked out by hand from r = d s / (1 - s), s = sin(theta / 2)).
"""

from math import cos, pi, radians, sin, sqrt

import pytest

from cncpanel.sequence.motion import Motion, corner_speed, move_time, times

ALONG = (1.0, 0.0, 0.0)


@pytest.mark.parametrize(
    ("length", "speed", "acceleration", "seconds"),
    [(100, 50, 500, 2.1), (4, 50, 500, 0.17889), (5, 50, 500, 0.2), (1000, 100, 500, 10.2)],
)
def test_a_move_from_rest_to_rest_takes_the_textbook_time(length, speed, acceleration, seconds):
    assert seconds == pytest.approx(move_time(length, speed, acceleration), abs=5e-6)


def test_a_move_that_enters_fast_takes_the_time_of_the_rest_of_the_ramp():
    assert pytest.approx(move_time(2.5 + 50.0, 50, 500, 0.0, 50.0)) == 0.1 + 1.0
    assert pytest.approx(move_time(50.0, 50, 500, 50.0, 50.0)) == 1.0


@pytest.mark.parametrize(
    ("between_deg", "speed"),
    [(170, 51.166), (150, 16.837), (135, 11.017), (90, 4.913), (45, 2.490), (10, 0.977)],
)
def test_a_corner_is_taken_at_the_speed_of_its_tangent_circle(between_deg, speed):
    turn = pi - radians(between_deg)
    found = corner_speed(ALONG, (cos(turn), sin(turn), 0.0), 500, 0.02)
    assert speed == pytest.approx(found, abs=6e-4)


def test_a_full_reversal_stands_still_and_a_straight_joint_limits_nothing():
    assert corner_speed(ALONG, (-1.0, 0.0, 0.0), 500, 0.02) == 0.0
    assert corner_speed(ALONG, ALONG, 500, 0.02) > 1e9


def test_a_square_corner_costs_the_braking_it_must():
    side = {"length": 100.0, "speed": 50.0, "acceleration": 500.0}
    moves = [Motion(**side, begins=d, ends=d) for d in (ALONG, (0.0, 1.0, 0.0))]
    corner = sqrt(500 * 0.02 * sin(pi / 4) / (1 - sin(pi / 4)))
    one = 50 / 500 + (50 - corner) / 500 + (100 - 50**2 / 1000 - (50**2 - corner**2) / 1000) / 50
    assert [pytest.approx(one)] * 2 == times(moves, 0.02)


def test_short_moves_are_looked_through_so_that_the_last_can_still_stop():
    pieces = [Motion(length=0.1, speed=50.0, acceleration=500.0, begins=ALONG, ends=ALONG) for _ in range(50)]
    assert move_time(5.0, 50.0, 500.0) == pytest.approx(sum(times(pieces, 0.02)))
