"""Better saw plans: some boards and strips are taken apart and their parts laid anew, what is no worse is kept.

First for the fewest boards (by price), then for the fewest cuts and settings. Chance comes from the seed alone.
"""

from collections import Counter
from collections.abc import Callable, Sequence
from random import Random

from cncpanel.layout.saw.blank import Blank
from cncpanel.layout.saw.boards import Board, Filling, Lying, Offer, Room

Boards = list[Board]
Worth = tuple[float, ...]
Rank = Callable[[Boards], Worth]
FOR_BOARDS = 0.6  # of the steps at most; the others are for fewer cuts
AT_ONCE = 8  # boards that one step may change
LOOKED_AT = 40  # boards that a part may still go on; earlier ones are nearly full
SPOILS = (0.05, 0.15, 0.3)  # of a part's area, which a place in a strip may spoil before a new strip is begun
MANY = 250  # parts; more are laid out once, not for each of these
LONG_WAYS = 0.7  # how often a new strip is begun with a part's long side along it


class Search:
    """Fills boards of the offers with blanks."""

    def __init__(self, filling: Filling, offers: Sequence[Offer], random: Random) -> None:
        self.filling, self.offers, self.random = filling, offers, random
        self._long_ways = 1.0
        self._beside: Boards = []  # boards that are used and not looked at
        self.by_price = sorted(range(len(offers)), key=lambda i: (offers[i].price / max(offers[i].area, 1.0), i))

    def first(self, blanks: Sequence[Blank]) -> Boards | Blank:
        """Widest strips first; where a blank finds no board, that blank."""
        best: Boards | None = None
        failed: Blank | None = None
        sold = [i for i in self.by_price if not self.offers[i].piece]
        for first in dict.fromkeys([*self.by_price[:1], *sold]):
            rank = [first, *(i for i in self.by_price if i != first)]
            for spoil in SPOILS if len(blanks) <= MANY else SPOILS[1:2]:
                boards: Boards = []
                stuck = self._lay(sorted(blanks, key=_widest), boards, rank, spoil, 0.0)
                failed = failed or stuck
                if stuck is None and (best is None or self.cost_rank(boards) < self.cost_rank(best)):
                    best = boards
        if best is not None:
            return best
        assert failed is not None, "without a plan some blank found no board"
        return failed

    def improved(self, boards: Boards, steps: int, least_cost: float) -> tuple[Boards, int]:
        """The best plan found, and the steps that it took."""
        self._long_ways = LONG_WAYS
        taken = 0
        current = boards
        while taken < steps * FOR_BOARDS and self.cost(current) > least_cost + 1e-9:
            current = self._step(current, self.cost_rank)
            taken += 1
        current = min(self._sized(current), boards, key=self.work_rank)
        for _ in range(steps - taken):
            current = self._step(current, self.work_rank)
        return current, steps

    def cost(self, boards: Boards) -> float:
        """Of the boards, by price."""
        return sum(self.offers[board.offer].price for board in boards)

    def cost_rank(self, boards: Boards) -> Worth:
        """Cheaper is better; then full boards beside empty ones, which may soon be saved."""
        fill = sum((board.covered / self.offers[board.offer].area) ** 2 for board in boards)
        return round(self.cost(boards), 6), len(boards), -round(fill, 9)

    def work_rank(self, boards: Boards) -> Worth:
        """Of plans that cost the same: cuts and settings; then the largest rest in one piece."""
        rest = max((board.length * (board.width - board.used) for board in boards), default=0.0)
        return round(self.cost(boards), 6), len(boards), work_of(boards), -round(rest, 3)

    def _step(self, boards: Boards, rank: Rank) -> Boards:
        """Take some of it apart and lay it anew; as it was where that is worse. Of many boards only some are "
        "looked at."""
        chosen = boards
        if len(boards) > AT_ONCE:
            shares = [1.02 - min(board.covered / self.offers[board.offer].area, 1.0) for board in boards]
            emptier = self.random.choices(range(len(boards)), shares)[0]
            others = self.random.sample([n for n in range(len(boards)) if n != emptier], AT_ONCE - 1)
            chosen = [boards[n] for n in sorted((emptier, *others))]
        taken = {id(board) for board in chosen}
        self._beside = [board for board in boards if id(board) not in taken]
        again = self._laid_anew(chosen, rank)
        beside, self._beside = self._beside, []
        return [*beside, *again]

    def _laid_anew(self, boards: Boards, rank: Rank) -> Boards:
        fresh = [board.copied() for board in boards]
        pool = self._taken_out(fresh)
        noise = self.random.choice((0.0, 0.05, 0.2))
        spoil = self.random.uniform(0.0, 0.35)
        by_price = list(self.by_price)
        if len(by_price) > 1 and self.random.random() < 0.5:
            self.random.shuffle(by_price)
        blanks = sorted(pool, key=_widest)
        if self._lay(blanks, fresh, by_price, spoil, noise) is not None:
            return boards
        return fresh if rank(fresh) <= rank(boards) else boards

    def _taken_out(self, boards: Boards) -> list[Blank]:
        """Parts of one or two boards, the emptier the likelier, and of some strips of the others."""
        pool: list[Blank] = []
        count = 1 if self.random.random() < 0.6 else 2
        for _ in range(min(count, len(boards))):
            shares = [1.02 - min(board.covered / self.offers[board.offer].area, 1.0) for board in boards]
            board = self.random.choices(boards, shares)[0]
            boards.remove(board)
            pool += [part.blank for part in board.lying]
        for board in boards:
            for strip in list(board.strips):
                if self.random.random() < 0.15:
                    pool += [part.blank for part in self.filling.remove_strip(board, strip)]
        boards[:] = [board for board in boards if board.strips]
        return pool

    def _lay(
        self, blanks: Sequence[Blank], boards: Boards, offers: Sequence[int], spoil: float, noise: float
    ) -> Blank | None:
        """Every blank where it spoils least; a blank that found no board, or None."""
        if noise:
            blanks = sorted(blanks, key=lambda blank: _widest(blank)[0] * (1 + self.random.uniform(-noise, noise)))
        for blank in blanks:
            room = self._room(blank, boards, spoil) or self._fresh(blank, boards, offers)
            if room is None:
                return blank
            self.filling.put(room)
        return None

    def _room(self, blank: Blank, boards: Boards, spoil: float) -> Room | None:
        """The best room on the boards: in a strip where that spoils little, else in a new strip, else in any."""
        inside: Room | None = None
        anew: Room | None = None
        long_ways = self.random.random() < self._long_ways
        for lying in ways_of(blank):
            for board in boards[-LOOKED_AT:]:
                for room in self.filling.rooms(board, lying):
                    if room.strip is not None:
                        inside = room if inside is None or _before(room, inside) else inside
                    elif anew is None or (room.left, long_ways == (lying.width > lying.length)) < (
                        anew.left,
                        long_ways == (anew.lying.width > anew.lying.length),
                    ):
                        anew = room
        if inside is not None and (anew is None or inside.spoilt <= spoil * inside.lying.length * inside.lying.width):
            return inside
        return anew or inside

    def _fresh(self, blank: Blank, boards: Boards, offers: Sequence[int]) -> Room | None:
        """A new board of the first offer that is left and takes the blank."""
        ways = ways_of(blank)
        if len(ways) > 1 and self.random.random() > self._long_ways:
            ways.reverse()
        used = Counter(board.offer for board in (*self._beside, *boards))
        for index in offers:
            offer = self.offers[index]
            if offer.most is not None and used[index] >= offer.most:
                continue
            if all(lying.length > offer.stock.sheet[0] or lying.width > offer.stock.sheet[1] for lying in ways):
                continue
            board = Board(index, *offer.stock.sheet)
            for lying in ways:
                for room in self.filling.rooms(board, lying):
                    boards.append(board)
                    return room
        return None

    def _sized(self, boards: Boards) -> Boards:
        """Each board's parts on the cheapest size that is left and holds them."""
        boards = list(boards)
        for number, board in enumerate(boards):
            blanks = sorted((part.blank for part in board.lying), key=_widest)
            for index in sorted(range(len(self.offers)), key=lambda i: (self.offers[i].price, i)):
                if self.offers[index].price >= self.offers[board.offer].price - 1e-9:
                    break
                most = self.offers[index].most
                if most is not None and sum(one.offer == index for one in boards) >= most:
                    continue
                smaller: Boards = []
                if self._lay(blanks, smaller, [index], 0.2, 0.0) is None and len(smaller) == 1:
                    boards[number] = smaller[0]
                    break
        return boards


