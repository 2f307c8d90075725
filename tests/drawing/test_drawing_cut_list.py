"""The cut list in the unit and the way that the job asks for."""

from pathlib import Path

import pytest
from paper_samples import of_text

from cncpanel.drawing.cut_list import HEAD, list_table
from cncpanel.make.cut_list import in_fractions, listed_of

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
