"""Parts onto boards one after the other: each as far left and low as it goes on the first board that has room."""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from math import inf

import numpy as np

from cncpanel.layout.board import Board, Laid, Neighbours
from cncpanel.layout.ground import Ground
from cncpanel.layout.item import Item, Turned

Order = Callable[[Item], tuple[float, ...]]
ORDERS: tuple[Order, ...] = (
    lambda item: (-item.area,),
    lambda item: (-item.sides[0], -item.area),
    lambda item: (-item.sides[1], -item.area),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Offer:
    """A size of sheet that may be used, `most` of them at most (None: as many as it takes), at a price each."""

    ground: Ground
    most: int | None
    price: float


def put(item: Item, board: Board, neighbours: Neighbours) -> bool:
    """Lay the item leftmost and lowest on the board, if it fits there at all."""
    if item.kind in board.full_for or not (neighbours.in_waste or board.has_area_for(item)):
        return False
    best: tuple[tuple[float, float, float], float, float, Turned] | None = None
    for turned in sorted(item.turns, key=lambda t: t.width):  # the narrowest leaves least to look at
        spot = _leftmost(board, turned, neighbours, inf if best is None else best[0][0] - turned.width)
        if spot is None:
            continue
        x, y = spot
        rank = (round(x + turned.width, 6), round(y + turned.height, 6), turned.angle_deg)
        if best is None or rank < best[0]:
            best = rank, x, y, turned
    if best is None:
        board.full_for.add(item.kind)
        return False
    board.laid.append(Laid(item=item, turned=best[3], x=best[1], y=best[2]))
    return True


def _leftmost(board: Board, turned: Turned, neighbours: Neighbours, before: float) -> tuple[float, float] | None:
    """The leftmost, then lowest position, if there is one up to an x of `before`."""
    free = neighbours.spots(board, turned, before)
    if not len(free):
        return None
    rounded = np.round(free, 6)
    index = int(np.lexsort((rounded[:, 1], rounded[:, 0]))[0])
    return float(free[index, 0]), float(free[index, 1])


def fill(
    items: Iterable[Item], offers: Sequence[Offer], neighbours: Neighbours, rank: Sequence[int]
) -> list[Board] | Item:
    """Boards that hold all items; a new board is of the first size by `rank` that is left and takes the item.

    Where an item fits only sizes that ran out, that item.
    """
    boards: list[Board] = []
    for item in items:
        if any(put(item, board, neighbours) for board in boards):
            continue
        board = _opened(item, boards, offers, neighbours, rank)
        if board is None:
            return item
        boards.append(board)
    return boards


def _opened(
    item: Item, boards: Sequence[Board], offers: Sequence[Offer], neighbours: Neighbours, rank: Sequence[int]
) -> Board | None:
    for index in rank:
        offer = offers[index]
        if offer.most is not None and sum(board.offer == index for board in boards) >= offer.most:
            continue
        board = Board(offer.ground, index)
        if put(item, board, neighbours):
            return board
    return None


def fill_one(items: Iterable[Item], ground: Ground, offer: int, neighbours: Neighbours) -> Board | None:
    """All the items on one board, or None."""
    board = Board(ground, offer)
    return board if all(put(item, board, neighbours) for item in items) else None
