"""The map shows what may not be cut and what is left for the rack, each with its name where there is room."""

from dataclasses import replace

import pytest
from layout_samples import BOARD

from cncpanel.drawing.map_places import HATCH, keep_out_items, leftover_box, leftover_words
from cncpanel.drawing.paper import Label, Stroke
from cncpanel.drawing.view import BORDER, View
from cncpanel.job.model import KeepOut
from cncpanel.layout.layout import Sheet
from cncpanel.layout.leftover import Leftover

VIEW = View(sheet=Sheet(number=1, stock=BOARD, parts=()), turned=False, factor=0.1)


def box(stroke: Stroke) -> tuple[float, ...]:
    across, up = zip(*stroke.points, strict=True)
    return tuple(round(value, 6) for value in (min(across), min(up), max(across), max(up)))


@pytest.mark.parametrize(("kind", "ways"), [("clamp", 2), ("screw", 2), ("used", 1), ("defect", 1)])
@pytest.mark.parametrize("turned", [False, True])
def test_a_keep_out_is_hatched_within_its_box_and_named(kind: str, ways: int, turned: bool) -> None:
    items = list(keep_out_items(replace(VIEW, turned=turned), KeepOut(kind=kind, at=(400, 300), size=(300, 200))))
    strokes = [item for item in items if isinstance(item, Stroke)]
    left, low, right, high = box(strokes[0])
    wide, tall = (20, 30) if turned else (30, 20)
    assert (round(right - left, 6), round(high - low, 6)) == (wide, tall)
    hatch = [stroke for stroke in strokes[1:] if stroke.shade is None]
    assert len(hatch) == ways * round((wide + tall) / HATCH)
    for stroke in hatch:
        a, b, c, d = box(stroke)
        assert left <= a <= c <= right
        assert low <= b <= d <= high
    assert [item.text for item in items if isinstance(item, Label)] == [kind]


def test_a_keep_out_beyond_the_sheet_is_drawn_up_to_its_edge() -> None:
    first = next(keep_out_items(VIEW, KeepOut(kind="used", at=(2400, 1200), size=(500, 500))))
    assert isinstance(first, Stroke)
    assert box(first) == (BORDER + 240, BORDER + 120, BORDER + 244, BORDER + 122)


def test_a_piece_for_the_rack_is_dotted_and_named_upright_where_that_is_longer() -> None:
    for size, turn in (((600, 300), 0.0), ((120, 600), 90.0)):
        piece = Leftover(name="ABCDE-1", box=(100, 200, 100 + size[0], 200 + size[1]))
        ground, label = leftover_words(VIEW, piece, 0.87, "mm")
        assert isinstance(ground, Stroke)
        assert isinstance(label, Label)
        assert leftover_box(VIEW, piece).dash
        assert ground.shade == 0.87
        assert (label.text, label.turn_deg) == (f"ABCDE-1 {size[0]} x {size[1]} mm", turn)
        assert [one.text for one in leftover_words(VIEW, piece, 0.87, "inch") if isinstance(one, Label)] == [
            f"ABCDE-1 {size[0] / 25.4:.3f} x {size[1] / 25.4:.3f} in"
        ]


def test_a_piece_too_small_for_words_has_none() -> None:
    assert list(leftover_words(VIEW, Leftover(name="ABCDE-1", box=(0, 0, 60, 40)), 0.87, "mm")) == []
