"""A program as values: what the tool does, block by block, before any control's words are chosen.

Program coordinates: millimetres, mm/min and seconds; X and Y from the program's zero, Z from where the
machine's Z zero lies. Nothing here is rounded: the writer rounds.
"""

from dataclasses import dataclass
from typing import Literal

from cncpanel.machine.tool import Tool


@dataclass(frozen=True, slots=True)
class Comment:
    """A line for the reader; the writer makes it fit."""

    text: str


@dataclass(frozen=True, slots=True)
class Preamble:
    """Every modal state that the program relies on."""


@dataclass(frozen=True, slots=True)
class LiftHome:
    """Z alone to the machine's own highest safe position (machine coordinates): homing machines only."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Rapid:
    """As fast as the machine goes; axes not named stay. Z never moves together with X and Y."""

    x: float | None = None
    y: float | None = None
    z: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Cut:
    """A move at a feed to (x, y, z): straight (bulge 0) or an arc in XY with Z changing evenly."""

    x: float
    y: float
    z: float
    feed: float
    bulge: float = 0.0


@dataclass(frozen=True, slots=True)
class ToolChange:
    """The changer fits this tool; its length offset is taken where the machine uses them."""

    number: int


@dataclass(frozen=True, slots=True)
class SpindleOn:
    """Clockwise at `rpm`; the dwell to get there is a block of its own."""

    rpm: float


@dataclass(frozen=True, slots=True)
class SpindleOff:
    """The spindle runs down."""


@dataclass(frozen=True, slots=True)
class Dwell:
    """Nothing moves for so many seconds."""

    seconds: float


@dataclass(frozen=True, slots=True)
class Stop:
    """The program waits for a person, who reads these lines and may move the tool by hand.

    `fits` is the number of the tool that the person fits here, None at other stops.
    """

    lines: tuple[str, ...]
    fits: int | None = None


@dataclass(frozen=True, slots=True)
class End:
    """Nothing after it is read."""


Block = Comment | Preamble | LiftHome | Rapid | Cut | ToolChange | SpindleOn | SpindleOff | Dwell | Stop | End


@dataclass(frozen=True, slots=True, kw_only=True)
class Program:
    """One file for the control. `name` is its stem; `run` counts the sheet's programs from 1 to `of`."""

    name: str
    purpose: Literal["cut", "trace", "dry run"] = "cut"
    sheet: int
    run: int
    of: int
    tools: tuple[Tool, ...]
    blocks: tuple[Block, ...]
