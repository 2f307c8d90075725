"""All parts onto sheets: a quick layout first, then better ones within a budget of steps.

Equal runs give equal layouts: no clock unless seconds cap the search, chance only from the seed.
GEOS judges every layout before it is handed on.
"""

from collections.abc import Mapping, Sequence
from random import Random

from cncpanel.errors import Gathering
from cncpanel.geometry.contour import Contour
from cncpanel.job.model import OffcutSize, Stock
from cncpanel.layout.board import Board, Neighbours
from cncpanel.layout.bound import bound_of
from cncpanel.layout.budget import Budget
from cncpanel.layout.fill import ORDERS, Offer, fill, put
from cncpanel.layout.ground import Ground
from cncpanel.layout.item import Item, items_of
from cncpanel.layout.layout import Layout, Packed, Sheet
from cncpanel.layout.search import Search, cost_of, rank_of
from cncpanel.layout.strip import Strips
from cncpanel.panel.panel import Panel

Waste = Mapping[int, tuple[Contour, ...]]


def lay_out(
    panels: Sequence[Panel],
    gap: float,
    gathering: Gathering,
    budget: Budget | None = None,
    waste: Waste | None = None,
) -> Layout:
    """All parts of all panels on sheets, stock by stock; a part that fits no sheet is a Problem.

    `waste` gives, by panel, the openings in whose waste other parts may lie. Without a budget: the quick layout.
    """
    budget, waste = budget or Budget(), waste or {}
    sheets: list[Sheet] = []
    packed: list[Packed] = []
    for stock in dict.fromkeys(panel.stock for panel in panels):
        of_stock = [panel for panel in panels if panel.stock == stock]
        boards, told = _of_stock(of_stock, stock, Neighbours(gap, waste), waste, budget, gathering)
        sheets += [board.sheet(len(sheets) + n) for n, board in enumerate(boards, 1)]
        packed += [told] if told else []
    return Layout(
        sheets=tuple(sheets),
        gap=gap,
        packed=tuple(packed),
        seed=budget.seed,
        steps=budget.taken,
        seconds=budget.seconds if budget.capped else None,
    )


def _of_stock(
    panels: Sequence[Panel],
    stock: Stock,
    neighbours: Neighbours,
    waste: Waste,
    budget: Budget,
    gathering: Gathering,
) -> tuple[list[Board], Packed | None]:
    offers = offers_of(stock, neighbours.gap)
    items = [item for item in items_of(panels) if _fits_a_sheet(item, offers, gathering)]
    if not items:
        return [], None
    boards = _first(items, offers, neighbours, gathering)
    bound = bound_of(items, offers, waste, len(boards))
    before = budget.taken
    if boards and cost_of(boards, offers) > bound.cost + 1e-9 and budget.steps > budget.taken:
        strips = Strips(neighbours)
        boards = Search(offers, neighbours, bound, budget, strips, Random(budget.seed)).improved(boards)
        boards = downsized(boards, offers, neighbours)
    boards.sort(key=lambda board: -board.covered / board.ground.area)
    told = Packed(
        stock=stock.name,
        sheets=len(boards),
        cost=cost_of(boards, offers),
        bound=bound,
        steps=budget.taken - before,
    )
    return boards, told


def offers_of(stock: Stock, gap: float) -> tuple[Offer, ...]:
    """The stock's own sheet, of which more can be had, and its other sizes; prices by area where none is given."""
    area = stock.sheet[0] * stock.sheet[1]
    own = stock.model_copy(update={"size": ()})
    price = area / 1e6 if stock.price is None else stock.price
    offers = [Offer(ground=Ground(own, gap), most=None, price=price)]
    for size in stock.size:
        share = size.sheet[0] * size.sheet[1] / area
        offers.append(
            Offer(
                ground=Ground(stock.of_size(size), gap, size.name if isinstance(size, OffcutSize) else ""),
                most=size.count,
                price=price * share if size.price is None else size.price,
            )
        )
    return tuple(offers)


def _fits_a_sheet(item: Item, offers: Sequence[Offer], gathering: Gathering) -> bool:
    if any(offer.ground.room(turned.width, turned.height) is not None for offer in offers for turned in item.turns):
        return True
    first, stock = item.turns[0], offers[0].ground.stock
    length, width = offers[0].ground.inner
    gathering.problem(
        item.panel.place,
        f"panel {item.panel.name}: {first.width:.1f} x {first.height:.1f} mm does not fit a {stock.name} sheet",
        f"at most {length:g} x {width:g} mm inside the margin",
    )
    return False


def _first(items: Sequence[Item], offers: Sequence[Offer], neighbours: Neighbours, gathering: Gathering) -> list[Board]:
    """The quick layout: largest parts first, every size once the preferred one."""
    by_value = sorted(range(len(offers)), key=lambda i: (offers[i].price / max(offers[i].ground.area, 1.0), i))
    ordered = sorted(items, key=lambda i: (ORDERS[0](i), i.name))
    sold = [i for i in by_value if not offers[i].ground.piece]
    tries = [
        fill(ordered, offers, neighbours, [first, *(i for i in by_value if i != first)])
        for first in dict.fromkeys([*by_value[:1], *sold])
    ]
    found = [boards for boards in tries if not isinstance(boards, Item)]
    if not found:
        item = next(item for item in tries if isinstance(item, Item))
        gathering.problem(
            item.panel.place,
            f"panel {item.panel.name}: there is no sheet left that it fits, keep-outs and all",
            "more sheets of a size that holds it, or other keep-outs",
        )
        return []
    sized = [downsized(boards, offers, neighbours) for boards in found]
    return min(sized, key=lambda boards: rank_of(boards, offers))


def downsized(boards: Sequence[Board], offers: Sequence[Offer], neighbours: Neighbours) -> list[Board]:
    """Each board's parts on the cheapest size that is left and holds them, emptiest boards first."""
    boards = list(boards)
    for index in sorted(range(len(boards)), key=lambda i: boards[i].covered):
        for offer in sorted(range(len(offers)), key=lambda i: (offers[i].price, i)):
            if offers[offer].price >= offers[boards[index].offer].price - 1e-9:
                break
            most = offers[offer].most
            if most is not None and sum(board.offer == offer for board in boards) >= most:
                continue
            smaller = Board(offers[offer].ground, offer)
            if boards[index].covered < offers[offer].ground.area and all(
                put(item, smaller, neighbours) for item in boards[index].items
            ):
                boards[index] = smaller
                break
    return boards
