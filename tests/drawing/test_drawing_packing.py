"""The table of sheets needed: every column has something to say."""

from dataclasses import replace

import pytest
from layout_samples import BOARD, plain_panel

from cncpanel.drawing.packing_pieces import packing_pieces
from cncpanel.drawing.paper import Table
from cncpanel.errors import Gathering
from cncpanel.geometry.shape import rectangle
from cncpanel.layout.place import lay_out


@pytest.mark.parametrize("price", [None, 80.0])
def test_prices_have_a_column_where_there_are_any(price: float | None) -> None:
    panel = replace(plain_panel(0, rectangle(0, 0, 1000, 600)), stock=BOARD.model_copy(update={"price": price}))
    pieces = list(packing_pieces(lay_out([panel], 8, Gathering()), [panel], {}))
    (table,) = (piece for piece in pieces if isinstance(piece, Table))
    assert ("Price" in table.head) == (price is not None)
    assert all(len(row) == len(table.head) == len(table.shares) and all(row) for row in table.rows)
    assert {table.head[column] for column in table.right} == {"Used", "Left over", "For the rack"}
