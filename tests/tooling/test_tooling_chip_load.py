"""The chip-load tables: misprints, interpolation, order of materials."""

from itertools import pairwise

import pytest

from cncpanel.tooling import chip_load as module
from cncpanel.tooling.chip_load import Column, chip_load, depth_derating, least_chip, rows

DIAMETERS = [0.8 + step * 0.1 for step in range(200)]


def test_the_misprinted_nineteen_thousandths_is_mended() -> None:
    assert rows("A", "hardwood")[-1].low == pytest.approx(0.019 * 25.4)


def test_a_misprint_that_nobody_knows_is_not_swallowed(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(module.PRINTED, ("A", "plywood"), "1/8 .004-.006; 1/4 0.11-.013")
    rows.cache_clear()
    with pytest.raises(ValueError, match="table A, plywood: a misprint"):
        rows("A", "plywood")
    rows.cache_clear()


@pytest.mark.parametrize("column", ["industrial", "light"])
def test_mdf_takes_at_least_what_plywood_takes_and_plywood_what_hardwood_takes(column: Column) -> None:
    for diameter in DIAMETERS:
        mdf, plywood, hardwood = (chip_load(column, name, diameter) for name in ("mdf", "plywood", "hardwood"))
        assert mdf.low >= plywood.low >= hardwood.low
        assert mdf.high >= plywood.high >= hardwood.high


@pytest.mark.parametrize("column", ["industrial", "light"])
@pytest.mark.parametrize("material", ["mdf", "particleboard", "plywood", "softwood", "hardwood", "acrylic"])
def test_chip_loads_never_fall_with_the_diameter(column: Column, material: str) -> None:
    loads = [chip_load(column, material, diameter) for diameter in DIAMETERS]
    assert all(a.low <= b.low + 1e-12 and a.high <= b.high + 1e-12 for a, b in pairwise(loads))


def test_industrial_chips_are_thicker_than_light_ones_from_a_quarter_inch() -> None:
    for material in ("mdf", "plywood", "softwood"):
        assert chip_load("industrial", material, 6.35).middle > chip_load("light", material, 6.35).middle


def test_labels_say_where_a_figure_comes_from() -> None:
    assert [chip_load("light", "mdf", diameter).label for diameter in (2, 6, 8, 9.525, 20)] == [
        "cutter maker's table E (light), scaled down from its smallest diameter, 3.175 mm",
        "cutter maker's table E (light)",
        "cutter makers' tables E and C (light), interpolated",
        "cutter maker's table C (light)",
        "cutter maker's table C (light), held at its largest diameter, 12.7 mm",
    ]


def test_the_least_chip_is_two_fifths_of_the_thinnest_listed() -> None:
    assert least_chip("mdf", 6) == pytest.approx(0.4 * 0.152)


def test_the_derating_goes_on_falling_beyond_the_tables() -> None:
    assert depth_derating(12, 3) == pytest.approx(0.375)
