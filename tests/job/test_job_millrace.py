"""Millrace's job file against the console's section as it was worked out on paper, before the file was written.

The corner tables below come from intersecting the side's edges, moved inwards by 10 (outer faces of the panels),
by hand; lengths, areas and the centre of gravity likewise. Here shapely computes them from the job file.
"""

from math import acos, atan, degrees, dist, pi, sin
from pathlib import Path

import pytest
from shapely import Polygon

from cncpanel.errors import Gathering
from cncpanel.job.model import Corner, Job, Panel
from cncpanel.job.read import read_job
from cncpanel.panel.resolve import resolve

PATH = Path(__file__).parents[2] / "fixtures" / "jobs" / "millrace.toml"
READ = read_job(PATH)
JOB: Job = READ.job

OUTER_FACES = {
    "B": (510, 10),
    "C": (510, 810),
    "D": (610, 810),
    "E": (610, 891.90),
    "F": (372.50, 942.37),
    "G": (193.72, 1434),
    "H": (390, 1434),
    "I": (390, 1590),
    "J": (10, 1590),
}


def panel(name: str) -> Panel:
    return next(panel for panel in JOB.panel if panel.name == name)


def height(name: str) -> float:
    size = panel(name).size
    assert size is not None
    return size[1]


def side() -> list[tuple[float, float]]:
    outline = panel("side").outline
    assert outline is not None
    return [spot.to if isinstance(spot, Corner) else spot for spot in outline]


def test_there_are_twenty_parts_of_one_stock() -> None:
    assert sum(panel.copies + panel.mirrored for panel in JOB.panel) == 20
    assert {panel.stock for panel in JOB.panel} == {"mdf 18"}


def test_the_sides_area_box_and_centre() -> None:
    profile = Polygon(side())
    assert profile.area / 1e6 == pytest.approx(0.713, abs=5e-4)
    assert profile.bounds == (0, 0, 620, 1600)
    assert (profile.centroid.x, profile.centroid.y) == pytest.approx((237, 717), abs=0.5)


def test_the_sides_sloped_edges() -> None:
    e, f, g = side()[4:7]
    assert dist(e, f) == pytest.approx(245.36, abs=0.005)
    assert dist(f, g) == pytest.approx(503.30, abs=0.005)
    assert degrees(_angle(f, e)) == pytest.approx(12.0, abs=0.05)
    assert 90 - degrees(_angle(f, g)) == pytest.approx(19.98, abs=0.005)


def _angle(start: tuple[float, float], end: tuple[float, float]) -> float:
    """The edge's angle with the level, up counted positive."""
    return atan(abs(end[1] - start[1]) / abs(end[0] - start[0]))


def test_panels_lie_ten_inside_the_side() -> None:
    inner = Polygon(side()).buffer(-10, join_style="mitre", mitre_limit=10)
    corners = list(inner.exterior.coords)
    for name, expected in OUTER_FACES.items():
        nearest = min(corners, key=lambda corner: dist(corner, expected))
        assert nearest == pytest.approx(expected, abs=0.006), name


@pytest.mark.parametrize(
    ("name", "start", "end"),
    [("control deck", "E", "F"), ("screen bezel", "F", "G"), ("lower front", "B", "C"), ("top", "J", "I")],
)
def test_a_panel_is_as_long_as_its_line_in_the_section(name: str, start: str, end: str) -> None:
    extra = 10 if name == "lower front" else 0  # it stands 20 above the floor line, not 10
    assert height(name) + extra == pytest.approx(dist(OUTER_FACES[start], OUTER_FACES[end]), abs=0.06)


@pytest.mark.parametrize(
    ("name", "expected"),
    [
        ("bottom", (615, 464)),
        ("lower front", (604, 790)),
        ("deck soffit", (604, 100)),
        ("nose rail", (604, 63.5)),
        ("control deck", (604, 242.8)),
        ("screen bezel", (604, 523.1)),
        ("canopy soffit", (604, 202)),
        ("marquee frame", (604, 138)),
        ("top", (604, 380)),
        ("back upper", (604, 572)),
        ("back rail", (604, 140)),
        ("shelf", (615, 270)),
        ("back door", (598, 834)),
        ("monitor plate", (604, 160)),
        ("drawer carrier", (380, 150)),
        ("drawer front", (394, 104)),
        ("carrier tie", (400, 100)),
    ],
)
def test_a_panels_size(name: str, expected: tuple[float, float]) -> None:
    assert panel(name).size == pytest.approx(expected)


def test_the_dados_walls_and_ends() -> None:
    bottom, shelf = panel("side").groove
    assert [bottom.path, shelf.path] == [((20, 54), (500, 54)), ((52, 400), (338, 400))]
    for groove in (bottom, shelf):
        assert (groove.depth, groove.clearance, groove.wall, groove.ends) == (6, 0.2, "left", "round")
    assert JOB.stock[0].thickest + bottom.clearance == pytest.approx(18.2)  # z 54 to 72.2


def test_the_back_is_one_stack_with_two_gaps() -> None:
    rail, door, upper = (height(name) for name in ("back rail", "back door", "back upper"))
    assert 20 + rail + 3 + door + 3 + upper + 18 == pytest.approx(1590)


def test_the_parts_fill_three_quarters_of_two_sheets() -> None:
    gathering = Gathering()
    panels = resolve(READ, gathering)
    area = sum(panel.outline.area * (panel.copies + panel.mirrored) for panel in panels) / 1e6
    assert area == pytest.approx(4.57, abs=0.005)
    assert area / (2 * 1.220 * 2.440) == pytest.approx(0.77, abs=0.005)


def test_the_vents_and_the_fan() -> None:
    panels = {panel.name: panel for panel in resolve(READ, Gathering())}
    (vents,) = panels["back door"].grilles
    (fan,) = panels["back upper"].openings
    assert (vents.cells, round(vents.open_area, -1)) == (40, 18890)
    assert fan.contour.area == pytest.approx(10568, abs=0.5)
    assert vents.open_area / fan.contour.area == pytest.approx(1.79, abs=0.005)


def test_the_locks_opening_is_a_round_with_two_flats() -> None:
    lock = next(o for p in resolve(READ, Gathering()) for o in p.openings if o.name == "cam lock")
    xmin, ymin, xmax, ymax = lock.contour.bounds
    assert (xmax - xmin, ymax - ymin) == pytest.approx((16.3, 19.3))
    assert ((xmin + xmax) / 2, (ymin + ymax) / 2) == pytest.approx((299 + 255, 417))
    assert lock.contour.area == pytest.approx(_two_flats(19.3, 16.3))


def _two_flats(diameter: float, across: float) -> float:
    """A circle less two segments."""
    radius = diameter / 2
    angle = 2 * acos(across / diameter)
    return pi * radius**2 - radius**2 * (angle - sin(angle))


def test_buttons_and_stick_stand_where_the_deck_was_drawn() -> None:
    deck = {hole.name: hole for hole in panel("control deck").hole}
    middle = 302
    assert deck["stick"].centre == pytest.approx((middle - 180, 120))
    for name, first, v in (("front buttons", 40, 100), ("rear buttons", 48, 138)):
        row = deck[name].row
        assert row is not None
        assert deck[name].centre == pytest.approx((middle + first, v))
        assert (row.count, row.pitch, row.direction_deg) == (3, 38, 0)
