"""Free-form contours in figures: every point is told, or how many are; dense patterns have one letter for all."""

from math import cos, pi, sin
from pathlib import Path

import pytest
from paper_samples import of_text

from cncpanel.drawing.dimension import Dimensioning
from cncpanel.drawing.lettered import is_plain
from cncpanel.drawing.panel_drawing import PanelDrawing, panel_drawing
from cncpanel.drawing.panel_drawing_pieces import DrawnPanel, panel_pieces
from cncpanel.drawing.paper import Bullets, Heading, Label, Piece, Sentence, Table
from cncpanel.drawing.point_table import ACROSS, HEAD, MOST_POINTS, point_table
from cncpanel.drawing.seen import Seen
from cncpanel.geometry.contour import circle, polygon
from cncpanel.geometry.point import Point
from cncpanel.geometry.shape import rectangle

MM = Dimensioning("mm")


def wave(count: int, radius: float, middle: float = 400.0) -> list[tuple[float, float]]:
    turns = [2 * pi * i / count for i in range(count)]
    reach = [radius * (1 + 0.1 * sin(5 * turn)) for turn in turns]
    points = zip(turns, reach, strict=True)
    return [(round(middle + r * cos(t), 3), round(middle + r * sin(t), 3)) for t, r in points]


def points_of(table: Table) -> list[tuple[str, ...]]:
    """The rows' cells as points, column by column."""
    width = len(HEAD)
    rows = [tuple(row[first : first + width] for first in range(0, len(row), width)) for row in table.rows]
    return [cells for column in zip(*rows, strict=True) for cells in column if cells[0]]


@pytest.mark.parametrize("count", [4, 7, 81, MOST_POINTS])
def test_every_point_is_told_in_its_order(count: int) -> None:
    given = wave(count, 300)
    _, table = point_table(polygon(given).segments, MM)
    assert isinstance(table, Table)
    told = points_of(table)
    assert [str(number) for number in range(1, count + 1)] == [number for number, *_ in told]
    assert all(abs(a - float(x)) + abs(b - float(y)) < 0.01 for (a, b), (_, x, y, _) in zip(given, told, strict=True))


def test_too_many_points_are_told_to_be_too_many() -> None:
    sentence, table = point_table(polygon(wave(3000, 3000, 4000)).segments, MM)
    assert isinstance(sentence, Sentence)
    assert isinstance(table, Table)
    assert "3000 points" in sentence.text
    assert "one of every 4 is told" in sentence.text
    assert 750 == len(points_of(table))
    assert ["1", "5", "9"] == [number for number, *_ in points_of(table)[:ACROSS]]


def test_arcs_tell_radius_and_turn() -> None:
    _, table = point_table(rectangle(0, 0, 100, 50, (5, 6, 7, 8)).segments, MM)
    assert isinstance(table, Table)
    assert {"line", "R5 left", "R6 left", "R7 left", "R8 left"} == {way for *_, way in points_of(table)}


def test_plain_shapes_need_no_table_of_points() -> None:
    assert is_plain(circle(Point(0, 0), 4))
    assert is_plain(rectangle(0, 0, 20, 10, (5, 5, 5, 5)))
    assert is_plain(rectangle(0, 0, 20, 10, (1, 2, 0, 0)))
    assert not is_plain(polygon(wave(30, 10)))


def drawn(folder: Path, panels: str) -> tuple[PanelDrawing, list[Piece]]:
    read, (panel,) = of_text(folder, panels)
    seen = Seen(panel=panel, edges=())
    whole = DrawnPanel(seen=seen, head=read.job.job, note="", checksum="", number=1, count=1)
    return panel_drawing(seen, MM, 180), panel_pieces(whole, MM, 180)


def test_a_free_form_outline_and_opening_are_told_point_by_point(tmp_path: Path) -> None:
    shape, heart = (f"outline = {list(map(list, wave(*asked)))}" for asked in ((120, 300), (100, 100)))
    text = f'[[panel]]\nname = "flower"\nstock = "board"\n{shape}\n[[panel.opening]]\nname = "heart"\n{heart}\n'
    _, pieces = drawn(tmp_path, text)
    heads = [piece.text for piece in pieces if isinstance(piece, Heading)]
    assert ["Outline", "Points of cut (1)"] == heads[-2:]
    tables = [piece for piece in pieces if isinstance(piece, Table) and piece.head[: len(HEAD)] == HEAD]
    assert [120, 100] == [len(points_of(table)) for table in tables]


def test_a_dense_pattern_has_one_letter_and_a_row_for_every_hole(tmp_path: Path) -> None:
    hole = "[[panel.hole]]\ncentre = [200, 100]\ndiameter = 6\ngrid = { columns = 12, rows = 3, pitch = [14, 14] }\n"
    drawing, pieces = drawn(tmp_path, f'[[panel]]\nname = "deck"\nstock = "board"\nsize = [760, 420]\n{hole}')
    letters = [item.text for item in drawing.picture.items if isinstance(item, Label) and item.text.startswith("A")]
    assert ["A1 to A36"] == letters
    (holes,) = (piece for piece in pieces if isinstance(piece, Table) and piece.head[0] == "Hole")
    assert [f"A{n}" for n in range(1, 37)] == [row[0] for row in holes.rows]


def test_letters_without_room_are_named(tmp_path: Path) -> None:
    holes = "".join(
        f"[[panel.hole]]\ncentre = [{100 + 8 * (n % 8)}, {100 + 8 * (n // 8)}]\ndiameter = 2\n" for n in range(64)
    )
    drawing, pieces = drawn(tmp_path, f'[[panel]]\nname = "pins"\nstock = "board"\nsize = [1800, 900]\n{holes}')
    said = {item.text for item in drawing.picture.items if isinstance(item, Label)}
    letters = {hole.letter for hole in drawing.lettered.holes}
    assert drawing.without_letter
    assert letters - said == set(drawing.without_letter)
    notes = [point for piece in pieces if isinstance(piece, Bullets) for point in piece.points]
    assert any(
        point.startswith(f"No room on the drawing for the letters {drawing.without_letter[0]}") for point in notes
    )
