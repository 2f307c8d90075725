"""Sticks and buttons laid out on a deck: a block for each player."""

from dataclasses import dataclass
from math import ceil

from cncpanel.cabinet.brief import Brief

PITCH = 40.0  # mm between buttons; 36-40 is usual (common practice)
STICK_ROOM = 70.0  # mm on either side of a stick's middle: its plate and a cleat
BETWEEN = 30.0  # mm between players


@dataclass(frozen=True, slots=True, kw_only=True)
class Block:
    """Where a player's controls are, from the left of the block."""

    sticks: tuple[tuple[float, float], ...]
    buttons: tuple[tuple[float, float], ...]
    width: float


def block(brief: Brief, middle: float) -> Block:
    """One player's controls about a line `middle` up the panel: two rows of buttons, the stick to their left."""
    deep = rows(brief)
    columns = ceil(brief.buttons / max(deep, 1))
    first = 2 * STICK_ROOM + 15 if brief.sticks else PITCH
    spots = [
        (first + PITCH * (n % columns), middle + PITCH * (n // columns) - PITCH / 2 * (deep - 1))
        for n in range(brief.buttons)
    ]
    width = first + PITCH * max(columns - 1, 0) + PITCH if spots else (2 * STICK_ROOM if brief.sticks else 0.0)
    return Block(sticks=((STICK_ROOM, middle),) if brief.sticks else (), buttons=tuple(spots), width=width)


def rows(brief: Brief) -> int:
    """How many rows the buttons stand in."""
    return 0 if not brief.buttons else 2 if brief.buttons > 1 and (brief.sticks or brief.buttons > 4) else 1


def all_blocks(brief: Brief, middle: float) -> Block:
    """Every player's, about the panel's middle: x is measured from there."""
    one = block(brief, middle)
    total = brief.players * one.width + (brief.players - 1) * BETWEEN
    lefts = [-total / 2 + n * (one.width + BETWEEN) for n in range(brief.players)]
    return Block(
        sticks=tuple((left + x, y) for left in lefts for x, y in one.sticks),
        buttons=tuple((left + x, y) for left in lefts for x, y in one.buttons),
        width=total,
    )
