"""The DXF reader against the format's reference and against general libraries' own reading of the same files."""

import random
from itertools import pairwise
from math import pi, sin, tan
from pathlib import Path

import ezdxf
import pytest
import shapely
from ezdxf import path as ezdxf_path
from ezdxf import units

from cncpanel.errors import Gathering, Place
from cncpanel.job.dxf import DxfShape, read_dxf
from cncpanel.job.dxf_unit import HEADER_UNITS


def read(path: Path, unit: str | None = "mm") -> tuple[DxfShape, ...]:
    gathering = Gathering()
    shapes = read_dxf(path, layer=None, unit=unit, tolerance=0.05, place=Place("x"), gathering=gathering)
    assert gathering.problems == ()
    assert shapes is not None
    return shapes


@pytest.mark.parametrize("degrees", [10, 60, 90, 150, 180, 240, 300, 350])
def test_a_bulge_is_the_tangent_of_a_fourth_of_the_included_angle(tmp_path: Path, degrees: float) -> None:
    """DXF reference, LWPOLYLINE, group code 42; area of a circle's segment: r^2 (a - sin a) / 2 (geometry handbook)."""
    angle, chord = degrees * pi / 180, 100.0
    document = ezdxf.new(units=4)
    document.modelspace().add_lwpolyline([(0, 0, tan(angle / 4)), (chord, 0, 0)], format="xyb", close=True)
    document.saveas(tmp_path / "segment.dxf")
    radius = chord / (2 * sin(angle / 2))
    (shape,) = read(tmp_path / "segment.dxf")
    assert shape.outer.area == pytest.approx(radius**2 * (angle - sin(angle)) / 2, rel=1e-9)


@pytest.mark.parametrize("code", sorted(set(HEADER_UNITS) - {8, 9, 21}))
def test_header_units_are_those_of_a_general_library(code: int) -> None:
    """ezdxf.units, after the DXF reference's table of $INSUNITS."""
    assert HEADER_UNITS[code][1] == pytest.approx(units.conversion_factor(code, units.MM), rel=1e-6)


def test_the_mil_and_the_microinch_are_parts_of_the_inch_of_25_4() -> None:
    """International yard and pound agreement, 1959: the inch is 25.4 mm."""
    assert (HEADER_UNITS[9][1], HEADER_UNITS[8][1]) == pytest.approx((25.4e-3, 25.4e-6))


def test_the_survey_foot_is_1200_3937_metres() -> None:
    """US National Bureau of Standards, Federal Register 59-5442 (1959)."""
    assert HEADER_UNITS[21][1] == pytest.approx(304.8006096, abs=1e-7)


@pytest.mark.parametrize("seed", range(12))
def test_nested_blocks_lie_where_a_general_librarys_matrices_put_them(tmp_path: Path, seed: int) -> None:
    """Points flattened by ezdxf.path, carried by the product of ezdxf's own matrices; areas and boxes."""
    chance = random.Random(seed)

    def placing() -> dict[str, object]:
        uneven = chance.random() < 0.5
        size = chance.choice([-1, 1]) * chance.uniform(0.6, 2)
        return {
            "xscale": size,
            "yscale": chance.uniform(0.6, 2) if uneven else abs(size),
            "rotation": chance.choice([0, 90, chance.uniform(0, 360)]),
            "extrusion": (0, 0, chance.choice([1, 1, -1])),
        }

    document = ezdxf.new(units=4)
    part = document.blocks.new("PART", base_point=(3, 4))
    part.add_lwpolyline([(0, 0, 0), (80, 0, 0.7), (90, 50, 0), (0, 60, -0.2)], format="xyb", close=True)
    inner = document.blocks.new("MIDDLE").add_blockref("PART", (20, 10), dxfattribs=placing())
    outer = document.modelspace().add_blockref("MIDDLE", (-50, 70), dxfattribs=placing())
    document.saveas(tmp_path / "nested.dxf")
    drawn = list(ezdxf_path.make_path(part[0]).flattening(0.0005))
    carried = outer.matrix44().transform_vertices(inner.matrix44().transform_vertices(drawn))
    polygon = shapely.Polygon([(p.x, p.y) for p in carried])
    (shape,) = read(tmp_path / "nested.dxf")
    assert shape.outer.area == pytest.approx(polygon.area, rel=1e-4)
    assert shape.outer.bounds == pytest.approx(polygon.bounds, abs=0.01)


@pytest.mark.parametrize(
    ("name", "unit"),
    [("Laser4DIY_Enclosur__cutout_frontplate", None), ("Laser4DIY_Enclosur__hole_cover", "mm")],
)
def test_real_drawings_enclose_what_shapely_polygonizes(outside_data: Path, name: str, unit: str | None) -> None:
    """Every entity flattened by ezdxf.path, noded and polygonized by GEOS: the same faces, the same areas."""
    file = outside_data / "dxf" / f"{name}.dxf"
    pieces = []
    for entity in ezdxf.readfile(file).modelspace():
        points = [p.vec2 for p in ezdxf_path.make_path(entity).flattening(0.001)]
        pieces += [shapely.LineString(pair) for pair in pairwise(points) if pair[0].distance(pair[1]) > 1e-3]
    faces = shapely.polygonize([shapely.unary_union(shapely.set_precision(pieces, 2e-3))]).geoms
    faces = [face for face in faces if face.area > 0.01]  # edges drawn twice leave slivers between them
    (shape,) = read(file, unit)
    holes = sorted(hole.area for hole in shape.holes)
    assert len(faces) == len(holes) + 1
    seen = sorted(face.area for face in faces)
    assert holes == pytest.approx(seen[:-1], rel=2e-3)
    assert shape.outer.area - sum(holes) == pytest.approx(seen[-1], rel=1e-4)
