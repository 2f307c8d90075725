"""The cut list in the unit and the way that the job asks for."""

from pathlib import Path

import pytest
from paper_samples import of_text

from cncpanel.drawing.cut_list import HEAD, cut_list_pieces, list_table
from cncpanel.drawing.letter_widths import text_width
from cncpanel.drawing.paper import Table
from cncpanel.make.cut_list import in_fractions, listed_of

FRAME = 180.0  # mm between an A4 page's margins
CELL, BESIDE = 2.03, 1.24  # mm: capitals of 8 points, 3.5 points of white to either side of a cell
PANEL = '[[panel]]\nname = "lid"\nstock = "board"\nsize = [600, 203.2]\n'


@pytest.mark.parametrize(
    ("settings", "length", "width"),
    [("", "23.622", "8"), ('[settings]\ndimensions = "fraction"\n', "23 5/8 -0.003", "8")],
)
def test_inches_are_fractions_where_the_job_asks_for_them(
    tmp_path: Path, settings: str, length: str, width: str
) -> None:
    read, panels = of_text(tmp_path, PANEL, settings)
    (row,) = list_table(listed_of(read, panels), fractions=in_fractions(read))
    told = dict(zip(HEAD, row, strict=True))
    assert ("600", "203.2") == (told["finished length mm"], told["finished width mm"])
    assert (length, width) == (told["finished length in"], told["finished width in"])


def test_no_head_of_the_list_breaks_a_word_and_notes_have_the_most_room(tmp_path: Path) -> None:
    read, panels = of_text(tmp_path, PANEL)
    listed = [piece for piece in cut_list_pieces(listed_of(read, panels), 10) if isinstance(piece, Table)]
    assert len(listed) == 2
    for table in listed:
        rooms = [FRAME * share / sum(table.shares) - 2 * BESIDE for share in table.shares]
        for title, room in zip(table.head, rooms, strict=True):
            assert max(text_width(word, CELL) for word in title.split()) <= room, title
            assert "." not in title.removeprefix("No.")
        assert rooms[-1] == max(rooms) > FRAME / 4
