"""From panels to a saw plan that was sawn once by the checker: every stock's blanks on the fewest boards."""

from collections.abc import Sequence
from dataclasses import replace
from math import ceil
from random import Random

from cncpanel.errors import Gathering
from cncpanel.job.model import OffcutSize, Saw, Stock
from cncpanel.job.read import ReadJob
from cncpanel.layout.saw.bevel import bevels_of
from cncpanel.layout.saw.blank import Blank, blanks_of
from cncpanel.layout.saw.boards import Filling, Offer
from cncpanel.layout.saw.cuts import sawn_sheet
from cncpanel.layout.saw.plan import Sawn, SawnPart, SawPlan, SawSheet
from cncpanel.layout.saw.replay import Wants, boards_short, faults
from cncpanel.layout.saw.rules import Rules
from cncpanel.layout.saw.search import Search
from cncpanel.layout.yields import part_area
from cncpanel.panel.panel import Panel
from cncpanel.units import Unit, shown

NOT_STRAIGHT = ("used", "defect")  # what keeps a sheet from being sawn edge to edge without a look at it


def saw_plan(read: ReadJob, panels: Sequence[Panel], gathering: Gathering, *, draws: bool = False) -> SawPlan:
    """The plan by the job's saw; what cannot be sawn is a Problem with its line.

    `draws`: the offcuts among the stocks' sizes are for the saw; else a router's layout has them.
    """
    saw = read.job.saw or Saw()
    bevels, by_hand = bevels_of(read, panels, gathering)
    sheets: list[SawSheet] = []
    sawn: list[Sawn] = []
    for stock in dict.fromkeys(panel.stock for panel in panels):
        of_stock = [panel for panel in panels if panel.stock == stock]
        found = _Stock(read, stock, saw, gathering, draws=draws).planned(of_stock, len(sheets))
        if found is not None:
            sheets += found[0]
            sawn.append(found[1])
    return SawPlan(saw=saw, sheets=tuple(sheets), bevels=tuple(bevels), by_hand=tuple(by_hand), sawn=tuple(sawn))


