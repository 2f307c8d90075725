"""Panels against published dimensions; each source stands beside its figures.

"from memory" and "common practice, no source" are said where no page was found.
"""

from math import pi, sqrt
from pathlib import Path

import pytest

from cncpanel.errors import Gathering
from cncpanel.job import model
from cncpanel.job.read import read_job
from cncpanel.panel.hole import positions
from cncpanel.panel.panel import Panel
from cncpanel.panel.resolve import resolve
from cncpanel.panel.screen import visible_size

HEAD = """
[job]
name = "outside"
machine = "shop"
[[stock]]
name = "mdf"
material = "mdf"
thickness = 18
sheet = [2440, 1220]
count = 1
[settings]
least_web = 2
[[panel]]
name = "plate"
stock = "mdf"
size = [700, 700]
"""


def panel_with(tmp_path: Path, features: str) -> Panel:
    """A plate of 700 x 700 with these features."""
    path = tmp_path / "job.toml"
    path.write_text(HEAD + features, encoding="utf-8")
    gathering = Gathering()
    (panel,) = resolve(read_job(path), gathering)
    assert gathering.problems == ()
    return panel


def ring(diameter: float, count: int = 4) -> list[tuple[float, float]]:
    """Centres of a ring about the origin."""
    pattern = model.Ring(count=count, diameter=diameter, first_deg=45)
    return list(positions(model.Hole(centre=(0, 0), diameter=4, ring=pattern)))


@pytest.mark.parametrize(
    # A loudspeaker maker's size table (langyuan-audio.com, speaker size measurement): screw circle over opposite
    # holes, and adjacent holes, of 4, 5 and 6.5 in frames; rounded to 5 mm there, so 2 mm either way.
    ("opposite", "adjacent"),
    [(115, 80), (135, 95), (155, 110)],
)
def test_four_screws_of_a_loudspeaker_are_a_square_on_its_circle(opposite: float, adjacent: float) -> None:
    (x, y), (x2, y2), (x3, y3), _ = ring(opposite)
    assert sqrt((x3 - x) ** 2 + (y3 - y) ** 2) == pytest.approx(opposite)
    side = sqrt((x2 - x) ** 2 + (y2 - y) ** 2)
    assert side == pytest.approx(opposite / sqrt(2))
    assert side == pytest.approx(adjacent, abs=2)


@pytest.mark.parametrize("count", [3, 5, 6, 8, 12])
def test_a_bolt_circle_has_the_chord_of_the_handbooks(count: int) -> None:
    # Chord of a circle divided into n parts, C = D sin(180 deg / n): tabulated in engineers' handbooks (from memory).
    table = {3: 0.866025, 5: 0.587785, 6: 0.5, 8: 0.382683, 12: 0.258819}
    (x, y), (x2, y2), *_ = ring(100, count)
    assert sqrt((x2 - x) ** 2 + (y2 - y) ** 2) == pytest.approx(100 * table[count], abs=1e-4)


@pytest.mark.parametrize(
    # VESA FDMI as told by a display mount dealer (mounts4less.com, VESA page): hole pitches of MIS-D, MIS-E and MIS-F.
    ("across", "up"),
    [(75, 75), (100, 100), (200, 100), (200, 200), (400, 400)],
)
def test_display_mounts_have_their_pitch_and_middle(tmp_path: Path, across: float, up: float) -> None:
    grid = f"grid = {{columns = 2, rows = 2, pitch = [{across}, {up}]}}"
    holes = panel_with(tmp_path, f"hole = [{{centre = [350, 350], diameter = 4.5, {grid}}}]").holes
    assert [(h.centre.x - 350, h.centre.y - 350) for h in holes] == [
        (-across / 2, -up / 2),
        (across / 2, -up / 2),
        (-across / 2, up / 2),
        (across / 2, up / 2),
    ]


