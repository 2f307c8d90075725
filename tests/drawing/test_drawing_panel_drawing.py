"""A panel's drawing: numbers equal what they span, words lie clear of each other, tables hold the rest."""

from dataclasses import replace
from fractions import Fraction
from functools import cache
from itertools import combinations
from pathlib import Path

import pytest
from paper_samples import of_text
from print_samples import JOBS, laid_out, told
from shapely.geometry import LineString, box

from cncpanel.drawing.dimension import Dimension, Dimensioning
from cncpanel.drawing.lettered import called
from cncpanel.drawing.page import meet
from cncpanel.drawing.panel_drawing import PanelDrawing, panel_drawing
from cncpanel.drawing.panel_drawing_pieces import DrawnPanel, panel_pieces
from cncpanel.drawing.paper import Label, Stroke, Table
from cncpanel.drawing.seen import Seen
from cncpanel.drawing.words import label_box
from cncpanel.geometry.point import Point
from cncpanel.make.flow import Made
from cncpanel.units import DimensionUnit

WIDTH = 180.0  # mm; between an A4 page's margins
UNITS: tuple[DimensionUnit, ...] = ("mm", "inch", "fraction")
LENGTH = {"mm": 1.0, "inch": 25.4, "fraction": 25.4}
ROUNDED = {"mm": 0.005, "inch": 0.0005 * 25.4, "fraction": 0.0005 * 25.4}  # half of the last decimal


@cache
def drawings(job: str, unit: DimensionUnit) -> list[PanelDrawing]:
    made = laid_out(job)
    return [panel_drawing(_seen(made, index), Dimensioning(unit), WIDTH) for index in range(len(made.panels))]


def _seen(made: Made, index: int) -> Seen:
    return Seen(panel=made.panels[index], edges=made.read.job.panel[index].edge)


def named(job: str, name: str) -> PanelDrawing:
    made = laid_out(job)
    index = next(panel.index for panel in made.panels if panel.name == name)
    return panel_drawing(_seen(made, index), Dimensioning("mm"), WIDTH)


def labels(drawing: PanelDrawing) -> list[Label]:
    return [item for item in drawing.picture.items if isinstance(item, Label)]


@pytest.mark.parametrize("unit", UNITS)
@pytest.mark.parametrize("job", JOBS)
def test_every_dimensions_number_equals_the_distance_that_it_spans(job: str, unit: DimensionUnit) -> None:
    for drawing in drawings(job, unit):
        assert len(drawing.dimensions) >= 4
        for dimension in drawing.dimensions:
            number = float(told(dimension.text)) * LENGTH[unit]
            assert abs(number - dimension.span) <= ROUNDED[unit] + 1e-9, dimension


@pytest.mark.parametrize("job", JOBS)
def test_every_dimension_is_written_on_the_drawing_and_starts_at_the_datum(job: str) -> None:
    for drawing in drawings(job, "mm"):
        written = [label.text for label in labels(drawing)]
        running = [d for d in drawing.dimensions if not d.text[0].isalpha() and " x " not in d.text]
        assert {Point(0.0, 0.0)} == {dimension.start for dimension in running if dimension.text != "Ø"}
        assert all(written.count(dimension.text) >= 1 for dimension in drawing.dimensions)
        left, low, right, high = drawing.seen.outline.bounds
        assert (0.0, 0.0) == pytest.approx((left, low), abs=1e-9)
        ends = {dimension.end for dimension in running}
        assert any(abs(end.x - right) < 0.005 for end in ends)
        assert any(abs(end.y - high) < 0.005 for end in ends)


@pytest.mark.parametrize("unit", UNITS)
@pytest.mark.parametrize("job", JOBS)
def test_no_words_of_a_drawing_overlap_or_leave_it(job: str, unit: DimensionUnit) -> None:
    for drawing in drawings(job, unit):
        boxes = [(label.text, label_box(label)) for label in labels(drawing)]
        assert [] == [(a, b) for (a, one), (b, other) in combinations(boxes, 2) if meet(one, other)]
        width, height = drawing.picture.width, drawing.picture.height
        assert width <= WIDTH
        for _, (left, low, right, high) in boxes:
            assert min(left, low) >= 0
            assert right <= width
            assert high <= height


@pytest.mark.parametrize("job", JOBS)
def test_an_extension_line_begins_at_what_it_tells_and_ends_at_its_number(job: str) -> None:
    for drawing in drawings(job, "mm"):
        lines = [item for item in drawing.picture.items if isinstance(item, Stroke) and len(item.points) == 3]
        running = [d for d in drawing.dimensions if d.text[0].isdigit() and " x " not in d.text]
        extensions = [line for line in lines if line.width == 0.1]
        assert len(running) == len(extensions)
        scale = float(drawing.scale)
        (x0, y0) = _datum(drawing)
        for dimension, line in zip(running, extensions, strict=True):
            (x, y), bend, _ = line.points
            across = dimension.end.x > 0 or abs(x - bend[0]) < 1e-9
            spanned = (x - x0) / scale if across else (y - y0) / scale
            assert abs(spanned - dimension.span) <= 0.0051


