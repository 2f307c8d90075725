"""A filled board as cuts in their order: rips, equal ones together, then crosscuts, then rips of pieces."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from cncpanel.job.model import Stock
from cncpanel.layout.saw.bench import Bench, Wanted
from cncpanel.layout.saw.boards import Board, Lying, Slot, Strip
from cncpanel.layout.saw.plan import WHOLE, Box, Cut, Leftover, SawnPart, SawSheet
from cncpanel.layout.saw.rules import SAME, Rips, Rules

REST = "rest of"
Named = tuple[str, Lying]


@dataclass(frozen=True, slots=True)
class _Piece:
    """A slot of a strip by the name of its piece."""

    name: str
    slot: Slot
    width: float


def sawn_sheet(number: int, stock: Stock, board: Board, rules: Rules) -> SawSheet:
    """The board's cuts, parts and leftovers."""
    bench = Bench(rules, {WHOLE: (0.0, 0.0, board.length, board.width)})
    strips = _widest_first(board)
    names = _rip_board(bench, [strip.width for strip in strips], board)
    order = bench.taken()
    pieces: list[_Piece] = []
    crosscuts: list[list[Cut]] = []
    for count, (name, strip) in enumerate(zip(names, strips, strict=True)):
        if rules.saw.trim:
            bench.squared(2, name, rules.saw.trim)
        order += bench.taken()
        pieces += _crosscut(bench, name, letters(count), strip)
        crosscuts.append(bench.taken())
    parts: list[Named] = []
    rips: list[list[Cut]] = []
    for piece in pieces:
        parts += _rip_piece(bench, piece)
        rips.append(bench.taken())
    order += [*together(crosscuts), *together(rips)]
    return _sheet(number, stock, order, parts, bench.pieces)


def _sheet(number: int, stock: Stock, order: Sequence[Cut], parts: Sequence[Named], pieces: dict[str, Box]) -> SawSheet:
    names = {name for name, _ in parts}
    return SawSheet(
        number=number,
        stock=stock,
        cuts=tuple(replace(cut, number=count) for count, cut in enumerate(order, start=1)),
        parts=tuple(_part(name, lying, pieces[name]) for name, lying in parts),
        leftovers=tuple(Leftover(piece=name, box=box) for name, box in pieces.items() if name not in names),
    )


def _part(piece: str, lying: Lying, box: Box) -> SawnPart:
    blank = lying.blank
    return SawnPart(
        piece=piece,
        panel=blank.panel.index,
        name=blank.panel.name,
        copy=blank.copy,
        mirrored_copy=blank.mirrored_copy,
        box=box,
        across=lying.across,
        shaped=blank.shaped,
    )


def letters(index: int) -> str:
    """A, B, ... Z, AA, AB, ..."""
    text, index = "", index + 1
    while index:
        index, rest = divmod(index - 1, 26)
        text = chr(ord("A") + rest) + text
    return text


def _widest_first(board: Board) -> list[Strip]:
    """Equal strips follow one another, those with the longest pieces first."""
    return sorted(board.strips, key=lambda s: (-round(s.width, 6), [-slot.length for slot in _longest_first(s)]))


def _longest_first(strip: Strip) -> list[Slot]:
    """Equal pieces follow one another."""
    return sorted(strip.slots, key=lambda slot: -round(slot.length, 6))


def _rip_board(bench: Bench, widths: Sequence[float], board: Board) -> list[str]:
    """The strips' names. The first is ripped with the sheet's own edge on the fence, then turned round and trimmed."""
    trim = bench.rules.saw.trim
    rips = bench.rules.rips(board.width, widths, board.length, trim)
    assert rips is not None, "a board is filled only with what can be ripped"
    wanted = [Wanted(f"strip {letters(count)}", width) for count, width in enumerate(widths)]
    first: list[str] = []
    if trim and rips.wide:
        name, width = wanted[0].name, wanted[0].size
        bench.cut(1, WHOLE, "x", width + trim, name, f"{REST} sheet" if len(wanted) == 1 else WHOLE)
        bench.cut(1, name, "x", width, name, edge="high")
        if len(wanted) == 1:
            return [name]
        first, wanted = [name], wanted[1:]
        rips = Rips(rips.wide[1:], rips.narrow, rips.carrier)
    return [*first, *_rip(bench, 1, WHOLE, wanted, rips, trim)]


def _rip(bench: Bench, stage: int, piece: str, wanted: Sequence[Wanted], rips: Rips, trim: float) -> list[str]:
    """Wide ones off the near edge, then narrow ones off the far one: the rest or the last wide one is on the fence."""
    rest = f"{REST} {piece}"
    count = len(rips.wide)
    if not rips.narrow:
        return bench.apart(stage, piece, "x", wanted, rest)
    wide, narrow = wanted[: count - rips.carrier], wanted[count:]
    last = wanted[count - 1 : count] if rips.carrier else []
    names = bench.apart(stage, piece, "x", wide, piece)
    if trim:
        bench.cut(stage, piece, "x", bench.size(piece, "x") - trim, piece)
    for one in narrow:
        setting = bench.size(piece, "x") - one.size - bench.rules.saw.kerf
        bench.cut(stage, piece, "x", setting, piece, one.name)
    carried = bench.apart(stage, piece, "x", last, rest)
    return [*names, *carried, *(one.name for one in narrow)]


def _crosscut(bench: Bench, name: str, letter: str, strip: Strip) -> list[_Piece]:
    """Pieces cut off at the stop, the longest first."""
    slots = _longest_first(strip)
    wanted = [Wanted(f"{letter}{count}", slot.length) for count, slot in enumerate(slots, start=1)]
    pieces = bench.apart(2, name, "y", wanted, f"{REST} {name}")
    return [_Piece(piece, slot, strip.width) for piece, slot in zip(pieces, slots, strict=True)]


def _rip_piece(bench: Bench, piece: _Piece) -> list[Named]:
    """The parts that lie beside one another in it, the widest first."""
    parts = sorted(piece.slot.parts, key=lambda part: -round(part.width, 6))
    if len(parts) == 1 and piece.width - parts[0].width <= SAME:
        return [(piece.name, parts[0])]
    rips = bench.rules.rips(piece.width, [part.width for part in parts], piece.slot.length, 0.0)
    assert rips is not None, "a piece is filled only with what can be ripped"
    one = len(parts) == 1 and not rips.narrow  # then the piece itself becomes the part
    wanted = [Wanted(f"{piece.name}{'' if one else f'.{n}'}", p.width) for n, p in enumerate(parts, start=1)]
    return list(zip(_rip(bench, 3, piece.name, wanted, rips, 0.0), parts, strict=True))


def together(chains: Sequence[Sequence[Cut]]) -> list[Cut]:
    """All cuts, each chain's in its order, those of one setting together as far as that goes: the largest first."""
    waiting = [list(chain) for chain in chains if chain]
    order: list[Cut] = []
    while waiting:
        heads = [chain[0] for chain in waiting]
        same = [n for n, cut in enumerate(heads) if order and cut.set_to == order[-1].set_to]
        index = same[0] if same else max(range(len(heads)), key=lambda n: (heads[n].setting, -n))
        order.append(waiting[index].pop(0))
        waiting = [chain for chain in waiting if chain]
    return order
