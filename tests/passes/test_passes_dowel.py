"""Where dowels stand in a bare sheet of 1000 x 600: by hand, in steps of 5 mm, 4 mm of sheet round each."""

import pytest
from passes_bench import sheet

from cncpanel.geometry.point import Point
from cncpanel.job.model import Axis
from cncpanel.layout.side import Side
from cncpanel.passes.dowel import dowel_places

SHEET = sheet([])


def places(axis: Axis, dowel: float) -> list[Point]:
    return dowel_places(SHEET, [], SHEET, [], {}, Side(number=2, axis=axis, by="dowels", dowel=dowel))


@pytest.mark.parametrize(
    ("axis", "dowel", "expected"),
    [
        # a disc of 4 + 4 fits from 10 on; the other end keeps 10 + 3 x 8 at least: 35 from its edge
        ("x", 8.0, [(10, 300), (965, 300)]),
        ("y", 8.0, [(500, 10), (500, 565)]),
        # 6 + 4 fit from 10 on; 10 + 3 x 12 are 46: 50 from the edge
        ("x", 12.0, [(10, 300), (950, 300)]),
    ],
)
def test_two_dowels_stand_on_the_line_unlike_far_from_its_ends(
    axis: Axis, dowel: float, expected: list[tuple[float, float]]
) -> None:
    assert [tuple(place) for place in places(axis, dowel)] == expected
