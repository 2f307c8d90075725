"""Boards while they are filled: strips ripped from a board, pieces crosscut from a strip, parts ripped from a piece."""

from collections.abc import Iterator
from dataclasses import dataclass, field

from cncpanel.job.model import Stock
from cncpanel.layout.saw.blank import Blank
from cncpanel.layout.saw.rules import SAME, Rules


@dataclass(frozen=True, slots=True, kw_only=True)
class Offer:
    """A size of board that may be used, `most` of them at most (None: as many as it takes), at a price each.

    `piece` names it where it is an offcut from the shop's store.
    """

    stock: Stock
    most: int | None
    price: float
    piece: str = ""

    @property
    def area(self) -> float:
        """mm2."""
        return self.stock.sheet[0] * self.stock.sheet[1]


@dataclass(frozen=True, slots=True)
class Lying:
    """A blank in one of its ways: `length` along the sheet, `width` across it."""

    blank: Blank
    length: float
    width: float
    across: bool


@dataclass(slots=True)
class Slot:
    """One piece of a strip, and the parts that lie beside one another in it."""

    length: float
    parts: list[Lying]


@dataclass(slots=True)
class Strip:
    """One rip of a board; `used` is the length that its pieces take, each with a kerf."""

    width: float
    slots: list[Slot]
    used: float = 0.0


@dataclass(slots=True)
class Board:
    """One sheet; `used` is the width that its strips take, each with a kerf."""

    offer: int
    length: float
    width: float
    strips: list[Strip] = field(default_factory=list)
    used: float = 0.0

    @property
    def lying(self) -> Iterator[Lying]:
        """Everything on it."""
        return (part for strip in self.strips for slot in strip.slots for part in slot.parts)

    @property
    def covered(self) -> float:
        """mm2 of its parts."""
        return sum(part.length * part.width for part in self.lying)

    def copied(self) -> "Board":
        """A board of its own to go on from."""
        strips = [Strip(s.width, [Slot(o.length, list(o.parts)) for o in s.slots], s.used) for s in self.strips]
        return Board(self.offer, self.length, self.width, strips, self.used)


@dataclass(frozen=True, slots=True)
class Room:
    """Where a part may go on a board, and how much board that would spoil (mm2); `width` is a new strip's."""

    spoilt: float
    left: float
    board: Board
    strip: Strip | None
    slot: Slot | None
    lying: Lying
    width: float = 0.0


class Filling:
    """How parts find room, by the saw's rules; all lengths with the kerf that parts them."""

    def __init__(self, rules: Rules) -> None:
        self.rules, self.kerf, self.trim = rules, rules.saw.kerf, rules.saw.trim

    def rooms(self, board: Board, lying: Lying) -> Iterator[Room]:
        """All that is possible on the board, a new strip among it."""
        for strip in board.strips:
            yield from self._in_strip(board, strip, lying)
        width = self._new_strip(board, lying)
        if width is not None:
            yield Room(0.0, self._free(board) - width, board, None, None, lying, width)

    def _free(self, board: Board) -> float:
        """How wide a strip still goes on the board."""
        return board.width - 2 * self.trim - board.used

    def _in_strip(self, board: Board, strip: Strip, lying: Lying) -> Iterator[Room]:
        spare = strip.width - lying.width
        if spare < -SAME:
            return
        if self.rules.saw.stages > 2 and spare > self.kerf:
            for slot in strip.slots:
                if abs(slot.length - lying.length) <= SAME and self._stacks(strip, slot, lying):
                    yield Room(-lying.length * lying.width, spare, board, strip, slot, lying)
        left = board.length - 2 * self.trim + self.kerf - strip.used - lying.length - self.kerf
        if left >= -SAME and (spare <= SAME or self._ripped(strip.width, [lying], lying.length)):
            yield Room(spare * lying.length, left, board, strip, None, lying)

    def _stacks(self, strip: Strip, slot: Slot, lying: Lying) -> bool:
        if sum(part.width + self.kerf for part in slot.parts) + lying.width > strip.width + SAME:
            return False
        return self._ripped(strip.width, [*slot.parts, lying], slot.length)

    def _ripped(self, total: float, parts: list[Lying], run: float) -> bool:
        if self.rules.saw.stages < 3:
            return False
        widths = sorted((part.width for part in parts), reverse=True)
        return self.rules.rips(total, widths, run, 0.0) is not None

    def _new_strip(self, board: Board, lying: Lying) -> float | None:
        """How wide a strip for the part can be ripped beside the others, and crosscut; None where none can.

        It is as wide as the part; where that is too narrow to be ripped off, as several with what stays on the fence.
        """
        if lying.length > board.length - 2 * self.trim + SAME:
            return None
        if self._rips_off(board, lying.width):
            return lying.width
        if self.rules.saw.stages < 3 or lying.width >= self.rules.saw.safe_strip:
            return None
        panel = lying.blank.panel
        counts = range(panel.copies + panel.mirrored, 0, -1)
        widths = (count * (lying.width + self.kerf) + self.rules.saw.safe_strip for count in counts)
        return next((w for w in widths if self._rips_off(board, w) and self._ripped(w, [lying], lying.length)), None)

    def _rips_off(self, board: Board, width: float) -> bool:
        if width > self._free(board) + SAME or not self.rules.crosses(width):
            return False
        widths = sorted((*(strip.width for strip in board.strips), width), reverse=True)
        return self.rules.rips(board.width, widths, board.length, self.trim) is not None

    def put(self, room: Room) -> None:
        """Lay the part there."""
        lying = room.lying
        if room.strip is None:
            room.board.strips.append(Strip(room.width, [Slot(lying.length, [lying])], lying.length + self.kerf))
            room.board.used += room.width + self.kerf
        elif room.slot is None:
            room.strip.slots.append(Slot(lying.length, [lying]))
            room.strip.used += lying.length + self.kerf
        else:
            room.slot.parts.append(lying)

    def remove_strip(self, board: Board, strip: Strip) -> list[Lying]:
        """Take a strip off the board; what lay in it."""
        board.strips.remove(strip)
        board.used -= strip.width + self.kerf
        return [part for slot in strip.slots for part in slot.parts]
