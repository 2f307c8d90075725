"""What no layout can beat: least sheets and least cost, by area and by parts that cannot share a sheet.

Every part grown by half the gap lies inside the usable sheet grown by as much, and no two of them overlap: that is
the area bound. Parts of which no two can share a sheet need a sheet each: that is the clique bound.
"""

from collections.abc import Mapping, Sequence
from itertools import combinations, product
from math import ceil

import shapely
import shapely.affinity

from cncpanel.geometry.contour import Contour
from cncpanel.layout.fill import Offer
from cncpanel.layout.fit import forbidden
from cncpanel.layout.ground import Ground
from cncpanel.layout.item import COARSE, Item, Turned
from cncpanel.layout.layout import Bound

INWARD = 0.3  # mm; curved sides are drawn in by this, so that what is proven holds for the part itself
MOST_CORNERS = 80  # of a shape whose sharing is looked at; a finer one is taken to share with all
MOST_MIXES = 100_000  # ways to mix sizes that are counted; beyond it the bound is by shares of sheets


def bound_of(
    items: Sequence[Item], offers: Sequence[Offer], waste: Mapping[int, tuple[Contour, ...]], found: int
) -> Bound:
    """Least sheets and cost of the items; the clique is looked for where area alone asks for less than was `found`."""
    if not items:
        return Bound(area_sheets=0, sheets=0, cost=0.0, reason="nothing to place")
    half = offers[0].ground.gap / 2
    area = sum(_least_area(item, half, waste) for item in items)
    largest = max(offer.ground.area for offer in offers)
    by_area = max(1, ceil(area / largest - 1e-9))
    apart = _most_apart(items, offers) if by_area < found else 1
    sheets = max(by_area, apart)
    return Bound(
        area_sheets=by_area,
        sheets=sheets,
        cost=_least_cost(area, sheets, offers),
        reason="area" if apart <= by_area else f"{apart} parts of which no two can share a sheet",
    )


def _least_area(item: Item, half: float, waste: Mapping[int, tuple[Contour, ...]]) -> float:
    """mm2 that the item takes from the sheet at least; openings whose waste is used take nothing."""
    exact = item.turns[0].exact
    taken = float(exact.buffer(half - COARSE if half > COARSE else 0.0, quad_segs=16).area)
    return taken - sum(abs(contour.area) for contour in waste.get(item.panel.index, ()))


def _least_cost(area: float, sheets: int, offers: Sequence[Offer]) -> float:
    """The cheapest mix of sizes with that much area and that many sheets at least."""
    mixes = 1.0
    for offer in offers:
        mixes *= 1 + _most(offer, area, sheets)
    if mixes > MOST_MIXES:
        return _cost_by_shares(area, offers)
    return min(
        (
            sum(n * offer.price for n, offer in zip(mix, offers, strict=True))
            for mix in product(*(range(_most(offer, area, sheets) + 1) for offer in offers))
            if sum(mix) >= sheets
            and sum(n * offer.ground.area for n, offer in zip(mix, offers, strict=True)) >= area - 1e-6
        ),
        default=0.0,
    )


def _most(offer: Offer, area: float, sheets: int) -> int:
    needed = max(sheets, ceil(area / max(offer.ground.area, 1.0)))
    return needed if offer.most is None else min(offer.most, needed)


def _cost_by_shares(area: float, offers: Sequence[Offer]) -> float:
    cost = 0.0
    for offer in sorted(offers, key=lambda o: o.price / max(o.ground.area, 1.0)):
        each = max(offer.ground.area, 1.0)
        count = area / each if offer.most is None else min(float(offer.most), area / each)
        cost += count * offer.price
        area -= count * each
    return cost


def _most_apart(items: Sequence[Item], offers: Sequence[Offer]) -> int:
    """The size of a set of parts of which no two can share a sheet of any size: found greedily."""
    kinds = {item.kind: item for item in items}
    apart = {frozenset((a, b)) for a, b in _pairs(kinds) if not _share(kinds[a], kinds[b], offers)}
    nodes = [item for item in items if any(item.kind in pair for pair in apart)]
    most = 1
    for first in range(len(nodes)):
        chosen: list[Item] = []
        for node in nodes[first:] + nodes[:first]:
            if all(frozenset((node.kind, other.kind)) in apart for other in chosen):
                chosen.append(node)
        most = max(most, len(chosen))
    return most


def _pairs(kinds: Mapping[tuple[int, bool], Item]) -> list[tuple[tuple[int, bool], tuple[int, bool]]]:
    return [*combinations(kinds, 2), *((kind, kind) for kind in kinds)]


def _share(a: Item, b: Item, offers: Sequence[Offer]) -> bool:
    if "any" in (a.panel.turn, b.panel.turn):
        return True
    grounds = [offer.ground for offer in offers]
    ways = [(g, s, t) for g in grounds for s in a.turns for t in b.turns if _holds(g, s) and _holds(g, t)]
    return any(_side_by_side(*way) for way in ways) or any(_can_share(*way) for way in ways)


def _holds(ground: Ground, turned: Turned) -> bool:
    """Whether the sheet is as long and as wide as the part."""
    length, width = ground.inner
    return turned.width <= length + 1e-9 and turned.height <= width + 1e-9


def _side_by_side(ground: Ground, a: Turned, b: Turned) -> bool:
    length, width = ground.inner
    return a.width + ground.gap + b.width <= length or a.height + ground.gap + b.height <= width


def _can_share(ground: Ground, a: Turned, b: Turned) -> bool:
    """Whether some offset from a to b keeps the gap; the keep-outs are not looked at."""
    length, width = ground.inner
    first, second = _drawn_in(a), _drawn_in(b)
    if first is None or second is None:
        return True
    offsets = shapely.box(a.width - length, a.height - width, length - b.width, width - b.height)
    near = forbidden(first.buffer(max(0.0, ground.gap - COARSE), quad_segs=4), second)
    return not near.covers(offsets)


def _drawn_in(turned: Turned) -> shapely.Polygon | None:
    """A shape of few corners inside the part's."""
    exact = turned.exact
    if shapely.area(turned.shape) >= turned.width * turned.height - 1e-6:
        exact = _either_way(exact)
    if turned.curved:
        exact = exact.buffer(-INWARD).simplify(INWARD - 2 * COARSE)
    if not isinstance(exact, shapely.Polygon) or exact.is_empty or len(exact.exterior.coords) > MOST_CORNERS:
        return None
    return exact


def _either_way(exact: shapely.Geometry) -> shapely.Geometry:
    """What all turns share that were taken for one because the shape is nearly its box."""
    left, low, right, high = exact.bounds
    angles = (90, 180, 270) if abs((right - left) - (high - low)) < 1e-6 else (180,)
    for angle in angles:
        exact = shapely.intersection(exact, shapely.affinity.rotate(exact, angle, origin="center"))
    return exact
