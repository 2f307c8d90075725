"""Better layouts by emptying the dearest sheet to spare: its parts go, one by one or in exchange, onto other sheets.

Every step lays that sheet and another anew in a few orders, then asks whether one set of parts fits one sheet: by
no-fit positions in other orders and, where the sheet is bare, by strip packing. A sheet that is emptied in part
leaves a larger rest, which is kept too.
"""

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from math import inf
from random import Random

from cncpanel.layout.board import Board, Neighbours
from cncpanel.layout.budget import Budget
from cncpanel.layout.fill import ORDERS, Offer, fill, fill_one, put
from cncpanel.layout.item import Item
from cncpanel.layout.layout import Bound
from cncpanel.layout.strip import Strips

REFUSALS = 2  # times that parts of the same sizes found no room on a sheet; asked once more they would not either
REPORTS = 240  # of the strip solver for one question; a second to a few
FULLEST = 0.97  # of a sheet's area; a set that would cover more is not asked for (common practice, no source)
LOOSE = 0.75  # of a bare sheet; a set that covers more is left to the strip solver, but for one order (measured)
SHUFFLES = 2  # random orders tried by no-fit positions before the strip solver is asked
SQUEEZES = 1  # times in a step that two sheets are laid anew; less than a question to the strip solver takes
NOISE = (0.05, 0.1, 0.2, 0.4)  # by how much of itself a part's size is off in such an order
STALE = 40  # steps without gain after which the search ends once every exchange was asked for

Boards = list[Board]


def cost_of(boards: Sequence[Board], offers: Sequence[Offer]) -> float:
    """Price of all boards."""
    return sum(offers[board.offer].price for board in boards)


def rank_of(boards: Sequence[Board], offers: Sequence[Offer]) -> tuple[float, int, float]:
    """Cheapest first, then fewest, then the largest rest beyond the parts of one sheet."""
    rest = max((board.rest for board in boards), default=0.0)
    return round(cost_of(boards, offers), 6), len(boards), -round(rest, 3)


