"""What a layout makes of the boards: area used and left over, price, against what cannot be beaten."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from types import MappingProxyType

from cncpanel.layout.layout import Layout, Packed, Sheet
from cncpanel.layout.leftover import Left
from cncpanel.panel.panel import Panel


@dataclass(frozen=True, slots=True, kw_only=True)
class Yield:
    """One stock's sheets: m2 of boards and of parts without their openings.

    `price` is of what is bought for them, offcuts not; None where none is given. `rack_m2` of the boards is left
    in pieces worth keeping.
    """

    packed: Packed
    board_m2: float
    part_m2: float
    price: float | None
    rack_m2: float = 0.0

    @property
    def share(self) -> float:
        """Of the boards that becomes parts."""
        return self.part_m2 / self.board_m2

    @property
    def waste_m2(self) -> float:
        """What is left over, offcuts among it."""
        return self.board_m2 - self.part_m2


def yields(layout: Layout, panels: Sequence[Panel], left: Left = MappingProxyType({})) -> Iterator[Yield]:
    """Of every stock that is used."""
    areas = {panel.index: part_area(panel) for panel in panels}
    priced = {panel.stock.name: panel.stock.price is not None for panel in panels}
    for packed in layout.packed:
        sheets = [sheet for sheet in layout.sheets if sheet.stock.name == packed.stock]
        yield Yield(
            packed=packed,
            board_m2=sum(sheet.length * sheet.width for sheet in sheets) / 1e6,
            part_m2=sum(areas[part.panel] for sheet in sheets for part in sheet.parts) / 1e6,
            rack_m2=sum(a * b for sheet in sheets for a, b in (p.size for p in left.get(sheet.number, ()))) / 1e6,
            price=packed.cost - sum(map(_offcut_price, sheets)) if priced[packed.stock] else None,
        )


def _offcut_price(sheet: Sheet) -> float:
    """What the search reckons an offcut at: nothing is paid for it."""
    return (sheet.stock.price or 0.0) if sheet.piece else 0.0


def part_area(panel: Panel) -> float:
    """mm2 of the panel without its openings."""
    return abs(panel.outline.area) - sum(abs(opening.contour.area) for opening in panel.openings)


def sheet_share(sheet: Sheet, panels: Sequence[Panel]) -> float:
    """Of one sheet that becomes parts."""
    areas = {panel.index: part_area(panel) for panel in panels}
    return sum(areas[part.panel] for part in sheet.parts) / (sheet.length * sheet.width)
