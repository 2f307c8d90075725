"""The checker: saws the plan's cuts on the board one after another and says whatever is wrong.

It reads plain values and reckons everything anew, from what a person at the saw does: take a piece that lies there, put
one straight edge to the guide, run it through. It shares no code with the planner.
"""

from collections import Counter
from collections.abc import Sequence
from math import inf

from cncpanel.job.model import OffcutSize, Saw, Stock
from cncpanel.layout.saw.plan import Box, Cut, SawSheet

NEAR = 1e-4  # mm; sums of a dozen lengths agree far better
Sawn = tuple[bool, bool, bool, bool]  # left, low, right, high: whether the blade made that edge
Wants = dict[tuple[int, bool, int], tuple[tuple[float, float, bool], ...]]


def faults(sheets: Sequence[SawSheet], saw: Saw, wants: Wants) -> list[str]:
    """Sentences on every impossible cut, wrong size, lost or doubled part; none where the plan holds.

    `wants` gives, for every part by panel, hand and copy, its allowed (length, width, across) on the sheet.
    """
    found: list[str] = []
    for sheet in sheets:
        found += [f"sheet {sheet.number}: {text}" for text in _Shop(sheet, saw).faults(wants)]
    made = [(part.panel, part.mirrored_copy, part.copy) for sheet in sheets for part in sheet.parts]
    found += [f"part {key} is sawn {made.count(key)} times" for key in sorted(set(made)) if made.count(key) > 1]
    found += [f"part {key} is not sawn" for key in sorted(wants.keys() - set(made))]
    return found


def boards_short(sheets: Sequence[SawSheet], stock: Stock) -> list[str]:
    """Sentences on sizes of which more are used than are at hand, and on offcuts used twice or not offered."""
    found = []
    at_hand: dict[tuple[float, float], float] = {stock.sheet: inf}
    offcuts: dict[str, tuple[float, float]] = {}
    for size in stock.size:
        if isinstance(size, OffcutSize):
            offcuts[size.name] = size.sheet
        else:
            count = inf if size.count is None else size.count
            at_hand[size.sheet] = at_hand.get(size.sheet, 0) + count
    own = [sheet for sheet in sheets if sheet.stock.name == stock.name]
    used = Counter(sheet.stock.sheet for sheet in own if not sheet.piece)
    for sheet, count in used.items():
        if count > at_hand.get(sheet, 0):
            found.append(f"{count} sheets of {sheet} are used, {at_hand.get(sheet, 0):g} are at hand")
    pieces = Counter((sheet.piece, sheet.stock.sheet) for sheet in own if sheet.piece)
    for (piece, sheet), count in pieces.items():
        if count > 1 or offcuts.get(piece) != sheet:
            found.append(f"offcut {piece}, {sheet}, is used {count} times; {offcuts.get(piece)} is offered once")
    return found


