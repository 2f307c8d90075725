"""Better layouts by emptying the dearest sheet to spare: its parts go, one by one or in exchange, onto other sheets.

Every step asks whether one set of parts fits one sheet: by no-fit positions in other orders and, where the sheet is
bare, by strip packing.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from random import Random

from cncpanel.layout.board import Board, Neighbours
from cncpanel.layout.budget import Budget
from cncpanel.layout.fill import ORDERS, Offer, fill, fill_one
from cncpanel.layout.item import Item
from cncpanel.layout.layout import Bound
from cncpanel.layout.strip import Strips

REPORTS = 90  # of the strip solver for one question; a second to a few
FULLEST = 0.97  # of a sheet's area; a set that would cover more is not asked for (common practice, no source)
SHUFFLES = 2  # random orders tried by no-fit positions before the strip solver is asked

Boards = list[Board]


def cost_of(boards: Sequence[Board], offers: Sequence[Offer]) -> float:
    """Price of all boards."""
    return sum(offers[board.offer].price for board in boards)


def rank_of(boards: Sequence[Board], offers: Sequence[Offer]) -> tuple[float, int, float]:
    """Cheapest first, then fewest, then the longest rest on the emptiest sheet."""
    return round(cost_of(boards, offers), 6), len(boards), min((board.used for board in boards), default=0.0)


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

    def improved(self, boards: Boards) -> Boards:
        """The best layout found: never a worse one than `boards`."""
        boards = self._other_orders(boards)
        while not self._is_best(boards) and self.budget.left != 0.0:
            fewer = self._without_one(list(boards))
            if fewer is None:
                break
            boards = fewer
            self.budget.tell(f"placing parts: {len(boards)} sheets after {self.budget.taken} steps")
        return boards

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

    def _without_one(self, boards: Boards) -> Boards | None:
        """The boards with one emptied, or None when the steps or the exchanges are used up."""
        victim = min(
            boards, key=lambda b: b.covered / self.offers[b.offer].price if self.offers[b.offer].price else 1e9
        )
        others = [board for board in boards if board is not victim]
        while victim.laid:
            done = False
            for move in self._moves(victim, others):
                if not self.budget.step():
                    return None
                changed = self._tried(move, victim, others)
                if changed:
                    victim, others = changed
                    done = True
                    break
            if not done:
                return None
        return others

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
        for order in ORDERS:
            found = fill_one(sorted(items, key=lambda i: (order(i), i.name)), like.ground, like.offer, self.neighbours)
            if found:
                return found
        for _ in range(SHUFFLES):
            mixed = sorted(items, key=lambda i: (-i.area * self.random.uniform(0.6, 1.4), i.name))
            found = fill_one(mixed, like.ground, like.offer, self.neighbours)
            if found:
                return found
        if like.ground.blocks or self.neighbours.in_waste:
            return None
        seed = self.random.randrange(2**31)
        return self.strips.board(items, like.ground, like.offer, seed, REPORTS, self.budget.left)


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