def ways_of(blank: Blank) -> list[Lying]:
    """The blank in each of its ways, its long side along the sheet first."""
    return [Lying(blank, length, width, across) for length, width, across in blank.ways]


def work_of(boards: Sequence[Board]) -> float:
    """Cuts and settings of the boards, nearly: each strip, piece and rip of a piece, each different width or "
    "length."""
    work = 0
    for board in boards:
        widths = {round(strip.width, 3) for strip in board.strips}
        lengths = {round(slot.length, 3) for strip in board.strips for slot in strip.slots}
        again = [
            round(part.width, 3)
            for strip in board.strips
            for slot in strip.slots
            for part in slot.parts
            if strip.width - part.width > 1e-6
        ]
        work += len(board.strips) + sum(len(strip.slots) for strip in board.strips) + len(again)
        work += len(widths) + len(lengths) + len(set(again))
    return float(work)


def _widest(blank: Blank) -> tuple[float, ...]:
    """Orders blanks: the widest strip first, then the longest."""
    narrowest = min(width for _, width, _ in blank.ways)
    return (
        -narrowest,
        -max(length for length, _, _ in blank.ways),
        blank.panel.index,
        blank.mirrored_copy,
        blank.copy,
    )


def _before(room: Room, other: Room) -> bool:
    return (round(room.spoilt, 6), room.left) < (round(other.spoilt, 6), other.left)
