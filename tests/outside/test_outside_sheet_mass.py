"""Mass of MDF sheets against printed weights."""

import pytest

from cncpanel.tooling.materials import MATERIALS

POUND = 0.45359237  # kg
MDF = MATERIALS["mdf"]


def test_18_mm_mdf_of_a_full_sheet_is_38_6_kg() -> None:
    """Recomputed: 2440 x 1220 x 18 mm at 720 kg/m3."""
    assert MDF.mass(2440, 1220, 18) == pytest.approx(38.6, abs=0.05)


@pytest.mark.parametrize(("inches", "pounds"), [(0.5, 58), (0.75, 87)])
def test_4_by_8_ft_sheets_weigh_about_what_is_printed(inches: float, pounds: float) -> None:
    """toolcrowd.com, "how much does MDF weigh": 1/2 in 58 lb, 3/4 in 87 lb: 697 kg/m3, within our range."""
    printed = pounds * POUND
    volume = 2438.4 * 1219.2 * inches * 25.4 * 1e-9
    assert MDF.density_min <= printed / volume <= MDF.density_max
    assert MDF.mass(2438.4, 1219.2, inches * 25.4) == pytest.approx(printed, rel=0.04)


@pytest.mark.parametrize(("density", "kilograms"), [(700, 37.5), (750, 40.2), (800, 42.9)])
def test_the_range_of_densities_gives_the_range_of_masses(density: float, kilograms: float) -> None:
    """Recomputed for 18 mm, 2440 x 1220, at makers' densities (Kaindl 700 at least, Dongwha 760 +- 20)."""
    assert MDF.density_min <= density <= MDF.density_max
    assert MDF.mass(2440, 1220, 18) * density / MDF.density == pytest.approx(kilograms, abs=0.05)
