"""Tabs until every piece is held: parts and slugs first, then whatever else would come free."""

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence, Set

from cncpanel.errors import Gathering
from cncpanel.geometry.pieces import Pieces
from cncpanel.geometry.point import Point
from cncpanel.passes.grip import tabs_against
from cncpanel.passes.otherwise import Otherwise
from cncpanel.passes.shop import Shop
from cncpanel.passes.spot import Spot
from cncpanel.passes.strength import Owner, Strength, tell_weak, weak_after
from cncpanel.passes.tabs import Tabs

LEAST_ON_PART = 3  # tabs; three points hold a piece down: common practice
LEAST_ON_SCRAP = 2  # tabs
SMALL = 15_000.0  # mm2; a smaller part is held more: 150 cm2, common practice
SMALL_MORE = 1.5  # times the force that it is held against: common practice, no source
TINY = 12.0  # tool diameters round; a part of no longer rim makes do with two tabs


def held(
    found: Sequence[Sequence[Spot]],
    pieces: Pieces,
    owners: Mapping[int, Owner],
    quiet: Sequence[Point],
    shop: Shop,
    gathering: Gathering,
    otherwise: Otherwise,
    free: Set[int] = frozenset(),
    remedy: str = "",
) -> tuple[Spot, ...]:
    """Tabs that join every piece to the largest. `found`: each wall's spots; `owners`: the parts among the pieces.

    `otherwise`: what else holds each piece; `free`: parts that something else holds when they come
    free; where the largest piece is one of them, the frame is what all else is joined to. `remedy`: what else may help
    where no tab fits.
    """
    widest = max((spot.wall.diameter for here in found for spot in here), default=0.0)
    walls = [here for here in found if here]
    of_pieces = {own: [here[0].wall for here in walls if here[0].own == own] for own in {here[0].own for here in walls}}
    tabs = Tabs(quiet, shop.tab_width, shop.machine.cutting.tab_spacing, widest, shop.tab_flank, of_pieces)
    if shop.tab_flank:
        walls.sort(key=lambda here: here[0].wall.ring.length)  # small parts have no place to give away
    for whole in walls:
        here = [spot for spot in whole if spot.other not in free] or whole
        if not (here[0].wall.outside and here[0].own in free):
            more = SMALL_MORE if pieces.areas[here[0].own].size < SMALL else 1.0
            _spread(here, tabs, tabs_against(more * here[0].wall.force, shop))
    every = [spot for here in found for spot in here]
    base = 0 if 0 not in free else frame_of(pieces, owners)
    lost = _join_all(every, pieces, owners, tabs, gathering, free, base, remedy)
    _second_tabs(every, pieces, owners, tabs)
    strength = Strength(every, tabs, otherwise, frame_of(pieces, owners), shop)
    weak = list(weak_after(strength, [number for number in range(len(pieces.areas)) if number not in lost]))
    tell_weak(strength, weak, pieces, owners, shop, gathering)
    _told_if_one(pieces, owners, tabs, gathering)
    return tuple(tabs.chosen)


def frame_of(pieces: Pieces, owners: Mapping[int, Owner]) -> int:
    """The largest piece of waste; the largest piece of all where there is no waste."""
    return next((number for number in range(len(pieces.areas)) if number not in owners), 0)


def _spread(here: Sequence[Spot], tabs: Tabs, asked: int) -> None:
    """`asked`: as many tabs as the force of the passes asks for."""
    wall = here[0].wall
    if wall.outside:
        tiny = wall.ring.length < TINY * wall.diameter
        tabs.spread(here, max(2 if tiny else LEAST_ON_PART, asked))
        return
    for slug in sorted({spot.other for spot in here}):
        tabs.spread([spot for spot in here if spot.other == slug], max(LEAST_ON_SCRAP, asked))


def _join_all(
    every: Sequence[Spot],
    pieces: Pieces,
    owners: Mapping[int, Owner],
    tabs: Tabs,
    gathering: Gathering,
    free: Set[int],
    base: int,
    remedy: str,
) -> set[int]:
    """One bar more for each group of pieces that hangs on nothing, until all hang together; those that cannot."""
    lost: set[int] = set(free)
    while True:
        groups = [g for g in joined(len(pieces.areas), tabs.chosen) if base not in g and not g <= lost]
        if not groups:
            return lost
        group = groups[0]
        if not tabs.join(every, group):
            lost |= group
            _tell(group, pieces, owners, gathering, remedy)


def _second_tabs(every: Sequence[Spot], pieces: Pieces, owners: Mapping[int, Owner], tabs: Tabs) -> None:
    """A piece of scrap that hangs on one tab gets another where there is room."""
    for number in range(1, len(pieces.areas)):
        if number not in owners and _count(tabs.chosen)[number] == 1:
            tabs.join(every, {number})


def _told_if_one(pieces: Pieces, owners: Mapping[int, Owner], tabs: Tabs, gathering: Gathering) -> None:
    for number, owner in owners.items():
        if number and _count(tabs.chosen)[number] == 1:
            gathering.warn(owner.place, f"{owner.label} hangs on one tab only", "hold it down by other means too")


def _count(chosen: Iterable[Spot]) -> Counter[int]:
    return Counter(piece for spot in chosen for piece in (spot.own, spot.other))


def _tell(group: set[int], pieces: Pieces, owners: Mapping[int, Owner], gathering: Gathering, remedy: str) -> None:
    parts = sorted({owners[number] for number in group if number in owners}, key=lambda owner: owner.label)
    place = parts[0].place if parts else next(iter(owners.values())).place
    if parts:
        names = ", ".join(owner.label for owner in parts)
        text = f"{names}: no tab fits, so it would come free while it is cut"
    else:
        area = pieces.areas[min(group)]
        xmin, ymin, xmax, ymax = area.bounds
        x, y = area.inner_point
        text = (
            f"a piece of scrap, {xmax - xmin:.0f} x {ymax - ymin:.0f} mm at ({x:.0f}, {y:.0f}) on the sheet, "
            "would come free: no tab fits"
        )
    gathering.problem(place, text, "smaller or lower tabs, a smaller tool, or more room on the sheet" + remedy)


def joined(count: int, chosen: Iterable[Spot]) -> list[set[int]]:
    """Pieces that hang together, as groups in order of their first."""
    group = list(range(count))

    def root(number: int) -> int:
        while group[number] != number:
            number = group[number]
        return number

    for spot in chosen:
        first, second = sorted((root(spot.own), root(spot.other)))
        group[second] = first
    sets: dict[int, set[int]] = {}
    for number in range(count):
        sets.setdefault(root(number), set()).add(number)
    return list(sets.values())
