"""A panel that is cut from both faces: every paper shows and tells what lies on the face that is not seen."""

from collections.abc import Sequence
from pathlib import Path

import pytest
from paper_samples import of_text

from cncpanel.cabinet.revision import changes
from cncpanel.drawing.artwork import OPENING, Print, artwork_lines
from cncpanel.drawing.dimension import Dimensioning
from cncpanel.drawing.panel_drawing_pieces import DrawnPanel, panel_pieces
from cncpanel.drawing.panel_flat import panel_drawing
from cncpanel.drawing.paper import Bullets, Picture, Stroke, Table
from cncpanel.drawing.seen import Seen
from cncpanel.drawing.template import template
from cncpanel.drawing.template_notes import pen_samples
from cncpanel.geometry.segment import Bounds
from cncpanel.job.model import Artwork, ArtworkSettings
from cncpanel.job.read import ReadJob
from cncpanel.panel.panel import Panel

WING = """[[panel]]
name = "wing"
stock = "board"
size = [400, 300]
mirrored = 1
recess = [{ name = "tray", centre = [100, 200], size = [120, 80], radius = 8, depth = 7, face = "back" }]
groove = [{ name = "housing", path = [[0, 40], [400, 40]], width = 12, depth = 5 }]
hole = [
    { name = "cam", centre = [250, 120], diameter = 15, depth = 12.5, face = "back" },
    { name = "bolt", centre = [350, 200], diameter = 6, counterbore = { diameter = 14, depth = 4 }, face = "back" },
]
mark = [{ text = "A", at = [250, 220], height = 20, depth = 0.5, face = "back" }]
"""
TRAY: Bounds = (40.0, 160.0, 160.0, 240.0)  # by hand: 100 +- 60, 200 +- 40
MIRRORED: Bounds = (240.0, 160.0, 360.0, 240.0)  # 400 - x


@pytest.fixture
def wing(tmp_path: Path) -> tuple[ReadJob, Panel]:
    read, (panel,) = of_text(tmp_path, WING)
    return read, panel


def drawn(wing: tuple[ReadJob, Panel]) -> Sequence[object]:
    read, panel = wing
    sheet = DrawnPanel(
        seen=Seen(panel=panel, edges=()), head=read.job.job, note="", checksum="0" * 12, number=1, count=1
    )
    return panel_pieces(sheet, Dimensioning("mm"), 180.0)


def test_the_drawings_tables_tell_each_depth_and_the_face_that_it_counts_from(wing: tuple[ReadJob, Panel]) -> None:
    rows = [row for piece in drawn(wing) if isinstance(piece, Table) for row in piece.rows]
    told = {row[-1]: row for row in rows} | {row[1]: row for row in rows}
    assert ("120", "80") == told["recess tray"][4:6]
    assert ("7, back", "5, show") == (told["recess tray"][-1], told["groove housing"][-1])
    assert ("250", "120", "15", "12.5, back", "-", "cam") == told["cam"][1:]
    assert ("350", "200", "6", "through", "Ø14, 4 deep, back", "bolt") == told["bolt"][1:]
    notes = [line for piece in drawn(wing) if isinstance(piece, Bullets) for line in piece.points]
    assert any(line.startswith("Cut from BOTH faces") for line in notes)


def test_the_drawing_shows_the_other_face_dashed(wing: tuple[ReadJob, Panel]) -> None:
    (picture,) = (piece for piece in drawn(wing) if isinstance(piece, Picture))
    dashed = [item for item in picture.items if isinstance(item, Stroke) and item.dash == 1.2]
    sizes = [
        tuple(round(5 * (max(axis) - min(axis)), 1) for axis in zip(*stroke.points, strict=True)) for stroke in dashed
    ]
    assert [(120.0, 80.0), (14.0, 14.0), (15.0, 15.0)] == sizes  # at 1:5


@pytest.mark.parametrize(
    ("how", "box", "layer"),
    [
        ({}, TRAY, "BACK_RECESS_7.00"),
        ({"mirrored_copy": True}, MIRRORED, "BACK_RECESS_7.00"),
        ({"face": "back"}, MIRRORED, "RECESS_7.00"),
        ({"face": "back", "mirrored_copy": True}, TRAY, "RECESS_7.00"),
    ],
)
def test_a_template_shows_both_faces(
    wing: tuple[ReadJob, Panel], how: dict[str, object], box: Bounds, layer: str
) -> None:
    made = template(Seen(panel=wing[1], edges=(), **how), "mm")
    (tray,) = (line for line in made.lines if line.layer == layer)
    assert box == pytest.approx(tray.bounds, abs=1e-6)
    behind = layer.startswith("BACK")
    assert behind == bool(tray.pen.dash)
    told = {wish.places[0].text for wish in made.wishes}
    assert f"recess tray: 7 mm deep{', other face' if behind else ''}" in told
    assert f"Ø15 mm, 12.5 mm deep{', other face' if behind else ''}" in told
    assert f"groove housing: 5 mm deep{'' if behind else ', other face'}" in told
    words = [said for _, said in pen_samples(made)]
    assert {"recess, groove, blind hole", "recess, groove, blind hole: on the other face"} <= set(words)


def test_the_panels_dxf_has_layers_for_the_other_face(wing: tuple[ReadJob, Panel]) -> None:
    layers = {entity.layer for entity in panel_drawing(wing[1]).entities}
    assert {"GROOVE_5.00", "BACK_RECESS_7.00", "BACK_HOLE_12.50", "BACK_RECESS_4.00", "BACK_MARK"} <= layers
    assert "RECESS_7.00" not in layers


@pytest.mark.parametrize(("face", "wasted"), [("back", {(120, 80), (15, 15), (14, 14), (6, 6)}), ("show", {(6, 6)})])
def test_artwork_leaves_out_what_is_cut_into_the_printed_face(
    wing: tuple[ReadJob, Panel], face: str, wasted: set[tuple[int, int]]
) -> None:
    seen = Seen(panel=wing[1], edges=(), face=face)
    printed = Print(seen=seen, artwork=Artwork(face=face), settings=ArtworkSettings(), hand="", unit="mm")
    boxes = [line.bounds for line in artwork_lines(printed) if line.layer == OPENING]
    sizes = {(round(right - left), round(high - low)) for left, low, right, high in boxes}
    assert wasted == {size for size in sizes if size[0] < 400}


def test_a_new_revision_tells_what_changed_in_the_other_face(wing: tuple[ReadJob, Panel], tmp_path: Path) -> None:
    _, moved = of_text(tmp_path, WING.replace("[100, 200]", "[101, 200]"))
    _, turned = of_text(tmp_path, WING.replace('depth = 7, face = "back"', "depth = 7"))
    (first,) = changes([wing[1]], moved)
    (second,) = changes([wing[1]], turned)
    (third,) = changes([wing[1]], [wing[1]])
    assert ("recut", "recut", "same") == (first.deed, second.deed, third.deed)
    assert "tray" in str(first)
