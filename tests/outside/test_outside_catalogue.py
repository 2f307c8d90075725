"""The catalogue against published figures; sources beside each."""

from math import hypot, sqrt

import pytest

from cncpanel.cabinet.catalogue import shipped_parts
from cncpanel.cabinet.stature import STATURES
from cncpanel.job.density import DENSITY

PARTS = shipped_parts()
INCH = 25.4


@pytest.mark.parametrize(("size", "pitch"), [(40, 32.0), (80, 71.5), (92, 82.5), (120, 105.0), (140, 124.5)])
def test_fan_screws_stand_at_the_published_pitch(size: int, pitch: float) -> None:
    """92: a maker's drawing, 82.5 +-0.3; the others: a seller's guide to case fans, which rounds 71.5 to 72."""
    holes = PARTS[f"fan {size}"].holes
    assert holes is not None
    xs = sorted({x for x, _ in holes.at or ()})
    assert xs[1] - xs[0] == pytest.approx(pitch)


@pytest.mark.parametrize(("name", "side", "diameter"), [("75", 75, 4.5), ("100", 100, 4.5), ("200", 200, 6.6)])
def test_screen_mounts_are_those_of_the_flat_display_mounting_interface(name: str, side: int, diameter: float) -> None:
    """MIS-D 75 x 75 and 100 x 100 with M4, MIS-F 200 x 200 with M6; clearance 4.5 and 6.6 from memory."""
    holes = PARTS[f"mount {name}"].holes
    assert holes is not None
    assert {(abs(x), abs(y)) for x, y in holes.at or ()} == {(side / 2, side / 2)}
    assert holes.diameter == diameter


@pytest.mark.parametrize(
    ("name", "diagonal", "aspect"),
    [
        ("15.6", 15.6, (16, 9)),
        ("19 5:4", 19, (5, 4)),
        ("21.5", 21.5, (16, 9)),
        ("23.8", 23.8, (16, 9)),
        ("27", 27, (16, 9)),
        ("32", 32, (16, 9)),
    ],
)
def test_visible_sizes_follow_from_the_diagonal(name: str, diagonal: float, aspect: tuple[int, int]) -> None:
    """d a / sqrt(a2 + b2), by Pythagoras; the frame and the opening are larger than the picture."""
    part = PARTS[f"screen {name}"]
    sides = tuple(diagonal * INCH * side / hypot(*aspect) for side in aspect)
    assert part.visible == pytest.approx(sides, abs=0.06)
    assert part.opening is not None
    assert all(opening > picture for opening, picture in zip(part.opening, sides, strict=True))


@pytest.mark.parametrize(("size", "adjacent"), [("4 in", 80), ("5 in", 95), ("6.5 in", 110)])
def test_speaker_circles_are_the_tables_adjacent_pitch_times_the_square_root_of_two(size: str, adjacent: int) -> None:
    """A maker's table of frame sizes gives both; it rounds to 2 mm."""
    holes = PARTS[f"speaker {size}"].holes
    assert holes is not None
    assert holes.ring is not None
    assert holes.ring.diameter == pytest.approx(adjacent * sqrt(2), abs=2)


def test_t_nut_pilots_follow_the_barrel() -> None:
    """A woodworkers' column: 1/4 in thread in a 5/16 in hole, 5/16 in thread in a 3/8 in hole."""
    assert PARTS["T-nut 1/4 in"].hole == pytest.approx(5 / 16 * INCH, abs=0.05)
    assert PARTS["T-nut 5/16 in"].hole == pytest.approx(3 / 8 * INCH, abs=0.05)


def test_a_sheet_of_mdf_weighs_what_a_seller_says() -> None:
    """87 lb a sheet 3/4 in x 4 ft x 8 ft, a seller's figure; MDF varies by a tenth about it."""
    volume = 0.75 * 48 * 96 * (INCH / 1000) ** 3
    assert volume * DENSITY["mdf"] == pytest.approx(87 * 0.45359, rel=0.1)


def test_elbows_and_eyes_are_the_inch_tables() -> None:
    """Published inch table after Pheasant 1996, women and men, 5th to 95th percentile, in whole tenths of an inch."""
    assert [one.eye for one in STATURES] == [1420, 1524, 1631, 1595, 1709, 1826]
    assert [one.elbow for one in STATURES] == [945, 1021, 1095, 1021, 1105, 1191]


def test_every_part_says_where_its_figures_come_from() -> None:
    assert all(part.source for part in PARTS.values())
    unsure = [part.name for part in PARTS.values() if "from memory" in part.source and not part.measure]
    assert all(name.startswith(("fan", "mount")) for name in unsure)
