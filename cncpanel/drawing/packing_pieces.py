"""How many sheets the job takes, against what no layout can beat: the table on paper."""

from collections.abc import Iterator, Sequence

from cncpanel.drawing.paper import Heading, Piece, Sentence, Table
from cncpanel.layout.layout import Layout
from cncpanel.layout.leftover import Left
from cncpanel.layout.yields import Yield, yields
from cncpanel.panel.panel import Panel
from cncpanel.units import DimensionUnit, shown_area

HEAD = ("Stock", "Sheets", "By area", "At least", "Used", "Left over", "For the rack", "Price")
FIGURES = (4, 5, 6)  # columns whose figures bear a unit
SHARES = (40, 14, 14, 14, 14, 18, 20, 16)


def packing_pieces(layout: Layout, panels: Sequence[Panel], left: Left, unit: DimensionUnit) -> Iterator[Piece]:
    """A row a stock, then why fewer cannot be had, and which offcuts are taken from the rack."""
    told = list(yields(layout, panels, left))
    if not told:
        return
    yield Heading("Sheets needed")
    table = Table(head=HEAD, rows=tuple(_row(each, unit) for each in told), shares=SHARES, right=FIGURES)
    yield table if any(each.price is not None for each in told) else table.without(HEAD.index("Price"))
    yield Sentence(" ".join(f"{each.packed.stock}: {best_words(each)}." for each in told))
    pieces = [f"{sheet.piece} is sheet {sheet.number}" for sheet in layout.sheets if sheet.piece]
    if pieces:
        yield Sentence(f"From the rack: {', '.join(pieces)}. Say so when it is cut: cncpanel offcuts cut.")


def best_words(told: Yield) -> str:
    """What is known of a better layout."""
    bound = told.packed.bound
    if told.packed.is_best:
        return f"no layout needs fewer or cheaper sheets ({bound.reason})"
    return f"at least {bound.sheets} sheet{' is' if bound.sheets == 1 else 's are'} needed ({bound.reason})"


def _row(told: Yield, unit: DimensionUnit) -> tuple[str, ...]:
    return (
        told.packed.stock,
        str(told.packed.sheets),
        str(told.packed.bound.area_sheets),
        str(told.packed.bound.sheets),
        f"{100 * told.share:.1f} %",
        shown_area(told.waste_m2, unit),
        shown_area(told.rack_m2, unit),
        "" if told.price is None else f"{told.price:.2f}",
    )
