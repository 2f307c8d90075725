"""A layout as a file beside its job: what was accepted once is laid out the same again while the parts are the same."""

import hashlib
import json
from collections.abc import Mapping, Sequence
from dataclasses import asdict
from math import isfinite
from typing import Any

from cncpanel.errors.json_text import json_value
from cncpanel.geometry.contour import Contour
from cncpanel.job.model import OffcutSize, Stock
from cncpanel.layout.layout import Bound, Layout, Packed, Part, Sheet
from cncpanel.layout.place import offers_of
from cncpanel.panel.panel import Panel

MADE_BY = "cncpanel layout"
DECIMALS = 6  # of the outlines in the fingerprint


def fingerprint(panels: Sequence[Panel], gap: float, waste: Mapping[int, tuple[Contour, ...]]) -> str:
    """SHA-256 of all that a layout depends on: outlines, counts, turns, stocks, gap, openings for use."""
    told = [
        {
            "name": panel.name,
            "stock": _bought(panel.stock).model_dump(mode="json"),
            "face": panel.face,
            "copies": panel.copies,
            "mirrored": panel.mirrored,
            "turn": panel.turn,
            "outline": _numbers(panel.outline),
            "waste": [_numbers(contour) for contour in waste.get(panel.index, ())],
        }
        for panel in panels
    ]
    text = json.dumps({"gap": round(gap, DECIMALS), "panels": told}, sort_keys=True)
    return hashlib.sha256(text.encode()).hexdigest()


def _bought(stock: Stock) -> Stock:
    """Without the offcuts that are free today: the layout needs only those that it uses."""
    return stock.model_copy(update={"size": tuple(s for s in stock.size if not isinstance(s, OffcutSize))})


def _numbers(contour: Contour) -> list[list[float]]:
    ends = [(s.start.x, s.start.y, s.end.x, s.end.y, s.bulge) for s in contour.segments]
    return [[round(number, DECIMALS) + 0.0 for number in end] for end in ends]


def layout_text(layout: Layout, parts: str) -> str:
    """The file's text; `parts` is the fingerprint."""
    data = {
        "made_by": MADE_BY,
        "parts": parts,
        "gap": layout.gap,
        "seed": layout.seed,
        "steps": layout.steps,
        "alternatives": layout.alternatives,
        "seconds": layout.seconds,
        "packed": [asdict(packed) for packed in layout.packed],
        "sheets": [
            {
                "stock": sheet.stock.name,
                "size": list(sheet.stock.sheet),
                "keep_out": [keep.model_dump(mode="json") for keep in sheet.stock.keep_out],
                "piece": sheet.piece,
                "parts": [asdict(part) for part in sheet.parts],
            }
            for sheet in layout.sheets
        ],
    }
    return json.dumps(data, indent=1, ensure_ascii=False) + "\n"


def layout_of(text: str, panels: Sequence[Panel], parts: str) -> Layout | None:
    """The layout that the text holds; None where it is none, or was made for other parts."""
    try:
        data = json_value(text)
        if data["made_by"] != MADE_BY or data["parts"] != parts:
            return None
        sheets = [_sheet(number, told, panels, data["gap"]) for number, told in enumerate(data["sheets"], 1)]
        return Layout(
            sheets=tuple(sheets),
            gap=float(data["gap"]),
            packed=tuple(_packed(told) for told in data["packed"]),
            seed=int(data["seed"]),
            steps=int(data["steps"]),
            seconds=None if data["seconds"] is None else float(data["seconds"]),
            kept=True,
            alternatives=int(data.get("alternatives", 1)),
        )
    except (ValueError, LookupError, TypeError, AttributeError, OverflowError, StopIteration):
        return None


def _sheet(number: int, told: Mapping[str, Any], panels: Sequence[Panel], gap: float) -> Sheet:
    own = next(panel.stock for panel in panels if panel.stock.name == told["stock"])
    stock = next(
        offer.ground.stock
        for offer in offers_of(own, gap)
        if list(offer.ground.stock.sheet) == told["size"]
        and offer.ground.piece == told.get("piece", "")
        and [keep.model_dump(mode="json") for keep in offer.ground.stock.keep_out] == told["keep_out"]
    )
    parts = tuple(_part(part, panels) for part in told["parts"])
    return Sheet(number=number, stock=stock, parts=parts, piece=told.get("piece", ""))


def _part(told: Mapping[str, Any], panels: Sequence[Panel]) -> Part:
    """The part, of a panel of this name and so many copies; raises ValueError or the like where it is none."""
    part = Part(**told)
    own = {panel.index: panel for panel in panels}[part.panel]
    copies = own.mirrored if part.mirrored_copy else own.copies
    if part.name != own.name or part.copy not in range(1, copies + 1):
        raise ValueError(f"no such part: {part.label}")
    if not all(isfinite(value) for value in (part.x, part.y, part.angle_deg)):
        raise ValueError("a place that cannot be")
    return part


def _packed(told: Mapping[str, Any]) -> Packed:
    packed = Packed(**{**told, "bound": Bound(**told["bound"])})
    if not all(isfinite(value) for value in (packed.sheets, packed.cost, packed.steps, *_figures(packed.bound))):
        raise ValueError("a count that cannot be")
    return packed


def _figures(bound: Bound) -> tuple[float, ...]:
    return bound.area_sheets, bound.sheets, bound.cost
