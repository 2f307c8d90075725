"""Chip loads, deratings and feeds against what cutter makers print.

Sources: A cutter-shop.com feeds and speeds; B asttooling.com speeds and feeds charts; C Amana Tool PDF charts;
D Southeast Tool chart at carbideprocessors.com; E carpentryaccessories.com; F lockdowel.odoo.com, cutter E1000-H.
"""

import pytest

from cncpanel.tooling.chip_load import INCH, chip_load, depth_derating, form_cutter_load, rows
from cncpanel.tooling.downward import STRAIGHT_DOWN, ramp_share

EIGHTH, QUARTER, THREE_EIGHTHS, HALF = 3.175, 6.35, 9.525, 12.7

# (table, column): diameter in mm -> thousandths of an inch, from and to, typed again from the charts
CHARTS = {
    ("A", "mdf"): {EIGHTH: (4, 7), QUARTER: (13, 16), THREE_EIGHTHS: (20, 23), HALF: (25, 27)},
    ("A", "plywood"): {EIGHTH: (4, 6), QUARTER: (11, 13), THREE_EIGHTHS: (17, 20), HALF: (21, 23)},
    ("A", "hardwood"): {EIGHTH: (3, 5), QUARTER: (9, 11), THREE_EIGHTHS: (15, 18), HALF: (19, 21)},
    ("A", "acrylic"): {EIGHTH: (3, 5), QUARTER: (8, 10), THREE_EIGHTHS: (10, 12), HALF: (12, 15)},
    ("B", "mdf"): {EIGHTH: (4, 7), QUARTER: (12, 15), THREE_EIGHTHS: (17, 19), HALF: (20, 25)},
    ("B", "plywood"): {EIGHTH: (3, 5), QUARTER: (6, 9), THREE_EIGHTHS: (15, 18), HALF: (18, 21)},
    ("B", "hardwood"): {EIGHTH: (2, 4), QUARTER: (5, 7), THREE_EIGHTHS: (13, 15), HALF: (17, 19)},
    ("B", "softwood"): {EIGHTH: (3, 5), QUARTER: (6, 8), THREE_EIGHTHS: (15, 17), HALF: (19, 21)},
    ("C", "wood"): {
        EIGHTH: (3, 5),
        4.7625: (4, 6),
        QUARTER: (5, 7),
        7.9375: (5, 7),
        THREE_EIGHTHS: (6, 8),
        HALF: (7, 9),
    },
}


@pytest.mark.parametrize("table", list(CHARTS))
def test_the_printed_rows_are_kept(table: tuple[str, str]) -> None:
    got = {row.diameter: (row.low / INCH * 1000, row.high / INCH * 1000) for row in rows(*table)}
    assert list(got) == pytest.approx(list(CHARTS[table]))
    for low_high, printed in zip(got.values(), CHARTS[table].values(), strict=True):
        assert low_high == pytest.approx(printed)


def test_the_metric_table_for_mdf_is_kept() -> None:
    """E: 3.175 and 4 mm 0.127-0.177; 6 mm 0.152-0.203 mm a tooth."""
    assert [(row.diameter, row.low, row.high) for row in rows("E", "mdf")] == [
        (3.175, 0.127, 0.177),
        (4, 0.127, 0.177),
        (6, 0.152, 0.203),
    ]


def test_inches_of_a_chart_are_these_millimetres() -> None:
    """A prints .013-.016 in for 1/4 in MDF: 0.33-0.41 mm."""
    load = chip_load("industrial", "mdf", QUARTER)
    assert (round(load.low, 2), round(load.high, 2)) == (0.33, 0.41)
    assert load.label == "cutter maker's table A (industrial)"


def test_three_sixteenths_between_the_rows_of_table_a_is_interpolated() -> None:
    """Between 1/8 and 1/4: MDF about .008-.0115 in; not printed, so labelled."""
    load = chip_load("industrial", "mdf", 4.7625)
    assert (load.low / INCH, load.high / INCH) == pytest.approx((0.0085, 0.0115))
    assert load.label == "cutter maker's table A (industrial), interpolated"


def test_form_cutters_take_twice_the_chip_in_mdf() -> None:
    """C, V-groove chart: MDF .0048, plywood, soft and hard wood .0024 in; 180 and 90 ipm at 18 000 rpm, 4 % off."""
    mdf, wood = form_cutter_load("mdf").middle / INCH, form_cutter_load("plywood").middle / INCH
    assert (mdf, wood) == pytest.approx((0.0048, 0.0024))
    assert mdf == pytest.approx(180 / (18000 * 2), rel=0.05)
    assert wood == pytest.approx(90 / (18000 * 2), rel=0.05)


@pytest.mark.parametrize(
    ("printed", "depth", "diameter", "expected"), [(0.020, 1.0, 0.5, 0.015), (0.018, 1.125, 0.375, 0.009)]
)
def test_chip_loads_are_derated_as_printed(printed: float, depth: float, diameter: float, expected: float) -> None:
    """B: 1/2 in compression .020, 1 in deep -> .015; 3/8 in .018, 1-1/8 in deep -> .009."""
    assert printed * depth_derating(depth, diameter) == pytest.approx(expected)


@pytest.mark.parametrize(("ratio", "share"), [(0.5, 1), (1, 1), (1.5, 0.875), (2, 0.75), (2.5, 0.625), (3, 0.5)])
def test_the_derating_runs_through_the_printed_points(ratio: float, share: float) -> None:
    """B and C: 1 x D full, 2 x D -25 %, 3 x D -50 %; linear between is ours."""
    assert depth_derating(ratio * 6, 6) == pytest.approx(share)


@pytest.mark.parametrize(("feed", "flutes", "ramp"), [(180, 3, 60), (130, 2, 65)])
def test_ramps_are_fed_as_printed(feed: float, flutes: int, ramp: float) -> None:
    """C: "Ramp Down = feed / number of flutes"; 180 ipm with 3 flutes 60, 130 with 2 flutes 65."""
    assert feed * ramp_share(flutes) == pytest.approx(ramp)


def test_a_catalogue_cutter_plunges_at_a_third_of_its_feed() -> None:
    """F: 18 000 rpm, 12 000 mm/min feed, 4000 mm/min plunge, 2 flutes; its chip load is table A's for 1/4 in."""
    assert pytest.approx(4000 / 12000) == STRAIGHT_DOWN
    load = chip_load("industrial", "mdf", QUARTER)
    assert load.low - 0.005 <= 12000 / (18000 * 2) <= load.high