class _Stock:
    """One stock while its panels are planned."""

    def __init__(self, read: ReadJob, stock: Stock, saw: Saw, gathering: Gathering, *, draws: bool) -> None:
        self.read, self.stock, self.saw, self.gathering, self.draws = read, stock, saw, gathering, draws
        self.unit: Unit = read.job.job.units
        self.index = next(n for n, one in enumerate(read.job.stock) if one.name == stock.name)
        self.filling = Filling(Rules(saw))

    def planned(self, panels: Sequence[Panel], before: int) -> tuple[list[SawSheet], Sawn] | None:
        """Its sheets, numbered on from `before`, checked; None where a Problem was told or nothing is to be sawn."""
        offers = self._offers()
        blanks = blanks_of(panels, self.saw, self.gathering)
        search = Search(self.filling, offers, Random(self.saw.seed))
        fitting = [self._fits(blank, search) for blank in _kinds(blanks)] if offers else []
        if not fitting or not all(fitting):
            return None
        first = search.first(blanks)
        if isinstance(first, Blank):
            text = f"panel {first.panel.name}: there is no sheet left that it fits"
            self.gathering.problem(first.panel.place, text, "more sheets of a size that holds it")
            return None
        least = _least(blanks, offers, self.saw)
        boards, steps = search.improved(first, self.saw.steps, least * min(offer.price for offer in offers))
        boards.sort(key=lambda board: -board.covered / offers[board.offer].area)
        sheets = [
            replace(
                sawn_sheet(before + n, offers[board.offer].stock, board, self.filling.rules),
                piece=offers[board.offer].piece,
            )
            for n, board in enumerate(boards, start=1)
        ]
        self._check(sheets, blanks)
        bought = search.cost([board for board in boards if not offers[board.offer].piece])
        return sheets, self._told(sheets, blanks, least, bought, steps)

    def _offers(self) -> list[Offer]:
        """The stock's own sheet, of which more can be had, and its other sizes; prices by area where none is given."""
        area = self.stock.sheet[0] * self.stock.sheet[1]
        own = self.stock.model_copy(update={"size": ()})
        price = area / 1e6 if self.stock.price is None else self.stock.price
        offers = [Offer(stock=own, most=None, price=price)] if self._sound(own, ("stock", self.index)) else []
        for number, size in enumerate(self.stock.size):
            piece = size.name if isinstance(size, OffcutSize) else ""
            if piece and not self.draws:  # offered to the router's layout, which keeps it for its own set
                continue
            board = self.stock.of_size(size)
            if self._sound(board, ("stock", self.index, "size", number)):
                share = size.sheet[0] * size.sheet[1] / area
                cost = price * share if size.price is None else size.price
                offers.append(Offer(stock=board, most=size.count, price=cost, piece=piece))
        return offers

    def _sound(self, board: Stock, keys: tuple[str | int, ...]) -> bool:
        """Whether the sheet may be sawn edge to edge; one with a defect or a used place is told and passed over."""
        told = min(board.sheet) > 2 * self.saw.trim
        if any(keep.kind in NOT_STRAIGHT for keep in board.keep_out):
            text = f"{board.name}: a sheet with a defect or a used place is left out of the saw plan"
            allowed = "its clear rectangle as a size of its own"
            note = self.gathering.warn if len(keys) > 2 else self.gathering.problem
            note(self.read.file.place((*keys, "keep_out")), text, allowed)
            return False
        return told

    def _fits(self, blank: Blank, search: Search) -> bool:
        if not isinstance(search.first([blank]), Blank):
            return True
        length, width, _ = blank.ways[0]
        size = f"{shown(length, self.unit)} x {shown(width, self.unit)}"
        why = ", oversize for its template included" if blank.shaped else ""
        boards = [offer.stock.sheet for offer in search.offers]
        largest = max(boards, key=lambda sheet: sheet[0] * sheet[1])
        trimmed = " x ".join(shown(side - 2 * self.saw.trim, self.unit) for side in largest)
        self.gathering.problem(
            blank.panel.place,
            f"panel {blank.panel.name}: {size}{why} cannot be sawn from a {self.stock.name} sheet",
            f"at most {trimmed} once trimmed, ripped at most {shown(self.saw.widest_rip - self.saw.trim, self.unit)} "
            "wide, as its turn allows; wider where saw.longest_crosscut is as long as the sheet",
        )
        return False

    def _check(self, sheets: Sequence[SawSheet], blanks: Sequence[Blank]) -> None:
        wants: Wants = {(b.panel.index, b.mirrored_copy, b.copy): b.ways for b in blanks}
        wrong = [*faults(sheets, self.saw, wants), *boards_short(sheets, self.stock)]
        if wrong:
            raise RuntimeError("a saw plan failed its own checker: " + "; ".join(wrong))

    def _told(self, sheets: Sequence[SawSheet], blanks: Sequence[Blank], least: int, cost: float, steps: int) -> Sawn:
        return Sawn(
            stock=self.stock.name,
            sheets=len(sheets),
            least=least,
            price=None if self.stock.price is None else cost,
            board_m2=sum(sheet.length * sheet.width for sheet in sheets) / 1e6,
            part_m2=sum(part_area(blank.panel) for blank in blanks) / 1e6,
            steps=steps,
        )


def _kinds(blanks: Sequence[Blank]) -> list[Blank]:
    """One of each panel."""
    return list({blank.panel.index: blank for blank in blanks}.values())


def _least(blanks: Sequence[Blank], offers: Sequence[Offer], saw: Saw) -> int:
    """The area bound: each part takes a kerf along two of its sides, and so may the trimmed sheet."""
    area = sum((blank.ways[0][0] + saw.kerf) * (blank.ways[0][1] + saw.kerf) for blank in blanks)
    room = max(
        (offer.stock.sheet[0] - 2 * saw.trim + saw.kerf) * (offer.stock.sheet[1] - 2 * saw.trim + saw.kerf)
        for offer in offers
    )
    return max(1, ceil(area / room - 1e-9))


def position(sheet: SawSheet, part: SawnPart) -> str:
    """Where a part comes from, for its label."""
    return f"Saw sheet {sheet.number}, {part.piece}"
