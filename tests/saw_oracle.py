"""Exact answers for small saw plans by going through all possibilities, for the tests; nothing of the planner's."""

from collections.abc import Sequence
from functools import cache
from itertools import product

Size = tuple[float, float]
NONE = float("inf")


def fewest_sheets(sizes: Sequence[Size], sheet: Size, kerf: float) -> int:
    """Of rip, crosscut, rip (a piece holds parts of its own length only), both ways round; sheets untrimmed.

    Every split of the parts into strips, every way round in a strip, every split into sheets.
    """
    length, width = sheet
    full = (1 << len(sizes)) - 1
    strip = {
        part: _narrowest([sizes[n] for n in range(len(sizes)) if part >> n & 1], length, kerf)
        for part in range(1, full + 1)
    }

    @cache
    def together(part: int) -> float:
        """The least width of strips that hold these, each with a kerf."""
        if not part:
            return 0.0
        lowest = part & -part
        return min(strip[one] + kerf + together(part ^ one) for one in _within(part) if one & lowest)

    @cache
    def sheets(part: int) -> float:
        if not part:
            return 0
        lowest = part & -part
        return min(
            (1 + sheets(part ^ one) for one in _within(part) if one & lowest and together(one) <= width + kerf + 1e-9),
            default=NONE,
        )

    return int(sheets(full))


def _within(part: int) -> list[int]:
    """All that can be taken of a set, but nothing."""
    one, found = part, []
    while one:
        found.append(one)
        one = (one - 1) & part
    return found


def _narrowest(sizes: Sequence[Size], length: float, kerf: float) -> float:
    """The least width of one strip that holds all of them."""
    best = NONE
    for turned in product((False, True), repeat=len(sizes)):
        lying = [(y, x) if turn else (x, y) for turn, (x, y) in zip(turned, sizes, strict=True)]
        best = min(best, _narrowest_so(lying, length, kerf, best))
    return best


def _narrowest_so(lying: Sequence[Size], length: float, kerf: float, most: float) -> float:
    by_length: dict[float, list[float]] = {}
    for along, across in lying:
        by_length.setdefault(along, []).append(across)
    sums = {sum(w + kerf for w in some) - kerf for widths in by_length.values() for some in _subsets(widths) if some}
    for width in sorted(sums):
        if width >= most:
            return NONE
        pieces = [(along, _bins(widths, width, kerf)) for along, widths in by_length.items()]
        if sum(count * (along + kerf) for along, count in pieces) <= length + kerf + 1e-9:
            return width
    return NONE


def _subsets(widths: Sequence[float]) -> list[list[float]]:
    found: list[list[float]] = [[]]
    for width in widths:
        found += [[*some, width] for some in found]
    return found


def _bins(widths: Sequence[float], room: float, kerf: float) -> float:
    """The fewest pieces that hold these widths beside one another."""
    if any(width > room + 1e-9 for width in widths):
        return NONE

    def least(left: tuple[float, ...], bins: tuple[float, ...]) -> float:
        if not left:
            return len(bins)
        first, *rest = left
        tries = [
            least(tuple(rest), (*bins[:n], used + kerf + first, *bins[n + 1 :]))
            for n, used in enumerate(bins)
            if used + kerf + first <= room + 1e-9
        ]
        return min([*tries, least(tuple(rest), (*bins, first))])

    return least(tuple(sorted(widths, reverse=True)), ())


def best_unlimited(kinds: Sequence[Size], sheet: tuple[int, int], kerf: int) -> int:
    """Most area that rips and crosscuts in any number of stages get out of one sheet, copies without limit.

    The recursion of Gilmore and Gomory (1966) over whole millimetres; parts are not turned.
    """
    length, width = sheet

    @cache
    def value(x: int, y: int) -> int:
        best = max((int(a * b) for a, b in kinds if a <= x and b <= y), default=0)
        lefts = sorted({int(a) for a, _ in kinds if a + kerf < x})
        lows = sorted({int(b) for _, b in kinds if b + kerf < y})
        best = max([best, *(value(a, y) + value(x - a - kerf, y) for a in lefts)])
        return max([best, *(value(x, b) + value(x, y - b - kerf) for b in lows)])

    return value(length, width)


def best_filling(kinds: Sequence[Size], sheet: tuple[int, int], kerf: int) -> list[Size]:
    """The parts of the best filling of one sheet by strips of one width and crosscuts, copies without limit.

    Two knapsacks, one in the other; parts are not turned.
    """
    length, width = sheet
    strips = {}
    for across in {b for _, b in kinds}:
        lengths = [int(a) for a, b in kinds if b == across]
        strips[across] = _knapsack([(a, a * int(across), a) for a in lengths], length, kerf)
    rows = [(int(across), gain, across) for across, (gain, _) in strips.items()]
    _, chosen = _knapsack(rows, width, kerf)
    return [(along, across) for across in chosen for along in strips[across][1]]


def _knapsack(items: Sequence[tuple[int, int, float]], room: int, kerf: int) -> tuple[int, list[float]]:
    """The most gain of (size, gain, name) that room holds, a kerf between two; names chosen."""
    best: list[tuple[int, list[float]]] = [(0, [])]
    for at in range(1, room + kerf + 1):
        found = best[at - 1]
        for size, gain, name in items:
            if size + kerf <= at and best[at - size - kerf][0] + gain > found[0]:
                before = best[at - size - kerf]
                found = before[0] + gain, [*before[1], name]
        best.append(found)
    return best[-1]
