"""A simple sound placement: largest first, each as far left and low as it goes, in a few fixed orders.

Identical runs give identical layouts: no clock, no chance. GEOS judges every layout before it is handed on.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field

import shapely
import shapely.affinity

from cncpanel.errors import Gathering
from cncpanel.geometry.contour import Contour
from cncpanel.geometry.placement import Placement
from cncpanel.geometry.region import Region, flat
from cncpanel.job.model import Stock
from cncpanel.layout.fit import free_positions, grown, simplified
from cncpanel.layout.layout import Layout, Part, Sheet, handed_over
from cncpanel.panel.panel import Panel

COARSE = 0.02  # mm; arcs as chords while placing; the judge looks at fine ones
SAFE = 0.05  # mm; added to the gap where a curved part is met: two parts' chord errors and a rounding
TURNS = {
    "any": (0.0, 90.0, 180.0, 270.0),
    "right-angles": (0.0, 90.0, 180.0, 270.0),
    "along": (0.0, 180.0),
    "across": (90.0, 270.0),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class _Turned:
    """A part's shape at one turn, the lower left of its exact box at the origin."""

    angle_deg: float
    shape: shapely.Polygon
    width: float
    height: float
    curved: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class _Item:
    """One part to be placed, with its shape at every allowed turn."""

    panel: Panel
    copy: int
    mirrored_copy: bool
    turns: tuple[_Turned, ...]

    @property
    def area(self) -> float:
        return float(self.turns[0].shape.area)

    @property
    def sides(self) -> tuple[float, float]:
        """Longer, shorter side of the box."""
        sides = (self.turns[0].width, self.turns[0].height)
        return max(sides), min(sides)


@dataclass(slots=True)
class _Board:
    """A sheet being filled: each part's shape grown by the gap, and by the gap and SAFE."""

    near: list[shapely.Polygon] = field(default_factory=list)
    safe: list[shapely.Polygon] = field(default_factory=list)
    parts: list[Part] = field(default_factory=list)
    used: float = 0.0


def lay_out(panels: Sequence[Panel], gap: float, gathering: Gathering) -> Layout:
    """All parts of all panels on sheets, stock by stock; a part larger than its sheet is a Problem."""
    sheets: list[Sheet] = []
    for stock in dict.fromkeys(panel.stock for panel in panels):
        items = [item for panel in panels if panel.stock == stock for item in _items(panel)]
        fitting = [item for item in items if _fits_a_sheet(item, stock, gathering)]
        for board in _best_boards(fitting, stock, gap):
            sheets.append(Sheet(number=len(sheets) + 1, stock=stock, parts=tuple(board.parts)))
    return Layout(sheets=tuple(sheets), gap=gap)


def _items(panel: Panel) -> list[_Item]:
    kinds = [(n + 1, False) for n in range(panel.copies)] + [(n + 1, True) for n in range(panel.mirrored)]
    turns = {mirrored: _turns(panel, mirrored) for mirrored in {m for _, m in kinds}}
    return [_Item(panel=panel, copy=copy, mirrored_copy=mirrored, turns=turns[mirrored]) for copy, mirrored in kinds]


def _turns(panel: Panel, mirrored_copy: bool) -> tuple[_Turned, ...]:
    """The allowed turns that give different shapes."""
    turns: list[_Turned] = []
    mirrored = handed_over(panel, mirrored_copy=mirrored_copy)
    for angle in TURNS[panel.turn]:
        turned = _turned(Placement(angle_deg=angle, mirrored=mirrored).contour(panel.outline), angle)
        if not any(_same(turned.shape, other.shape) for other in turns):
            turns.append(turned)
    return tuple(turns)


def _turned(outline: Contour, angle_deg: float) -> _Turned:
    left, low, right, high = outline.bounds
    return _Turned(
        angle_deg=angle_deg,
        shape=simplified(flat(Region(Placement(x=-left, y=-low).contour(outline)), COARSE)),
        width=right - left,
        height=high - low,
        curved=any(segment.is_arc for segment in outline.segments),
    )