def _datum(drawing: PanelDrawing) -> tuple[float, float]:
    outline = next(i for i in drawing.picture.items if isinstance(i, Stroke) and i.width == 0.5)
    return min(x for x, _ in outline.points), min(y for _, y in outline.points)


def test_a_panel_is_drawn_at_its_scale() -> None:
    drawing = named("millrace", "side")
    outline = next(i for i in drawing.picture.items if isinstance(i, Stroke) and i.width == 0.5)
    xs, ys = zip(*outline.points, strict=True)
    assert Fraction(1, 10) == drawing.scale
    assert (62.0, 160.0) == pytest.approx((max(xs) - min(xs), max(ys) - min(ys)), abs=0.001)


def test_the_control_decks_tables_hold_what_the_drawing_shows() -> None:
    drawing = named("millrace", "control deck")
    assert ["A1", "B1", "B2", "B3", "C1", "C2", "C3"] == [hole.letter for hole in drawing.lettered.holes]
    written = {label.text for label in labels(drawing)}
    assert {"A1", "B1", "B2", "B3", "C1", "C2", "C3", "(1)", "(2)"} <= written
    rows = {row[0]: row for table in _tables("millrace", "control deck") for row in table.rows}
    assert ("A1", "122", "120", "24", "through", "stick") == rows["A1"]
    assert ("(1)", "recess stick plate", "67", "82.5", "110", "75", "R6", "9") == rows["(1)"]


def _tables(job: str, name: str) -> list[Table]:
    made = laid_out(job)
    panel = next(panel for panel in made.panels if panel.name == name)
    asked = made.read.job.panel[panel.index]
    drawn = DrawnPanel(
        seen=Seen(panel=panel, edges=asked.edge),
        head=made.read.job.job,
        note=asked.note,
        checksum="0" * 12,
        number=1,
        count=1,
    )
    return [piece for piece in panel_pieces(drawn, Dimensioning("mm"), WIDTH) if isinstance(piece, Table)]


def test_a_grille_is_one_row_and_no_hole_of_it_is_lettered() -> None:
    drawing = named("millrace", "canopy soffit")
    assert ["A1", "A2", "A3", "A4", "B1", "B2", "B3", "B4"] == sorted(h.letter for h in drawing.lettered.holes)
    assert [("left grille", 69), ("right grille", 69)] == [(f.name, f.count) for f in drawing.lettered.fields]


def test_a_cut_is_called_what_it_is_once() -> None:
    rows = {row[0]: row for table in _tables("trail_plaque", "plaque") for row in table.rows}
    assert "drawn opening" == rows["(1)"][1]
    assert ("recess tray", "recess", "groove") == (
        called("recess", "tray"),
        called("recess", ""),
        called("groove", "groove"),
    )
    assert "opening opened twice" == called("opening", "opened twice")


def test_the_title_block_tells_quantity_and_hand() -> None:
    block = _tables("millrace", "side")[0]
    assert "Quantity" in block.head
    assert "2: 1 as drawn, 1 mirrored left to right" in block.rows[0]
    assert "18 (measured 17.9 to 18)" in block.rows[0]
    assert "1:10" in block.rows[0]


def test_a_radius_is_told_at_the_corner_that_has_room_for_it(tmp_path: Path) -> None:
    """Round the datum's corner run the numbers' lines; A1 stands over it."""
    hole = "hole = [{ centre = [254, 355], diameter = 5, grid = { columns = 2, rows = 2, pitch = [458, 660] } }]"
    _, (panel,) = of_text(
        tmp_path, f'[[panel]]\nname = "front"\nstock = "board"\nsize = [508, 965]\nradius = 9.5\n{hole}\n'
    )
    picture = panel_drawing(Seen(panel=panel, edges=()), Dimensioning("mm"), WIDTH).picture
    (said,) = (item for item in picture.items if isinstance(item, Label) and item.text == "4 x R9.5")
    words = box(*label_box(said))
    lines = [LineString(item.points) for item in picture.items if isinstance(item, Stroke) and len(item.points) > 1]
    assert len(lines) > 12
    assert min(line.distance(words) for line in lines) > 0


def test_a_planted_wrong_number_is_found() -> None:
    drawing = named("millrace", "bottom")
    wrong = replace(drawing.dimensions[1], text="616")
    assert abs(float(told(wrong.text)) - wrong.span) > 0.005


def test_a_dimension_spans_its_points() -> None:
    assert 5.0 == Dimension(Point(1.0, 1.0), Point(4.0, 5.0), "5").span
    assert "R5" == Dimensioning("mm").between(Point(1, 1), Point(4, 5), "R").text
    assert "23 25/32 -0.002" == Dimensioning("fraction").told(604.0)
    assert "1/2" == Dimensioning("fraction").told(12.7)
    assert "23.78" == Dimensioning("inch").told(604.0)


def test_the_demo_jobs_are_all_drawn() -> None:
    assert {"millrace", "loop_board", "story_dial"} <= set(JOBS)
