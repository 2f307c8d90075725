"""Material taken away against volumes known from plane and solid geometry, and against scipy's distance transform.

Slot: capsule's area times depth. Helix bore: the disc of tool and path radius. Quarter round: (1 - pi/4) R^2 L, what
a round-over bit takes from a square edge. Ball: rows s apart leave h = r - sqrt(r^2 - (s/2)^2) (form as in published
step-over pages). V groove: h^2 tan(half angle) a mm. All but the ball's are textbook geometry, reckoned here.
"""

from itertools import pairwise
from math import pi, radians, sqrt, tan

import numpy as np
import pytest
from scipy import ndimage

from cncpanel.proof import fast
from cncpanel.proof.heightmap import HeightMap
from cncpanel.proof.motion import Move
from cncpanel.proof.tool_form import cone_form, flare_form, flat_form, nose_form

WAYS = [False, pytest.param(True, marks=pytest.mark.skipif(not fast.is_there(), reason="no extra 'fast'"))]


def feed(*points):
    return [Move(1, "feed", a, b, 1000.0, 18000.0, True, 1) for a, b in pairwise(points)]


def circle(centre, radius, z, rise=0.0):
    start = (centre[0] + radius, centre[1], z)
    return Move(1, "arc", start, (*start[:2], z + rise), 1000.0, 18000.0, True, 1, (*centre, z), 1, 2 * pi)


def taken(moves, form, size, cell, compiled, thickness=18.0):
    heights = HeightMap(size, thickness, cell, compiled=compiled)
    heights.remove(moves, form)
    return heights


@pytest.mark.parametrize("compiled", WAYS)
def test_a_slot(compiled):
    moves = feed((10.0, 10.0, 1.0), (10.0, 10.0, -6.0), (73.0, 41.0, -6.0))
    exact = 6.0 * (6.0 * sqrt(63**2 + 31**2) + pi * 9.0)
    assert exact == pytest.approx(taken(moves, flat_form(3.0), (90.0, 60.0), 0.1, compiled).volume, rel=5e-4)


@pytest.mark.parametrize("compiled", WAYS)
def test_a_helix_bore(compiled):
    middle = (20.031, 20.013)  # off the cells' own symmetry, which counts a circle's cells worst
    turns = [circle(middle, 4.0, -2.0 * i, -2.0) for i in range(5)]
    found = taken([*turns, circle(middle, 4.0, -10.0)], flat_form(3.0), (40.0, 40.0), 0.1, compiled)
    assert pi * (7.0**2 - 1.0**2) * 10 == pytest.approx(found.volume, rel=5e-4)  # a post of radius 1 stays


@pytest.mark.parametrize("compiled", WAYS)
def test_a_spiral_floor_of_one_turn_stands_as_the_helix_left_it(compiled):
    # path radius 2, tool radius 3: at the middle of the path the tool's edge is always over the centre
    found = taken([circle((20.0, 20.0), 2.0, 0.0, -8.0)], flat_form(3.0), (40.0, 40.0), 0.1, compiled)
    assert found.depth_at(20.05, 20.05) == pytest.approx(8.0, abs=1e-5)
    assert found.depth_at(24.55, 19.45) == pytest.approx(8.0, abs=1e-5)
    share = np.arccos((4.55**2 + 4 - 9) / (2 * 4.55 * 2)) / (2 * pi)
    west = found.depth_at(15.45, 20.05)
    assert west == pytest.approx(8.0 * (0.5 + share - np.arctan2(0.05, 4.55) / (2 * pi)), abs=2e-3)


@pytest.mark.parametrize("compiled", WAYS)
@pytest.mark.parametrize("radius", [3.175, 6.35])
def test_a_quarter_round(compiled, radius):
    flat, length, wall = 2.0, 40.0, 30.0
    form = flare_form(radius + flat, flat, radius)
    heights = HeightMap((length, wall + 20.0), 18.0, 0.05, compiled=compiled)
    # the wall stands at `wall`; the bit's axis runs its tip radius off it
    heights.remove(feed((0.0, wall + 10.0, -18.0), (length, wall + 10.0, -18.0)), flat_form(10.0))
    was = heights.volume
    heights.remove(feed((0.0, wall + flat, -radius), (length, wall + flat, -radius)), form)
    assert (1 - pi / 4) * radius**2 * length == pytest.approx(heights.volume - was, rel=5e-3)
    # at 45 degrees the arc stands R (1 - cos 45) in from the face: 0.930 mm for 3.175, 1.860 for 6.35
    deep = heights.depth_at(20.0, wall - radius * (1 - sqrt(0.5)))
    assert radius * (1 - sqrt(0.5)) == pytest.approx(deep, abs=0.06)


