"""The written file: the version and unit promised, clean under audit, the same bytes, the same region read back."""

import os
import subprocess
import sys
from datetime import date
from io import StringIO
from math import pi
from pathlib import Path as File

import ezdxf
import pytest

from cncpanel.drawing.flat import (
    HOLE_THROUGH,
    MARK,
    NAME,
    OPENING,
    OUTLINE,
    FlatDrawing,
    FlatEntity,
    layer_at_depth,
    layer_name,
)
from cncpanel.errors import Gathering, Place
from cncpanel.geometry.contour import Contour, Path, Vertex, circle, polygon
from cncpanel.geometry.point import Point
from cncpanel.job.dxf import read_dxf
from cncpanel.output.dxf import panel_dxf

RIM = Contour(
    (
        Vertex(10, 0),
        Vertex(290.123456, 0, 0.41421356),
        Vertex(300.123456, 10),
        Vertex(300.123456, 200),
        Vertex(0, 200, 0.3),
        Vertex(0, 10, 0.41421356),
    )
)
WINDOW = circle((100, 100), 40.05)
DRAWING = FlatDrawing(
    "door",
    (
        FlatEntity(layer=OUTLINE, contour=RIM),
        FlatEntity(layer=OPENING, contour=WINDOW.reversed()),
        FlatEntity(layer=layer_at_depth("RECESS", 6), contour=polygon([(200, 50), (250, 50), (250, 90)])),
        FlatEntity(layer=HOLE_THROUGH, circle=(Point(20, 20), 2.25)),
        FlatEntity(layer=MARK, contour=Path((Vertex(150, 20, 0.5), Vertex(160, 20), Vertex(160, 30)))),
        FlatEntity(layer=NAME, text=(Point(150, 100), 10, "Tür %%c ^J\\P 1")),
    ),
)


def document(content: bytes = b""):
    return ezdxf.read(StringIO((content or panel_dxf(DRAWING)).decode("utf-8")))


def test_the_file_is_r2010_in_millimetres() -> None:
    written = document()
    assert written.dxfversion == "AC1024"
    assert (written.header["$INSUNITS"], written.header["$MEASUREMENT"]) == (4, 1)
    assert tuple(written.header["$EXTMAX"])[:2] == pytest.approx((300.123456, 200))


def test_an_audit_finds_nothing_to_mend() -> None:
    audit = document().audit()
    assert (audit.errors, audit.fixes) == ([], [])


def test_the_same_drawing_gives_the_same_bytes_without_a_clock() -> None:
    first = panel_dxf(DRAWING)
    assert first == panel_dxf(DRAWING)
    assert f"{date.today().year}-".encode() not in first
    assert not ezdxf.options.write_fixed_meta_data_for_testing


def test_the_same_drawing_gives_the_same_bytes_in_every_run_of_python() -> None:
    """Sets are ordered by a seed that differs from run to run; nothing of that may show."""
    program = (
        "import sys; from cncpanel.drawing.flat import HOLE_THROUGH, FlatDrawing, FlatEntity;"
        "from cncpanel.geometry.point import Point; from cncpanel.output.dxf import panel_dxf;"
        "hole = FlatEntity(layer=HOLE_THROUGH, circle=(Point(20, 20), 2.25));"
        "sys.stdout.buffer.write(panel_dxf(FlatDrawing('door', (hole,))))"
    )
    runs = [
        subprocess.run(
            [sys.executable, "-c", program], env={**os.environ, "PYTHONHASHSEED": seed}, capture_output=True, check=True
        ).stdout
        for seed in ("1", "4", "7", "10")
    ]
    assert len(runs[0]) > 1000
    assert runs.count(runs[0]) == len(runs)


def test_every_kind_of_work_has_its_layer_and_shape() -> None:
    drawn = [(e.dxf.layer, e.dxftype()) for e in document().modelspace()]
    assert drawn == [
        ("OUTLINE", "LWPOLYLINE"),
        ("OPENING", "LWPOLYLINE"),
        ("RECESS_6.00", "LWPOLYLINE"),
        ("HOLE_THROUGH", "CIRCLE"),
        ("MARK", "LWPOLYLINE"),
        ("NAME", "TEXT"),
    ]
    assert {layer for layer, _ in drawn} <= {layer.dxf.name for layer in document().layers}


def test_arcs_are_written_as_bulges_and_paths_stay_open() -> None:
    rim, *_, mark, _ = document().modelspace()
    assert [b for (b,) in rim.get_points("b")] == [v.bulge for v in RIM.vertices]
    assert (rim.closed, mark.closed) == (True, False)


def test_words_lose_what_the_format_reads_as_codes() -> None:
    (text,) = document().modelspace().query("TEXT")
    assert text.dxf.text == "Tür %c  J P 1"


def test_the_reader_gets_the_same_region_back(tmp_path: File) -> None:
    path = tmp_path / "door.dxf"
    path.write_bytes(panel_dxf(FlatDrawing("door", DRAWING.entities[:2])))
    gathering = Gathering()
    (shape,) = read_dxf(path, layer=None, unit=None, tolerance=0.05, place=Place("job.toml"), gathering=gathering) or ()
    assert gathering.found == []
    for drawn, back in ((RIM, shape.outer), (WINDOW, shape.holes[0])):
        assert back.area == pytest.approx(drawn.area, abs=1e-6)
        assert back.bounds == pytest.approx(drawn.bounds, abs=1e-6)
    assert [v.point for v in shape.outer.vertices] == [pytest.approx(v.point, abs=1e-6) for v in RIM.vertices]


def test_an_empty_drawing_is_still_a_file() -> None:
    assert len(document(panel_dxf(FlatDrawing("nothing", ()))).modelspace()) == 0


@pytest.mark.parametrize(
    ("words", "name"),
    [
        ("recess_6.00", "RECESS_6.00"),
        ('a<b>/\\":;?*|=`c', "A_B_C"),
        ("Tür 1", "T_R_1"),
        ("", "LAYER"),
        ("***", "LAYER"),
        ("x" * 300, "X" * 80),
    ],
)
def test_layer_names_are_made_safe(words: str, name: str) -> None:
    assert layer_name(words) == name


def test_a_depth_is_part_of_the_layer() -> None:
    assert layer_at_depth("GROOVE", 6) == "GROOVE_6.00"
    assert layer_at_depth("HOLE", None) == HOLE_THROUGH


def test_an_entity_draws_exactly_one_thing() -> None:
    with pytest.raises(ValueError, match="draws 0 things"):
        FlatEntity(layer=OUTLINE)
    with pytest.raises(ValueError, match="draws 2 things"):
        FlatEntity(layer=OUTLINE, contour=RIM, circle=(Point(0, 0), pi))