class _Shop:
    """One board and what lies in the shop of it."""

    def __init__(self, sheet: SawSheet, saw: Saw) -> None:
        self.sheet, self.saw = sheet, saw
        bare = saw.trim == 0  # the sheet's own edges will do
        self.lies: dict[str, tuple[Box, Sawn]] = {"sheet": ((0.0, 0.0, *sheet.stock.sheet), (bare, bare, bare, bare))}
        self.dust = 0.0
        self.wrong: list[str] = []

    def faults(self, wants: Wants) -> list[str]:
        """Everything wrong with the sheet."""
        for count, cut in enumerate(self.sheet.cuts, start=1):
            if cut.number != count:
                self.wrong.append(f"cut {cut.number} comes as number {count}")
            self._saw(cut)
        self._parts(wants)
        self._leftovers()
        self._area()
        return self.wrong

    def _saw(self, cut: Cut) -> None:
        if cut.piece not in self.lies:
            self._tell(cut, f"there is no {cut.piece} to saw")
            return
        box, sawn = self.lies.pop(cut.piece)
        along = 0 if cut.axis == "x" else 1  # the index of the axis that the blade runs along
        across = 1 - along
        run = box[along + 2] - box[along]
        width = box[across + 2] - box[across]
        self._judge(cut, run)
        if not NEAR < cut.setting < width - NEAR:
            self._tell(cut, f"{cut.setting:g} cannot be set on a piece {width:g} wide")
            return
        self._part(cut, box, sawn, across)
        self.dust += run * min(self.saw.kerf, width - cut.setting)

    def _judge(self, cut: Cut, run: float) -> None:
        """Whether a person may do that."""
        fed_by_fence = cut.guide == "fence"
        if not 1 <= cut.stage <= self.saw.stages:
            self._tell(cut, f"stage {cut.stage} is one too many")
        if (cut.axis == "x") != (cut.stage in (1, 3)):
            self._tell(cut, f"stage {cut.stage} goes the other way")
        if fed_by_fence and cut.axis == "y":
            self._tell(cut, "is a crosscut on the fence")
        if fed_by_fence and (run < self.saw.fence_edge - NEAR or run < cut.setting - NEAR):
            self._tell(cut, f"an edge of {run:g} is too short to run along the fence at {cut.setting:g}")
        if fed_by_fence and cut.setting < self.saw.safe_strip - NEAR:
            self._tell(cut, f"{cut.setting:g} between fence and blade is less than {self.saw.safe_strip:g}")
        if fed_by_fence and cut.setting > self.saw.widest_rip + NEAR:
            self._tell(cut, f"the fence does not go to {cut.setting:g}")
        if not fed_by_fence and self.saw.longest_crosscut is not None and run > self.saw.longest_crosscut + NEAR:
            self._tell(cut, f"{run:g} is more than the gauge crosses")

    def _part(self, cut: Cut, box: Box, sawn: Sawn, across: int) -> None:
        """The two pieces that the cut leaves."""
        near, far = list(box), list(box)
        near_sawn, far_sawn = list(sawn), list(sawn)
        if cut.edge == "low":
            near[across + 2] = box[across] + cut.setting
            far[across] = near[across + 2] + self.saw.kerf
            near_sawn[across + 2] = far_sawn[across] = True
        else:
            near[across] = box[across + 2] - cut.setting
            far[across + 2] = near[across] - self.saw.kerf
            near_sawn[across] = far_sawn[across + 2] = True
        self._lay(cut, cut.kept, near, near_sawn)
        beyond = far[across + 2] - far[across] > NEAR / 10
        if beyond:
            self._lay(cut, cut.freed, far, far_sawn)
        elif cut.freed:
            self._tell(cut, f"leaves nothing for {cut.freed}")

    def _lay(self, cut: Cut, name: str, box: Sequence[float], sawn: Sequence[bool]) -> None:
        if not name:
            self._tell(cut, "leaves a piece without a name")
        if name in self.lies:
            self._tell(cut, f"makes {name} a second time")
        self.lies[name] = (box[0], box[1], box[2], box[3]), (sawn[0], sawn[1], sawn[2], sawn[3])

    def _parts(self, wants: Wants) -> None:
        """Each part is a piece that lies there, of its size, one allowed way round, and all its edges sawn."""
        for part in self.sheet.parts:
            if part.piece not in self.lies:
                self.wrong.append(f"{part.label}: there is no {part.piece}")
                continue
            box, sawn = self.lies[part.piece]
            if not all(sawn):
                self.wrong.append(f"{part.label} keeps an edge of the sheet that is to be trimmed")
            if not _alike(box, part.box):
                self.wrong.append(f"{part.label} does not lie where it is said to")
            ways = wants.get((part.panel, part.mirrored_copy, part.copy), ())
            size = box[2] - box[0], box[3] - box[1]
            if not any(part.across == across and _alike(size, (x, y)) for x, y, across in ways):
                self.wrong.append(f"{part.label} is {size[0]:g} x {size[1]:g}")

    def _leftovers(self) -> None:
        """What is left over is all the rest."""
        named = {left.piece: left.box for left in self.sheet.leftovers}
        parts = [part.piece for part in self.sheet.parts]
        if len(set(parts)) < len(parts):
            self.wrong.append("one piece is two parts")
        for name, (box, _) in self.lies.items():
            if name not in parts and (name not in named or not _alike(box, named[name])):
                self.wrong.append(f"{name} is left over and not told so")
        self.wrong += [f"{name} is not left over" for name in named if name not in self.lies or name in parts]

    def _area(self) -> None:
        """Parts, leftovers and sawdust are the board."""
        lying = sum((box[2] - box[0]) * (box[3] - box[1]) for box, _ in self.lies.values())
        board = self.sheet.stock.sheet[0] * self.sheet.stock.sheet[1]
        if abs(lying + self.dust - board) > 1e-6 * board:
            self.wrong.append(f"{lying:.0f} mm2 of pieces and {self.dust:.0f} of dust are not the board's {board:.0f}")

    def _tell(self, cut: Cut, text: str) -> None:
        self.wrong.append(f"cut {cut.number}: {text}")


def _alike(one: Sequence[float], other: Sequence[float]) -> bool:
    return len(one) == len(other) and all(abs(a - b) <= NEAR for a, b in zip(one, other, strict=True))
