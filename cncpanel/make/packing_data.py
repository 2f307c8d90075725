"""How the parts were laid out, as data for the record and the report."""

from collections.abc import Sequence
from typing import Any

from cncpanel.layout.layout import Layout
from cncpanel.layout.leftover import Left
from cncpanel.layout.yields import Yield, yields
from cncpanel.panel.panel import Panel

Data = dict[str, Any]


def packing_data(layout: Layout, panels: Sequence[Panel], left: Left) -> Data:
    """Sheets against the bounds, yield, cost and waste of every stock, and what the search was given."""
    return {
        "kept": layout.kept,
        "seed": layout.seed,
        "steps": layout.steps,
        "alternatives": layout.alternatives,
        "capped_at_seconds": layout.seconds,
        "offcuts": [{"name": sheet.piece, "sheet": sheet.number} for sheet in layout.sheets if sheet.piece],
        "stocks": [_stock(told) for told in yields(layout, panels, left)],
    }


def _stock(told: Yield) -> Data:
    packed = told.packed
    return {
        "stock": packed.stock,
        "sheets": packed.sheets,
        "least_by_area": packed.bound.area_sheets,
        "least": packed.bound.sheets,
        "least_because": packed.bound.reason,
        "proven_best": packed.is_best,
        "price": None if told.price is None else round(told.price, 2),
        "board_m2": round(told.board_m2, 4),
        "parts_m2": round(told.part_m2, 4),
        "left_over_m2": round(told.waste_m2, 4),
        "rack_m2": round(told.rack_m2, 4),
        "lost_m2": round(told.waste_m2 - told.rack_m2, 4),
        "used_share": round(told.share, 4),
    }