@pytest.mark.parametrize("compiled", WAYS)
@pytest.mark.parametrize(("radius", "step", "microns"), [(3.0, 0.5, 10.43), (3.175, 0.635, 15.91), (6.35, 1.27, 31.83)])
def test_a_balls_scallop(compiled, radius, step, microns):
    rows = [feed((0.0, 10.0 + i * step, -4.0), (8.0, 10.0 + i * step, -4.0)) for i in range(4)]
    form = nose_form(radius, radius)
    cell = step / 20
    heights = HeightMap((2.0, 4 * step), 18.0, cell, origin=(3.0, 10.0 - cell / 2), compiled=compiled)
    heights.remove([move for row in rows for move in row], form)
    inside = heights.depth[: 3 * 20 + 1].astype(float)
    assert microns == pytest.approx(1000 * (inside.max() - inside.min()), abs=0.02)
    assert inside.max() - inside.min() == pytest.approx(radius - sqrt(radius**2 - (step / 2) ** 2), abs=2e-5)


@pytest.mark.parametrize("compiled", WAYS)
@pytest.mark.parametrize("angle", [60.0, 90.0])
def test_a_v_groove(compiled, angle):
    depth, length = 3.0, 40.0
    spread = tan(radians(angle / 2))
    found = taken(feed((10.0, 10.0, -depth), (50.0, 10.0, -depth)), cone_form(6.0, angle), (60.0, 20.0), 0.05, compiled)
    exact = depth**2 * spread * length + pi * (depth * spread) ** 2 * depth / 3  # a cone's two halves at the ends
    assert exact == pytest.approx(found.volume, rel=1e-3)


@pytest.mark.parametrize("compiled", WAYS)
def test_a_drilled_hole_with_its_point(compiled):
    radius, depth = 2.5, 10.0
    found = taken(feed((10.0, 10.0, 2.0), (10.0, 10.0, -depth)), cone_form(radius, 118.0), (20.0, 20.0), 0.02, compiled)
    point = radius / tan(radians(59.0))
    exact = pi * radius**2 * (depth - point) + pi * radius**2 * point / 3
    assert exact == pytest.approx(found.volume, rel=1e-3)


@pytest.mark.parametrize("compiled", WAYS)
@pytest.mark.parametrize("seed", range(6))
def test_random_flat_passes_reach_as_far_as_scipys_distances_say(compiled, seed):
    # every path runs between cell middles along rows and columns, so that scipy's transform of the path's own cells
    # has the exact distances
    rng = np.random.default_rng(seed)
    cell, rows, columns = 0.5, 120, 160
    radius = float(rng.uniform(1.0, 9.0)) + 0.0137
    path = np.zeros((rows, columns), dtype=bool)
    moves = []
    for _ in range(12):
        row, column = int(rng.integers(rows)), int(rng.integers(columns))
        if rng.random() < 0.5:
            end = int(rng.integers(columns))
            path[row, min(column, end) : max(column, end) + 1] = True
            ends = (column, row), (end, row)
        else:
            end = int(rng.integers(rows))
            path[min(row, end) : max(row, end) + 1, column] = True
            ends = (column, row), (column, end)
        moves += feed(*(((x + 0.5) * cell, (y + 0.5) * cell, -5.0) for x, y in ends))
    distance = ndimage.distance_transform_edt(~path) * cell
    for form, wanted in (
        (flat_form(radius), np.where(distance <= radius, 5.0, 0.0)),
        (
            nose_form(radius, radius),
            np.maximum(5.0 - radius + np.sqrt(np.maximum(radius**2 - distance**2, 0.0)), 0.0) * (distance <= radius),
        ),
        (cone_form(radius, 90.0), np.maximum(5.0 - distance, 0.0) * (distance <= radius)),
    ):
        found = taken(moves, form, (columns * cell, rows * cell), cell, compiled).depth
        assert np.abs(found - wanted).max() < 1e-5