@pytest.mark.parametrize(
    # Hole pitches of square axial fans: a 120 mm case-fan buying guide (40, 80, 120, 140); 92 mm from a fan maker's
    # drawing, 82.5 +-0.3 with an opening of 90.5 (expydoc.com/doc/587812); the other openings from memory.
    ("pitch", "opening"),
    [(32, 38), (71.5, 78), (82.5, 90.5), (105, 116), (124.5, 136)],
)
def test_fan_screws_stand_clear_of_the_opening_on_the_corners_of_their_pitch(
    tmp_path: Path, pitch: float, opening: float
) -> None:
    features = f"opening = [{{diameter = {opening}, centre = [350, 350]}}]\n"
    grid = f"grid = {{columns = 2, rows = 2, pitch = [{pitch}, {pitch}]}}"
    panel = panel_with(tmp_path, features + f"hole = [{{centre = [350, 350], diameter = 3, {grid}}}]")
    for hole in panel.holes:
        radius = hole.centre.distance(panel.holes[0].centre.plus(panel.holes[3].centre).times(0.5))
        assert radius == pytest.approx(pitch / sqrt(2))
        assert radius - hole.diameter / 2 > opening / 2


@pytest.mark.parametrize(
    # Open area of perforated sheet: 90.69 (D/P)^2 % for 60 deg staggered, 78.54 (D/P)^2 % for square rows; the
    # formulas of perforators' catalogues (from memory), pi / (2 sqrt 3) and pi / 4 by geometry.
    ("arrangement", "factor", "diameter", "pitch"),
    [
        ("staggered", 90.69, 6, 10),
        ("staggered", 90.69, 8, 12),
        ("staggered", 90.69, 5, 9),
        ("square", 78.54, 6, 10),
        ("square", 78.54, 5, 12),
    ],
)
def test_a_wide_grille_is_as_open_as_perforated_sheet(
    tmp_path: Path, arrangement: str, factor: float, diameter: float, pitch: float
) -> None:
    cells = f'{{diameter = {diameter}, pitch = {pitch}, arrangement = "{arrangement}"}}'
    panel = panel_with(tmp_path, f"grille = [{{size = [680, 680], at = [10, 10], holes = {cells}}}]")
    share = 100 * panel.grilles[0].open_share
    assert share == pytest.approx(factor * (diameter / pitch) ** 2, rel=0.03)
    assert share < factor * (diameter / pitch) ** 2 * (1 + pitch / 680) ** 2


def test_the_vents_of_the_console_have_the_area_of_their_slots(fixtures: Path) -> None:
    # 40 slots 6 x 80 with round ends, worked by hand: 40 x (74 x 6 + pi x 9) = 18 891 mm2.
    gathering = Gathering()
    panels = resolve(read_job(fixtures / "jobs" / "millrace.toml"), gathering)
    (vents,) = [g for panel in panels for g in panel.grilles if g.name == "vents"]
    assert vents.cells == 40
    assert vents.open_area == pytest.approx(40 * (74 * 6 + pi * 9))
    assert vents.open_area == pytest.approx(18_890, abs=5)


@pytest.mark.parametrize(
    # Visible sizes as display makers print them in data sheets (from memory): 15.6 in 344.2 x 193.5 (a 15.55 in panel),
    # 19 in 5:4 376.3 x 301.1, 21.5 in 476.1 x 267.8, 23.8 in 527.0 x 296.5, 27 in 597.9 x 336.3.
    ("inches", "aspect", "printed"),
    [
        (15.6, (16, 9), (344.2, 193.5)),
        (19, (5, 4), (376.3, 301.1)),
        (21.5, (16, 9), (476.1, 267.8)),
        (23.8, (16, 9), (527.0, 296.5)),
        (27, (16, 9), (597.9, 336.3)),
    ],
)
def test_visible_sizes_agree_with_data_sheets_as_far_as_names_are_rounded(
    inches: float, aspect: tuple[float, float], printed: tuple[float, float]
) -> None:
    assert visible_size(inches * 25.4, aspect) == pytest.approx(printed, abs=1.3)


def test_the_visible_size_keeps_diagonal_and_aspect() -> None:
    width, height = visible_size(500, (3, 4))
    assert (width, height) == pytest.approx((300, 400))
