"""A vacuum table: pressure times area times friction, zones brought into the sheet's frame; by hand.

How the sheet lies on the machine: program (x, y) = (sheet width - y, x) where the machine's longer axis is Y.
"""

import pytest
import shapely
from passes_bench import sheet, shop_router

from cncpanel.geometry.area import Area
from cncpanel.machine.model import Machine, Zone
from cncpanel.passes.suction import sucked, suction_of, zone_words

SHEET = sheet([])  # 1000 x 600


def vacuum(*zones: Zone, turned: bool = False) -> Machine:
    """60 kPa; the work zero at machine (50, 40)."""
    machine = shop_router()
    table = {"hold": "vacuum", "clamp_height": 0.0, "pressure": 60.0, "zone": zones, "zero_x": 50.0, "zero_y": 40.0}
    spans = ((0.0, 1500.0), (0.0, 2600.0)) if turned else ((0.0, 2600.0), (0.0, 1500.0))
    travel = machine.travel.model_copy(update=dict(zip("xy", spans, strict=True)))
    return machine.model_copy(update={"table": machine.table.model_copy(update=table), "travel": travel})


def test_a_table_without_zones_draws_under_the_whole_sheet() -> None:
    (one,) = suction_of(SHEET, vacuum())
    assert (one.number, one.pressure, one.covered, one.area.size) == (1, 0.06, 1.0, 1000 * 600)
    assert list(zone_words([one])) == []


def test_a_part_is_held_by_pressure_on_its_underside_times_friction() -> None:
    """60 kPa on 200 x 100 mm are 1200 N; three tenths of it along the table: common practice, no source."""
    part = Area.box((100, 100, 300, 200))
    assert sucked(part, suction_of(SHEET, vacuum())) == pytest.approx(360)
    assert sucked(Area.box((900, 500, 1100, 700)), suction_of(SHEET, vacuum())) == pytest.approx(0.06 * 100 * 100 * 0.3)


def test_a_table_of_screws_draws_nothing() -> None:
    assert suction_of(SHEET, shop_router()) == ()
    assert sucked(Area.box((0, 0, 100, 100)), ()) == 0


def test_zones_lie_where_the_machine_file_says_by_their_own_gauge() -> None:
    left, right = Zone(x=(50, 550), y=(40, 640)), Zone(x=(550, 1350), y=(40, 640), pressure=30)
    one, other = suction_of(SHEET, vacuum(left, right))
    assert [(zone.number, zone.pressure, zone.area.bounds) for zone in (one, other)] == [
        (1, 0.06, (0, 0, 500, 600)),
        (2, 0.03, (500, 0, 1300, 600)),
    ]
    assert (one.covered, other.covered) == (1.0, pytest.approx(500 / 800))
    across = Area.box((400, 0, 600, 100))  # half on each
    assert sucked(across, (one, other)) == pytest.approx(0.3 * (0.06 + 0.03) * 100 * 100)


def test_on_a_machine_whose_longer_axis_is_y_the_zones_turn_with_the_sheet() -> None:
    (zone,) = suction_of(SHEET, vacuum(Zone(x=(50, 250), y=(40, 340)), turned=True))
    assert zone.area.bounds == (0, 400, 300, 600)  # 200 along machine X from the far edge, 300 along machine Y
    assert shapely.equals(zone.area.shape, shapely.box(0, 400, 300, 600))


def test_zones_are_opened_masked_and_shut_by_what_the_sheet_covers_of_them() -> None:
    zones = [Zone(x=(50 + left, 50 + right), y=(40, 640)) for left, right in ((0, 500), (500, 1000), (900, 1400))]
    told = suction_of(SHEET, vacuum(*zones, Zone(x=(1450, 1650), y=(40, 640))))
    assert [zone.covered for zone in told] == pytest.approx([1, 1, 0.2, 0])
    assert list(zone_words(told)) == [
        "open zones 1, 2, 3",
        "mask beside the sheet, which covers less than 60% of zone 3",
        "shut zone 4",
    ]
