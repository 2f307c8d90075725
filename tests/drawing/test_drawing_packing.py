"""The table of sheets needed: every column has something to say."""

from dataclasses import replace

import pytest
from layout_samples import BOARD, plain_panel

from cncpanel.drawing.packing_pieces import packing_pieces
from cncpanel.drawing.paper import Table
from cncpanel.errors import Gathering
from cncpanel.geometry.shape import rectangle
from cncpanel.layout.place import lay_out
from cncpanel.units import DimensionUnit, shown_area


@pytest.mark.parametrize("price", [None, 80.0])
def test_prices_have_a_column_where_there_are_any(price: float | None) -> None:
    panel = replace(plain_panel(0, rectangle(0, 0, 1000, 600)), stock=BOARD.model_copy(update={"price": price}))
    pieces = list(packing_pieces(lay_out([panel], 8, Gathering()), [panel], {}, "mm"))
    (table,) = (piece for piece in pieces if isinstance(piece, Table))
    assert ("Price" in table.head) == (price is not None)
    assert all(len(row) == len(table.head) == len(table.shares) and all(row) for row in table.rows)
    assert {table.head[column] for column in table.right} == {"Used", "Left over", "For the rack"}


def test_areas_are_in_the_jobs_own_unit() -> None:
    """An acre is 4046.873 m2 and 43 560 ft2 (NIST Handbook 44, appendix C, in international feet 4046.856)."""
    assert shown_area(4046.8564224, "mm") == "4046.86 m2"
    assert shown_area(4046.8564224, "inch") == "43560.00 ft2"
    panel = plain_panel(0, rectangle(0, 0, 1000, 600))
    layout = lay_out([panel], 8, Gathering())
    signs: dict[DimensionUnit, str] = {"mm": "m2", "inch": "ft2", "fraction": "ft2"}
    for unit, sign in signs.items():
        (table,) = (piece for piece in packing_pieces(layout, [panel], {}, unit) if isinstance(piece, Table))
        assert all(row[table.head.index("Left over")].endswith(f" {sign}") for row in table.rows)
