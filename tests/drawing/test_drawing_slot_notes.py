"""Slots for T-moulding: the bench's figures, the caution, and the dashed line at the slot's floor."""

import pytest
from paper_samples import of_text, seen

from cncpanel.drawing.measures import Measures
from cncpanel.drawing.paper import Cautions, Sentence, Table
from cncpanel.drawing.seen import Seen
from cncpanel.drawing.slot_notes import slot_pieces
from cncpanel.drawing.template import template
from cncpanel.drawing.template_notes import pen_samples
from cncpanel.panel.edge import Slot
from cncpanel.panel.panel import Panel

MM = Measures("mm", "mm")
FRAME = """
[[panel]]
name = "frame"
stock = "board"
size = [400, 300]
[[panel.opening]]
at = [50, 50]
size = [100, 80]
edge = [{ t_slot = { width = 3, depth = 8, middle = 6 } }]
[[panel.edge]]
t_slot = { width = 2, depth = 10 }
"""


def figures(*panels: Panel) -> tuple[tuple[str, ...], ...]:
    (table,) = [piece for piece in slot_pieces(panels, MM) if isinstance(piece, Table)]
    return table.rows


def test_the_bench_is_told_disc_reach_and_height() -> None:
    """18 mm measured from 17.8 to 18.1: the middle of a slot of 2.5 lies 8.975 down, its nearer side 7.725."""
    board = seen("rounded_tray", "stand board").panel
    assert figures(board) == (("stand board", "the panel", "2.5 mm", "9 mm", "7.73 mm"),)
    assert figures(board, board) == figures(board)


def test_an_openings_slot_is_told_apart_and_a_given_middle_counts(tmp_path) -> None:
    rows = figures(*of_text(tmp_path, FRAME)[1])
    assert {row[1:] for row in rows if row[1] == "an opening"} == {("an opening", "3 mm", "8 mm", "4.5 mm")}
    assert {row[2:4] for row in rows if row[1] == "the panel"} == {("2 mm", "10 mm")}
    assert Slot(2.0, 10.0).under_show_face(18.0) == pytest.approx(8.0)


def test_which_way_to_feed_and_never_to_lift_is_boxed() -> None:
    note, _, caution = slot_pieces([seen("rounded_tray", "stand board").panel], MM)
    assert isinstance(note, Sentence)
    assert isinstance(caution, Cautions)
    told = " ".join(caution.points)
    for words in ("against the cutter's turn", "counter-clockwise", "right to left", "never up or down", "local rules"):
        assert words in told


def test_nothing_is_told_of_a_panel_without_a_slot() -> None:
    assert slot_pieces([seen("rounded_tray", "tray").panel], MM) == []


@pytest.mark.parametrize("face", ["show", "back"])
def test_a_template_shows_the_floor_of_the_slot_dashed_from_either_side(face: str) -> None:
    drawn = template(seen("rounded_tray", "stand board", face=face), "mm")
    (line,) = [line for line in drawn.lines if line.layer == "EDGE_T_SLOT"]
    assert line.bounds == pytest.approx((0, 81, 360, 81))
    assert line.pen.dash
    assert "floor of a slot in the edge, under the face" in [words for _, words in pen_samples(drawn)]


def test_the_floor_of_an_openings_slot_lies_round_it(tmp_path) -> None:
    drawn = template(Seen(panel=of_text(tmp_path, FRAME)[1][0], edges=()), "mm")
    lines = [line for line in drawn.lines if line.layer == "EDGE_T_SLOT"]
    boxes = sorted(line.bounds for line in lines)
    assert len(boxes) == 2
    assert boxes[0] == pytest.approx((10, 10, 390, 290))
    assert boxes[1] == pytest.approx((42, 42, 158, 138))
    assert "where a rounding or a bevel of the edge begins" not in [words for _, words in pen_samples(drawn)]