def _same(a: shapely.Polygon, b: shapely.Polygon) -> bool:
    return bool(a.normalize().equals_exact(b.normalize(), 1e-9))


def _fits_a_sheet(item: _Item, stock: Stock, gathering: Gathering) -> bool:
    if any(_room(turned, stock) is not None for turned in item.turns):
        return True
    first, margin = item.turns[0], stock.margin
    gathering.problem(
        item.panel.place,
        f"panel {item.panel.name}: {first.width:.1f} x {first.height:.1f} mm does not fit a {stock.name} sheet",
        f"at most {stock.sheet[0] - 2 * margin:g} x {stock.sheet[1] - 2 * margin:g} mm inside the margin",
    )
    return False


def _room(turned: _Turned, stock: Stock) -> shapely.Geometry | None:
    """Where the lower left of the shape's box may go; a line or point where it fits exactly."""
    slack_x = stock.sheet[0] - 2 * stock.margin - turned.width
    slack_y = stock.sheet[1] - 2 * stock.margin - turned.height
    if slack_x < -1e-9 or slack_y < -1e-9:
        return None
    low, x, y = stock.margin, stock.margin + max(slack_x, 0.0), stock.margin + max(slack_y, 0.0)
    if x > low and y > low:
        return shapely.box(low, low, x, y)
    return shapely.LineString([(low, low), (x, y)]) if max(x, y) > low else shapely.Point(low, low)


Order = Callable[[_Item], tuple[float, ...]]
ORDERS: tuple[Order, ...] = (
    lambda item: (-item.area,),
    lambda item: (-item.sides[0], -item.area),
    lambda item: (-item.sides[1], -item.area),
)


def _best_boards(items: Sequence[_Item], stock: Stock, gap: float) -> list[_Board]:
    """The fewest boards over the fixed orders; then the least used length on the last board."""
    tries = [_fill(sorted(items, key=order), stock, gap) for order in ORDERS]
    return min(tries, key=lambda boards: (len(boards), boards[-1].used if boards else 0.0))


def _fill(items: Sequence[_Item], stock: Stock, gap: float) -> list[_Board]:
    boards: list[_Board] = []
    for item in items:
        if not any(_put(item, board, stock, gap) for board in boards):
            boards.append(_Board())
            _put(item, boards[-1], stock, gap)
    return boards


def _put(item: _Item, board: _Board, stock: Stock, gap: float) -> bool:
    """Place the item leftmost and lowest on the board, if it fits there at all."""
    spots = [spot for turned in item.turns for spot in _spots(turned, board, stock)]
    if not spots:
        return False
    _, x, y, turned = min(spots, key=lambda spot: spot[0])
    _take(board, item, turned, (x, y), gap)
    return True


_Spot = tuple[tuple[float, float, float], float, float, _Turned]


def _spots(turned: _Turned, board: _Board, stock: Stock) -> list[_Spot]:
    room = _room(turned, stock)
    if room is None:
        return []
    free = free_positions(room, board.safe if turned.curved else board.near, turned.shape)
    return [
        ((round(x + turned.width, 6), round(y + turned.height, 6), turned.angle_deg), x, y, turned) for x, y in free
    ]


def _take(board: _Board, item: _Item, turned: _Turned, at: tuple[float, float], gap: float) -> None:
    moved = shapely.affinity.translate(turned.shape, *at)
    board.near.append(grown(moved, gap + SAFE if turned.curved else gap))
    board.safe.append(grown(moved, gap + SAFE))
    board.used = max(board.used, at[0] + turned.width)
    board.parts.append(
        Part(
            panel=item.panel.index,
            name=item.panel.name,
            copy=item.copy,
            mirrored_copy=item.mirrored_copy,
            x=at[0],
            y=at[1],
            angle_deg=turned.angle_deg,
        )
    )
