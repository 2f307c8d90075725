"""Boxes of arcs, from the quarter points that they pass."""

from math import pi

import numpy as np
import pytest
from removal_moves import arc, line

from cncpanel.proof.motion import Move
from cncpanel.proof.sweep import extent, extents

ABOUT = (30.0, 20.0)
# from the right, the top, the left and the lower end of a circle of 5 about (30, 20)
BOXES = [
    (arc((35.0, 20.0, -1.0), ABOUT, pi / 2), (30, 20, 35, 25)),
    (arc((30.0, 25.0, -1.0), ABOUT, pi / 2), (25, 20, 30, 25)),
    (arc((25.0, 20.0, -1.0), ABOUT, -pi / 2), (25, 20, 30, 25)),
    (arc((25.0, 20.0, -1.0), ABOUT, pi), (25, 15, 35, 20)),
    (arc((30.0, 15.0, -1.0), ABOUT, -3 * pi / 2), (25, 15, 35, 25)),
    (arc((33.0, 24.0, -1.0), ABOUT, 2 * pi), (25, 15, 35, 25)),
    (arc((33.0, 24.0, -1.0), ABOUT, pi / 2), (26, 23, 33, 25)),  # 3-4-5: past the top to (26, 23)
    (line((7.0, 9.0, 0.0), (1.0, 12.0, 0.0)), (1, 9, 7, 12)),
]


@pytest.mark.parametrize(("move", "box"), BOXES)
def test_a_moves_box_holds_its_ends_and_the_quarter_points_that_it_passes(
    move: Move, box: tuple[float, float, float, float]
) -> None:
    assert extent(move) == pytest.approx(box, abs=1e-9)


def test_many_boxes_are_found_at_once() -> None:
    moves, boxes = zip(*BOXES, strict=True)
    assert extents(moves) == pytest.approx(np.array(boxes), abs=1e-9)
