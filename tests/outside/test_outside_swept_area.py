"""The witness's swept areas against closed forms.

A disc of radius r carried along a curve of length L covers 2 r L and its two half discs (Steiner's formula for a
segment; Pappus's theorem for an arc, whose band's area is its width times its middle line). Volume of a ramp: half its
depth over the slope. Formulas from geometry textbooks, no single source.
"""

from math import pi, radians, tan

import pytest
import shapely

from cncpanel.machine.tool import Tool
from cncpanel.proof.cuts import Cut, cuts_of
from cncpanel.proof.footprint import Footprints
from cncpanel.proof.profile import radius_at
from cncpanel.proof.reader import read
from cncpanel.proof.sweep import CHORD

HEAD = "(TOOL T1)\nG17 G21 G90 G94 F600\n"


def tool(**changes: object) -> Tool:
    values = {
        "number": 1,
        "name": "6 mm",
        "kind": "up-cut",
        "diameter": 6,
        "flutes": 2,
        "cutting_length": 20,
        "stick_out": 25,
        "nut_diameter": 30,
        "shank_diameter": 6,
        "plunges": True,
    }
    return Tool.model_validate(values | changes)


def cuts(body: str, start: tuple[float, float, float] = (0.0, 0.0, -5.0), **changes: object) -> list[Cut]:
    reading = read(f"{HEAD}{body}\nM2\n", start=start)
    assert reading.findings == ()
    return cuts_of("p", reading.moves, {1: tool(**changes)}, 0.0)


def area(body: str, depth: float = 4.0, **changes: object) -> float:
    shapes = Footprints().covered(cuts(body, **changes), depth).shapes
    return float(shapely.union_all(shapes).area)


def within(expected: float, rim: float) -> object:
    """As near as chords may lie inside a rim of that length."""
    return pytest.approx(expected, abs=CHORD * rim)


def test_a_line_covers_its_capsule() -> None:
    assert within(2 * 3 * 40 + pi * 9, 2 * pi * 3) == area("G1 X40")


def test_a_half_turn_covers_its_band_and_two_half_discs() -> None:
    assert within(pi * 10 * 6 + pi * 9, pi * 13 + pi * 7 + 2 * pi * 3) == area("G3 X-20 Y0 I-10")


def test_a_full_turn_covers_a_ring() -> None:
    assert within(2 * pi * 10 * 6, 2 * pi * (13 + 7)) == area("G3 X0 Y0 I-10")


def test_a_turn_tighter_than_the_tool_leaves_no_core() -> None:
    assert within(pi * 5 * 5, 2 * pi * 5) == area("G3 X0 Y0 I-2")


def test_a_ramp_covers_what_is_deep_enough() -> None:
    """From 0 to 8 deep over 40: at 6 the last quarter counts."""
    assert within(2 * 3 * 10 + pi * 9, 2 * pi * 3) == area("G0 Z0\nG1 X40 Z-8", depth=6.0)


def test_a_helix_covers_what_is_deep_enough() -> None:
    """One turn from 0 to 8 deep: at 6 a quarter turn of the ring counts."""
    assert within(pi / 2 * 10 * 6 + pi * 9, 60) == area("G0 Z0\nG3 X0 Y0 Z-8 I-10", depth=6.0)


@pytest.mark.parametrize("height", [0.1, 0.5, 1.0, 2.0])
def test_a_pointed_tool_is_as_wide_as_its_angle_says(height: float) -> None:
    cone = tool(kind="v-bit", tip_angle_deg=60, cutting_length=5)
    assert height * tan(radians(30)) == pytest.approx(radius_at(cone, height))


def test_a_ball_is_round() -> None:
    """A chord of the circle: half width sqrt(2 r h - h^2)."""
    ball = tool(kind="ball")
    assert (2 * 3 * 1 - 1) ** 0.5 == pytest.approx(radius_at(ball, 1.0))
    assert radius_at(ball, 3.0) == 3.0


def test_the_removed_volume_of_a_bore_is_a_cylinder() -> None:
    """Slices of a helix bore of diameter 10, 8 deep, add up to pi r^2 h within the pitch of its last turn."""
    turns = "\n".join(f"G3 X0 Y0 Z{-z} I-2" for z in range(1, 9))
    bore = cuts(f"G0 Z0\n{turns}\nG3 X0 Y0 I-2")
    steps = [k / 10 + 0.05 for k in range(80)]
    volume = sum(shapely.union_all(Footprints().covered(bore, depth).shapes).area * 0.1 for depth in steps)
    assert pytest.approx(pi * 25 * 8, rel=2e-3) == volume
