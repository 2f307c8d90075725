"""Where every part lies: plain numbers that maker and witness each read their own way. Sheet frame, mm."""

from dataclasses import dataclass

from cncpanel.geometry.placement import Placement
from cncpanel.job.model import Stock
from cncpanel.layout.side import Side
from cncpanel.panel.panel import Panel


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """One copy of a panel on a sheet.

    The panel, mirrored where `handed_over` says, turned by `angle_deg`, lies with the lower left corner of
    its box at (x, y). A panel cut from its back lies mirrored on the sheet; a mirrored copy once more.
    """

    panel: int
    name: str
    copy: int
    mirrored_copy: bool
    x: float
    y: float
    angle_deg: float

    @property
    def label(self) -> str:
        """The part's name, told apart from its other copies."""
        count = f" {self.copy}" if self.copy > 1 else ""
        return f"{self.name}{' mirrored' if self.mirrored_copy else ''}{count}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet:
    """One board with its parts; number counts from 1 through the whole job.

    `piece` names the offcut that it is, where it comes from the shop's store; `side` the set-up, where there are two.
    """

    number: int
    stock: Stock
    parts: tuple[Part, ...]
    piece: str = ""
    side: Side | None = None

    @property
    def title(self) -> str:
        """`sheet 2`, `sheet 2, side 1` where it is cut from both faces."""
        return f"sheet {self.number}{f', side {self.side.number}' if self.side else ''}"

    @property
    def length(self) -> float:
        """Along the sheet's X."""
        return self.stock.sheet[0]

    @property
    def width(self) -> float:
        """Along the sheet's Y."""
        return self.stock.sheet[1]


@dataclass(frozen=True, slots=True, kw_only=True)
class Bound:
    """What no layout of a stock's parts can beat, and why; `cost` is in prices, or m2 where there are none."""

    area_sheets: int
    sheets: int
    cost: float
    reason: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Packed:
    """How one stock was laid out: what was found, by how much looking, against what cannot be beaten."""

    stock: str
    sheets: int
    cost: float
    bound: Bound
    steps: int

    @property
    def is_best(self) -> bool:
        """Whether the layout is proven to be the cheapest."""
        return self.cost <= self.bound.cost + 1e-9


@dataclass(frozen=True, slots=True, kw_only=True)
class Layout:
    """All sheets of a job and the gap that was kept between parts.

    `seconds` is the cap that ended the search, None where it ran its steps; `kept` says that it was stored before.
    `alternatives` are how many searches it is the best of, with `seed` and the seeds after it; `steps` of all of them.
    """

    sheets: tuple[Sheet, ...]
    gap: float
    packed: tuple[Packed, ...] = ()
    seed: int = 0
    steps: int = 0
    seconds: float | None = None
    kept: bool = False
    alternatives: int = 1


def handed_over(panel: Panel, *, mirrored_copy: bool) -> bool:
    """Whether the panel lies mirrored on the sheet, seen from above."""
    return (panel.face == "back") != mirrored_copy


def placement(panel: Panel, part: Part) -> Placement:
    """The placement that puts `part` where its numbers say."""
    turned = Placement(angle_deg=part.angle_deg, mirrored=handed_over(panel, mirrored_copy=part.mirrored_copy))
    left, low, _, _ = turned.contour(panel.outline).bounds
    return Placement(x=part.x - left, y=part.y - low, angle_deg=turned.angle_deg, mirrored=turned.mirrored)
