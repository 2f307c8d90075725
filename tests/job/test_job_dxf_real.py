"""Drawings from other people's projects: each imports, or is refused with a reason a person can act on."""

from pathlib import Path

import pytest
from dxf_drawn import read


def test_there_are_drawings_to_read(outside_data: Path) -> None:
    assert len(list((outside_data / "dxf").glob("*.dxf"))) >= 7


@pytest.mark.parametrize(
    ("name", "unit", "shapes", "holes", "box"),
    [
        ("Laser4DIY_Enclosur__cutout_frontplate", None, 1, 15, (505.0, 215.0)),
        ("Laser4DIY_Enclosur__hole_cover", "mm", 1, 71, (160.0, 90.0)),
        ("SofleKeyboard__SofleKeyboard-Eco2_User", "mm", 30, 29, None),
        ("SofleKeyboard__SofleKeyboardBottomPlate_ShapeOnly", "mm", 1, 0, (137.2, 109.25)),
        ("redox-keyboard__redox_rev1-brd", "inch", 1, 40, (6.385 * 25.4, 4.98 * 25.4)),
    ],
)
def test_a_real_drawing_imports_whole(
    outside_data: Path, name: str, unit: str | None, shapes: int, holes: int, box: tuple[float, float] | None
) -> None:
    """Sizes and counts: the data's own manifest, and shapely's view of the flattened contours (see outside/)."""
    outcome = read(outside_data / "dxf" / f"{name}.dxf", unit=unit)
    assert outcome.problems == []
    assert outcome.shapes is not None
    assert (len(outcome.shapes), sum(len(s.holes) for s in outcome.shapes)) == (shapes, holes)
    if box:
        xmin, ymin, xmax, ymax = outcome.shapes[0].outer.bounds
        assert (xmax - xmin, ymax - ymin) == pytest.approx(box, abs=0.02)


@pytest.mark.parametrize(
    "name",
    [
        "Laser4DIY_Enclosur__hole_cover",
        "SofleKeyboard__SofleKeyboard-Eco2_User",
        "SofleKeyboard__SofleKeyboardBottomPlate_ShapeOnly",
        "dxf-parser__ellipse",
        "redox-keyboard__redox_rev1-brd",
    ],
)
def test_a_drawing_without_a_unit_is_asked_about(outside_data: Path, name: str) -> None:
    (problem,) = read(outside_data / "dxf" / f"{name}.dxf").problems
    assert problem.startswith("the file does not say its unit (say unit in the job: as mm ")


def test_lines_doubled_by_their_width_are_pointed_out(outside_data: Path) -> None:
    outcome = read(outside_data / "dxf" / "SofleKeyboard__SofleKeyboard-Eco2_User.dxf", unit="mm")
    assert outcome.warnings[-1].startswith("30 shapes narrower than 0.5 mm, the first at (")


def test_a_part_224_metres_wide_is_not_believed(outside_data: Path) -> None:
    outcome = read(outside_data / "dxf" / "ezdxf__1_polylines.dxf")
    assert outcome.warnings == ["left out: 9 TEXT"]
    assert outcome.problems[0].startswith("in m the drawing is 223969.5 x 199984 mm (as mm 224 x 200 mm")


def test_loose_lines_and_crossing_contours_are_each_named(outside_data: Path) -> None:
    problems = read(outside_data / "dxf" / "ezdxf__1_polylines.dxf", unit="mm").problems
    assert sum("does not close" in p for p in problems) == 2
    assert any("two contours cross or touch at (" in p for p in problems)


def test_ellipses_that_cross_are_named(outside_data: Path) -> None:
    (problem,) = read(outside_data / "dxf" / "dxf-parser__ellipse.dxf", unit="mm").problems
    assert problem.startswith("two contours cross or touch at (")
