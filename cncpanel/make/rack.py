"""The store of offcuts as one run sees it: which pieces it offers to the job, and which it keeps for the set.

A piece that is chosen is kept for its sheet under the store's lock, after a look whether it is still free; where
another run was quicker, the job is laid out anew without it. It leaves the store when the sheet is said to be cut.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from pathlib import Path

from cncpanel.errors import Gathering, Place, ProblemsFound
from cncpanel.job.model import OffcutSize, Stock
from cncpanel.job.read import ReadJob
from cncpanel.machine.model import Machine
from cncpanel.make.choice import Choice
from cncpanel.sequence.envelope import check_stock
from cncpanel.store.change import changed, missing, refuse_unwritable
from cncpanel.store.offcut import Claim, Offcut, Store
from cncpanel.store.text import read_store

VALUE = 0.1  # of a bought sheet's price by area: a piece is preferred to a sheet, a smaller piece to a larger
THICKER, THINNER = 0.05, 0.2  # mm beyond the stock's readings: a through cut must still go through; a floor stays


@dataclass(frozen=True, slots=True, kw_only=True)
class Rack:
    """The store's file and what was in it; `folder` is where the set is to lie, empty where nothing is kept for it."""

    path: Path
    store: Store
    folder: str

    def is_open(self, piece: Offcut) -> bool:
        """Whether the run may draw on the piece."""
        return piece.claim is None or (bool(self.folder) and piece.claim.folder == self.folder)


def rack_of(read: ReadJob, job: Path, choice: Choice, gathering: Gathering) -> Rack | None:
    """The store that was chosen or that the job names, read; None where there is none, or a mistake was gathered."""
    named = read.job.settings.offcuts.file
    if choice.offcuts is not None:
        path, place = choice.offcuts, Place("--offcuts")
    elif named is not None:
        path, place = job.parent / named, read.file.place(("settings", "offcuts", "file"))
    else:
        return None
    if not path.exists():
        gathering.found.append(replace(missing(path), place=place, text=f"{path}: {missing(path).text}"))
        return None
    try:
        if choice.folder is not None:
            refuse_unwritable(path)
        return Rack(path=path, store=read_store(path), folder=str(choice.folder or ""))
    except ProblemsFound as found:
        gathering.found += found.problems
        return None


def offering(read: ReadJob, rack: Rack, machine: Machine | None, gathering: Gathering) -> ReadJob:
    """The job with the rack's open pieces among its stocks' sizes, each with one stock only.

    Without a machine they are for a saw, which knows itself what it can saw.
    """
    by_stock: dict[int, list[OffcutSize]] = {}
    unfit: dict[int, list[str]] = {}
    for piece in sorted(rack.store.offcut, key=lambda p: (p.size[0] * p.size[1], p.name)):
        index = _stock_for(piece, read.job.stock) if rack.is_open(piece) else None
        if index is None:
            continue
        stock = read.job.stock[index]
        if not _reads_like(piece, stock):
            unfit.setdefault(index, []).append(piece.name)
            continue
        size = _size(piece, stock)
        if machine is None or _machine_holds(size, stock, machine):
            by_stock.setdefault(index, []).append(size)
    for index, names in unfit.items():
        text = f"offcuts {', '.join(names)} are measured thicker or thinner than {read.job.stock[index].name}: not used"
        gathering.warn(read.file.place(("stock", index)), text, "give the stock their readings too")
    stocks = tuple(_with(stock, by_stock.get(index, [])) for index, stock in enumerate(read.job.stock))
    return replace(read, job=read.job.model_copy(update={"stock": stocks}))


def _stock_for(piece: Offcut, stocks: Iterable[Stock]) -> int | None:
    """The stock that the piece is of: one of its own name before others."""
    alike = [(i, stock) for i, stock in enumerate(stocks) if stock.offcuts and piece.is_like(stock)]
    return next((i for i, stock in alike if stock.name == piece.stock), alike[0][0] if alike else None)


def _reads_like(piece: Offcut, stock: Stock) -> bool:
    readings = piece.measured or (piece.thickness,)
    return max(readings) <= stock.thickest + THICKER and min(readings) >= stock.thinnest - THINNER


def _size(piece: Offcut, stock: Stock) -> OffcutSize:
    """Its long side along X, but where the grain says how it lies."""
    sides = piece.size if stock.grain == "long" else (max(piece.size), min(piece.size))
    board = stock.sheet[0] * stock.sheet[1]
    price = board / 1e6 if stock.price is None else stock.price
    share = sides[0] * sides[1] / board
    return OffcutSize(name=piece.name, sheet=sides, count=1, price=VALUE * price * share)


def _machine_holds(size: OffcutSize, stock: Stock, machine: Machine) -> bool:
    told = Gathering()
    check_stock(stock.of_size(size), Place("store"), machine, told)
    return not told.found and min(size.sheet) > 2 * stock.margin


def _with(stock: Stock, sizes: list[OffcutSize]) -> Stock:
    return stock.model_copy(update={"size": (*stock.size, *sizes)}) if sizes else stock


def keep(rack: Rack, wanted: Mapping[str, Claim]) -> bool:
    """Keep the pieces named for their sheets; False, and nothing changed, where one is no longer to be had."""
    had = True

    def kept(store: Store) -> Store:
        nonlocal had
        pieces = {name: store.piece(name) for name in wanted}
        had = all(piece is not None and rack.is_open(piece) for piece in pieces.values())
        if not had:
            return store
        fresh = (piece.model_copy(update={"claim": wanted[name]}) for name, piece in pieces.items() if piece)
        return store.with_pieces(*fresh)

    if wanted:
        changed(rack.path, kept)
    return had


def give_back(rack: Rack, names: Iterable[str]) -> None:
    """Pieces that were kept for this set only in this run are free again; older claims of its folder stand again."""
    before = {piece.name: piece.claim for piece in rack.store.offcut}

    def given(store: Store) -> Store:
        ours = [piece for name in names if (piece := store.piece(name)) and _is_ours(piece, rack)]
        return store.with_pieces(*(piece.model_copy(update={"claim": before.get(piece.name)}) for piece in ours))

    changed(rack.path, given)


def settle(rack: Rack, names: Iterable[str]) -> None:
    """The set is in its folder: of all that was kept for that folder only the pieces named are kept on."""
    kept = set(names)

    def settled(store: Store) -> Store:
        old = [piece for piece in store.offcut if _is_ours(piece, rack) and piece.name not in kept]
        return store.with_pieces(*(piece.model_copy(update={"claim": None}) for piece in old))

    changed(rack.path, settled)


def _is_ours(piece: Offcut, rack: Rack) -> bool:
    return piece.claim is not None and piece.claim.folder == rack.folder