@dataclass(slots=True)
class Search:
    """One stock's search for a better layout."""

    offers: Sequence[Offer]
    neighbours: Neighbours
    bound: Bound
    budget: Budget
    strips: Strips
    random: Random
    asked: set[tuple[object, ...]] = field(default_factory=set)
    refused: Counter[tuple[object, ...]] = field(default_factory=Counter)
    _moves_left: list["Move"] | None = None  # of the boards as they are; None where they changed

    def improved(self, boards: Boards) -> Boards:
        """The best layout found: never a worse one than `boards`."""
        boards = best = self._other_orders(boards)
        stale = 0
        while not self._is_best(best) and self.budget.step():
            fresh = self._exchanged(self._squeezed(boards))
            stale = stale + 1 if fresh is boards else 0
            boards = fresh
            if rank_of(boards, self.offers) < rank_of(best, self.offers):
                best = boards
                self.budget.tell(self._told(best))
            if stale >= STALE and not self._moves_left:
                break
        return best

    def _told(self, boards: Boards) -> str:
        rest = max(board.rest for board in boards) / 1e6
        return f"placing parts: {len(boards)} sheets, {rest:.2f} m2 in one rest, after {self.budget.taken} steps"

    def _is_best(self, boards: Boards) -> bool:
        return cost_of(boards, self.offers) <= self.bound.cost + 1e-9

    def _other_orders(self, boards: Boards) -> Boards:
        items = [item for board in boards for item in board.items]
        ranks = list(range(len(self.offers)))
        ranks.sort(key=lambda i: (self.offers[i].price / self.offers[i].ground.area, i))
        for order in ORDERS[1:]:
            if self._is_best(boards) or not self.budget.step():
                break
            other = fill(sorted(items, key=lambda i: (order(i), i.name)), self.offers, self.neighbours, ranks)
            if not isinstance(other, Item):
                boards = min(boards, other, key=lambda found: rank_of(found, self.offers))
        return boards

    def _parted(self, boards: Boards) -> tuple[Board, Boards]:
        """The board that is to be emptied, which covers least for its price, and the others."""
        prices = [self.offers[board.offer].price for board in boards]
        worth = [board.covered / price if price else inf for board, price in zip(boards, prices, strict=True)]
        victim = boards[worth.index(min(worth))]
        return victim, [board for board in boards if board is not victim]

    def _progress(self, boards: Boards) -> tuple[float, int, float, float]:
        """Less is better: cost, boards, what the one to be emptied still holds, how far along it goes."""
        victim, _ = self._parted(boards)
        return round(cost_of(boards, self.offers), 6), len(boards), round(victim.covered, 3), round(victim.used, 3)

    def _squeezed(self, boards: Boards) -> Boards:
        """The boards with more on another than the one to be emptied, or with its parts closer together."""
        for _ in range(SQUEEZES):
            victim, others = self._parted(boards)
            if not others or self.budget.left == 0.0:
                break
            fresh = self._laid_anew(victim, others, self.random.randrange(len(others)))
            if fresh and self._progress(fresh) < self._progress(boards):
                boards = fresh
                self._moves_left = None
        return boards

    def _laid_anew(self, victim: Board, others: Boards, index: int) -> Boards | None:
        """Another board filled in a random order from both, the rest on the victim; None where that is too much."""
        fuller = Board(others[index].ground, others[index].offer)
        emptier = Board(victim.ground, victim.offer)
        noise = self.random.choice(NOISE)
        pool = [*others[index].items, *victim.items]
        mixed = sorted(pool, key=lambda i: (-i.area * (1 + self.random.uniform(-noise, noise)), i.name))
        if not all(put(item, fuller, self.neighbours) or put(item, emptier, self.neighbours) for item in mixed):
            return None
        fresh = [fuller if n == index else board for n, board in enumerate(others)]
        return [*fresh, emptier] if emptier.laid else fresh

    def _exchanged(self, boards: Boards) -> Boards:
        """One question asked: the boards with a part of the one to be emptied on another, or as they are."""
        victim, others = self._parted(boards)
        if self._moves_left is None:
            self._moves_left = self._moves(victim, others)
        if not self._moves_left:  # chance may answer otherwise when asked again
            self.asked.clear()
            self._moves_left = self._moves(victim, others)
        if not self._moves_left or self._is_best(boards):
            return boards
        changed = self._tried(self._moves_left.pop(0), victim, others)
        if changed is None:
            return boards
        self._moves_left = None
        emptier, others = changed
        return [*others, emptier] if emptier.laid else others

    def _moves(self, victim: Board, others: Boards) -> list["Move"]:
        """Ways to take area from the victim, likely ones first; questions asked before are left out."""
        found: dict[tuple[object, ...], tuple[float, float, Move]] = {}
        for index, board in enumerate(others):
            for move in _exchanges(victim, board, index):
                fullness = (self._grown(board.items) + move.gain) / board.ground.area
                question = _question(board, move.wanted(board))
                if fullness < FULLEST and question not in self.asked and question not in found:
                    found[question] = (fullness - move.gain / board.ground.area, self.random.random(), move)
        return [move for _, _, move in sorted(found.values(), key=lambda f: f[:2])]

    def _grown(self, items: Sequence[Item]) -> float:
        half = self.neighbours.gap / 2
        return sum(item.area + half * float(item.turns[0].exact.length) for item in items)

    def _tried(self, move: "Move", victim: Board, others: Boards) -> tuple[Board, Boards] | None:
        board = others[move.board]
        wanted = move.wanted(board)
        self.asked.add(_question(board, wanted))
        fuller = self._packed(wanted, board)
        if fuller is None:
            return None
        rest = [item for item in victim.items if item is not move.given]
        emptier = self._packed([*rest, *move.taken], victim)
        if emptier is None:
            return None
        return emptier, [fuller if i == move.board else other for i, other in enumerate(others)]

    def _packed(self, items: list[Item], like: Board) -> Board | None:
        """All the items on one sheet such as `like`, or None."""
        bare = not like.ground.blocks and not self.neighbours.in_waste
        dense = bare and self._grown(items) > LOOSE * like.ground.area
        for order in ORDERS[:1] if dense else ORDERS:
            found = fill_one(sorted(items, key=lambda i: (order(i), i.name)), like.ground, like.offer, self.neighbours)
            if found:
                return found
        for _ in range(0 if dense else SHUFFLES):
            mixed = sorted(items, key=lambda i: (-i.area * self.random.uniform(0.6, 1.4), i.name))
            found = fill_one(mixed, like.ground, like.offer, self.neighbours)
            if found:
                return found
        if not bare:
            return None
        seed, same = self.random.randrange(2**31), _congruent(items, like)
        if self.refused[same] >= REFUSALS:
            return None
        found = self.strips.board(items, like.ground, like.offer, seed, REPORTS, self.budget.left)
        self.refused[same] += found is None
        return found


def _congruent(items: Sequence[Item], like: Board) -> tuple[object, ...]:
    """What tells the question whether items of such sizes fit such a sheet, whatever their names."""
    sizes = [(round(i.turns[0].width, 2), round(i.turns[0].height, 2), round(i.area, 1), len(i.turns)) for i in items]
    return (like.offer, *sorted(sizes))


@dataclass(frozen=True, slots=True)
class Move:
    """A part of the victim goes to another board, which may give a smaller one back."""

    board: int
    given: Item
    taken: tuple[Item, ...]

    @property
    def gain(self) -> float:
        """mm2 that the victim loses."""
        return self.given.area - sum(item.area for item in self.taken)

    def wanted(self, board: Board) -> list[Item]:
        """What the other board is to hold."""
        return [*(item for item in board.items if item not in self.taken), self.given]


def _exchanges(victim: Board, board: Board, index: int) -> Iterator[Move]:
    """One part for none, or for one smaller; one of each kind."""
    ours = {item.kind: item for item in victim.items}.values()
    theirs = {item.kind: item for item in board.items}.values()
    for given in ours:
        yield Move(index, given, ())
        for taken in theirs:
            if taken.area < given.area - 1.0:
                yield Move(index, given, (taken,))


def _question(board: Board, items: Sequence[Item]) -> tuple[object, ...]:
    return board.offer, tuple(sorted(item.kind for item in items))
