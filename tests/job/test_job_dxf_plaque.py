"""The drawing of our own way-mark, drawn here: `python tests/job/test_job_dxf_plaque.py` writes it anew.

A plaque of 560 x 387 mm: rounded lower corners, a skyline of hills as one spline along the top, and three openings, a
window for the map, a slot for a strap and a round hole for a compass.
"""

import sys
from math import pi
from pathlib import Path
from typing import Any

import ezdxf
import pytest
from dxf_drawn import read
from ezdxf import options
from ezdxf.math import BSpline

HILLS = [(560, 290), (522, 290), (495, 330), (440, 405), (373, 365), (317, 290), (252, 320)]
VALLEY = [(187, 345), (140, 395), (65, 375), (37, 290), (0, 290)]
QUARTER = 0.41421356237309503  # tangent of a fourth of 90 degrees


def draw(space: Any) -> None:
    """The plaque: outline of lines, arcs and one spline; openings as polyline, circle, and lines with arcs."""
    rim, cut = {"layer": "OUTLINE"}, {"layer": "OPENINGS"}
    space.add_line((30, 0), (530, 0), dxfattribs=rim)
    space.add_arc((530, 30), 30, 270, 360, dxfattribs=rim)
    space.add_line((560, 30), (560, 290), dxfattribs=rim)
    space.add_open_spline([(x, y, 0) for x, y in HILLS + VALLEY], degree=3, dxfattribs=rim)
    space.add_line((0, 290), (0, 30), dxfattribs=rim)
    space.add_arc((30, 30), 30, 180, 270, dxfattribs=rim)
    window = [(72, 60, 0), (308, 60, QUARTER), (320, 72, 0), (320, 218, QUARTER)]
    window += [(308, 230, 0), (72, 230, QUARTER), (60, 218, 0), (60, 72, QUARTER)]
    space.add_lwpolyline(window, format="xyb", close=True, dxfattribs=cut)
    space.add_circle((430, 190), 45, dxfattribs=cut)
    space.add_line((370, 70), (490, 70), dxfattribs=cut)
    space.add_arc((490, 80), 10, 270, 90, dxfattribs=cut)
    space.add_line((490, 90), (370, 90), dxfattribs=cut)
    space.add_arc((370, 80), 10, 90, 270, dxfattribs=cut)


def write(path: Path) -> None:
    """The drawing file, the same bytes every time."""
    options.write_fixed_meta_data_for_testing = True
    try:
        document = ezdxf.new("R2010", units=4)
        document.layers.add("OUTLINE", color=7)
        document.layers.add("OPENINGS", color=5)
        draw(document.modelspace())
        document.saveas(path)
    finally:
        options.write_fixed_meta_data_for_testing = False


def test_the_drawing_beside_the_job_is_the_one_drawn_here(fixtures: Path, tmp_path: Path) -> None:
    write(tmp_path / "trail_plaque_outline.dxf")
    for layer in ("OUTLINE", "OPENINGS"):
        kept = read(fixtures / "jobs" / "trail_plaque_outline.dxf", layer)
        assert kept.problems == kept.warnings == []
        assert read(tmp_path / "trail_plaque_outline.dxf", layer).shapes == kept.shapes


def test_the_plaque_has_the_size_and_openings_it_was_drawn_with(fixtures: Path) -> None:
    plaque = read(fixtures / "jobs" / "trail_plaque_outline.dxf").only
    skyline = BSpline([(x, y, 0) for x, y in HILLS + VALLEY]).approximate(5000)
    assert plaque.outer.bounds == pytest.approx((0, 0, 560, max(p.y for p in skyline)), abs=0.006)
    areas = sorted(round(hole.area, 3) for hole in plaque.holes)
    window = 260 * 170 - (4 - pi) * 144
    assert areas == pytest.approx(sorted([window, pi * 45**2, 120 * 20 + pi * 100]), abs=1e-3)


def test_the_skyline_is_a_handful_of_arcs(fixtures: Path) -> None:
    outline = read(fixtures / "jobs" / "trail_plaque_outline.dxf", "OUTLINE").only.outer
    assert len(outline.vertices) < 80


if __name__ == "__main__":
    write(Path(sys.argv[1] if len(sys.argv) > 1 else "fixtures/jobs/trail_plaque_outline.dxf"))
