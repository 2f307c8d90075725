"""A saw plan as plain values: every cut in its order, what it is made on and what it gives. Sheet frame, mm."""

from dataclasses import dataclass
from typing import Literal

from cncpanel.job.model import Saw, Side, Stock

Box = tuple[float, float, float, float]  # left, low, right, high
Guide = Literal["fence", "stop", "line"]
Axis = Literal["x", "y"]
Edge = Literal["low", "high"]

NOTHING = 1e-6  # mm; what is narrower beyond a blade is not there
WHOLE = "sheet"  # what the board is called until nothing of it is left to rip


@dataclass(frozen=True, slots=True, kw_only=True)
class Cut:
    """One straight cut through a whole piece; the blade runs along `axis`.

    The piece lies with its `edge` (low: the left or the lower one) at the guide; `setting` is from there to the blade.
    What lies between is then called `kept`, what is beyond the kerf `freed`; "" where nothing is. The guide is the rip
    fence, a stop on the mitre gauge or sled, or a line drawn on the piece.
    """

    number: int
    stage: int
    axis: Axis
    guide: Guide
    edge: Edge
    setting: float
    piece: str
    kept: str
    freed: str

    @property
    def set_to(self) -> tuple[Guide, float]:
        """What must be set before it."""
        return self.guide, round(self.setting, 4)


@dataclass(frozen=True, slots=True, kw_only=True)
class SawnPart:
    """A part as it comes from the saw; `piece` is what the cuts call it.

    `across`: the panel's x lies along the sheet's y. `shaped`: larger all round, to be cut to a template.
    """

    piece: str
    panel: int
    name: str
    copy: int
    mirrored_copy: bool
    box: Box
    across: bool
    shaped: bool

    @property
    def label(self) -> str:
        """The part's name, told apart from its other copies."""
        count = f" {self.copy}" if self.copy > 1 else ""
        return f"{self.name}{' mirrored' if self.mirrored_copy else ''}{count}"

    @property
    def size(self) -> tuple[float, float]:
        """Along the sheet and across it."""
        return size_of(self.box)


@dataclass(frozen=True, slots=True, kw_only=True)
class Leftover:
    """A rectangle that no part takes; the cuts call it `piece`."""

    piece: str
    box: Box

    @property
    def size(self) -> tuple[float, float]:
        """Along the sheet and across it."""
        return size_of(self.box)


@dataclass(frozen=True, slots=True, kw_only=True)
class SawSheet:
    """One board, its cuts in order, and what becomes of it; number counts from 1 through the whole job.

    `piece` names the offcut that it is, where it comes from the shop's store.
    """

    number: int
    stock: Stock
    cuts: tuple[Cut, ...]
    parts: tuple[SawnPart, ...]
    leftovers: tuple[Leftover, ...]
    piece: str = ""

    @property
    def length(self) -> float:
        """Along the sheet's X."""
        return self.stock.sheet[0]

    @property
    def width(self) -> float:
        """Along the sheet's Y."""
        return self.stock.sheet[1]

    @property
    def settings(self) -> int:
        """How often fence or stop is set."""
        told = [cut.set_to for cut in self.cuts if cut.guide != "line"]
        return sum(one != before for one, before in zip(told, [None, *told], strict=False))


@dataclass(frozen=True, slots=True, kw_only=True)
class Bevel:
    """A rim that the blade saws at a tilt from square, once the panel has its size.

    `long` is the panel's size from the opposite edge to the long point, `short` what the bevelled face keeps of it:
    the setting at the table, that face down. `passes` 2: from both faces, to the middle. `along` is the edge's length.
    """

    panel: int
    side: Side
    tilt_deg: float
    face: Literal["show", "back", "both"]
    long: float
    short: float
    along: float
    guide: Literal["fence", "stop", "carrier"]
    shaped: bool

    @property
    def passes(self) -> int:
        """How many cuts it takes."""
        return 2 if self.face == "both" else 1


@dataclass(frozen=True, slots=True, kw_only=True)
class Sawn:
    """How one stock was planned: sheets, what area asks for at least, their price where the stock has one."""

    stock: str
    sheets: int
    least: int
    price: float | None
    board_m2: float
    part_m2: float
    steps: int


@dataclass(frozen=True, slots=True, kw_only=True)
class SawPlan:
    """All sheets of a job; `by_hand` are sentences on what this saw leaves to other tools, by panel."""

    saw: Saw
    sheets: tuple[SawSheet, ...]
    bevels: tuple[Bevel, ...]
    by_hand: tuple[tuple[int, str], ...]
    sawn: tuple[Sawn, ...]


def size_of(box: Box) -> tuple[float, float]:
    """Along the sheet and across it."""
    return box[2] - box[0], box[3] - box[1]


def parted(box: Box, axis: Axis, edge: Edge, setting: float, kerf: float) -> tuple[Box, Box | None]:
    """What lies between guide and blade once a piece is sawn, and what lies beyond the kerf, if anything."""
    left, low, right, high = box
    start, end = (low, high) if axis == "x" else (left, right)
    near = (start, start + setting) if edge == "low" else (end - setting, end)
    far = (start + setting + kerf, end) if edge == "low" else (start, end - setting - kerf)
    boxes = [(left, a, right, b) if axis == "x" else (a, low, b, high) for a, b in (near, far)]
    return boxes[0], boxes[1] if far[1] - far[0] > NOTHING else None
