"""What of a sheet no run cuts: against GEOS on the runs' ways, at whatever height they are made."""

import pytest
import shapely
import shapely.affinity
from passes_bench import STOCK, made, plan, polygon_of, sheet, swept

from cncpanel.geometry.area import Area
from cncpanel.geometry.shape import rectangle
from cncpanel.passes.free_room import cutter, free_room, meeting

BOX, PLACES = rectangle(0, 0, 120, 80), [(0, 100, 100), (0, 300, 100)]
PLAN = plan(0, BOX)
OVER_ALL = 1000.0  # mm; every way lies below it


def test_free_is_what_is_neither_part_nor_cut() -> None:
    runs = made(PLACES, [PLAN]).runs
    free = free_room(sheet(PLACES), runs, {0: PLAN.panel})
    parts = [shapely.affinity.translate(polygon_of(BOX), x, y) for _, x, y in PLACES]
    left = shapely.box(0, 0, *STOCK.sheet).difference(shapely.union_all([*parts, swept(runs, OVER_ALL)]))
    assert free.size == pytest.approx(left.area, abs=5)
    assert shapely.symmetric_difference(free.shape, left).buffer(-0.05).is_empty


def test_the_first_run_that_comes_into_a_place_is_named() -> None:
    """Kerfs of 6 mm beside both parts; the places lie in the middle of one's right and under the other's left."""
    runs = made(PLACES, [PLAN]).runs
    first, second = (meeting(runs, Area.box((x, 130, x + 1, 131)), cutter) for x in (223.0, 296.0))
    assert first is not None
    assert second is not None
    assert first.part != second.part
    assert {first.feature, second.feature} == {"outline"}
    assert meeting(runs, Area.box((250, 130, 270, 131)), cutter) is None
    assert meeting(runs, Area.box((150, 130, 170, 150)), cutter) is None
