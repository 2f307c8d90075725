"""Regions as shapely polygons: sound ones, whatever crosses by a hair."""

from pathlib import Path

from cncpanel.geometry.contour import polygon
from cncpanel.geometry.region import Region, flat
from cncpanel.make.choice import Choice
from cncpanel.make.flow import make

CROSSING = polygon([(0, 0), (60, 0), (60, 40), (20, 40), (20, -0.001), (0, 40)])  # the way back dips under the way out

DISCS = """
[job]
name = "Discs"
machine = "nesting-router"
[settings]
hold = "skin"
packing = { steps = 0 }
[[stock]]
name = "board"
material = "mdf"
thickness = 18
sheet = [700, 500]
count = 1
[[panel]]
name = "disc"
stock = "board"
diameter = 50
copies = 6
"""


def test_a_ring_that_crosses_itself_by_a_hair_is_sound() -> None:
    shape = flat(Region(CROSSING))
    assert shape.is_valid
    assert abs(shape.area - (20 * 40 / 2 + 40 * 40)) < 0.1


def test_scrap_whose_chords_cross_is_cleared(tmp_path: Path) -> None:
    """Between discs and the sheet's edge a sliver's rim is of arcs that meet smoothly: GEOS refused their chords."""
    path = tmp_path / "discs.toml"
    path.write_text(DISCS, encoding="utf-8")
    assert make(path, Choice(), lambda _: None).passed
