"""A sheet being filled, and what the parts on it forbid to another part."""

from collections.abc import Container, Mapping
from dataclasses import dataclass, field

import numpy as np
import numpy.typing as npt
import shapely

from cncpanel.geometry.contour import Contour
from cncpanel.geometry.region import Region, flat
from cncpanel.layout.fit import Numbers, Wall, convex_pieces, forbidden, forbidden_each, free_positions, grown, moved
from cncpanel.layout.ground import Ground
from cncpanel.layout.item import Item, Turned
from cncpanel.layout.layout import Part, Sheet, placement

SAFE = 0.05  # mm; added to the gap where a curved part is met: two parts' chord errors and a rounding
BEYOND = 10.0  # mm; frame of an opening while its inside is looked at
COARSER_INSIDE = 0.3  # mm; how far an opening's curved side may be squared in
MOST_INSIDE = 60  # convex pieces of an opening's frame; a finer one is left empty

Offset = tuple[float, float]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Laid:
    """A part where it lies: the lower left of its box."""

    item: Item
    turned: Turned
    x: float
    y: float

    @property
    def part(self) -> Part:
        """As a plain value."""
        return self.item.part(self.turned, self.x, self.y)


@dataclass(slots=True, eq=False)
class Board:
    """One sheet with what lies on it; `offer` says which of the stock's sizes it is."""

    ground: Ground
    offer: int
    laid: list[Laid] = field(default_factory=list)
    full_for: set[tuple[int, bool]] = field(default_factory=set)

    @property
    def used(self) -> float:
        """How far along the sheet its parts go."""
        return max((one.x + one.turned.width for one in self.laid), default=0.0)

    @property
    def items(self) -> list[Item]:
        """What lies on it."""
        return [one.item for one in self.laid]

    @property
    def covered(self) -> float:
        """mm2 of its parts."""
        return sum(one.item.area for one in self.laid)

    def has_area_for(self, item: Item) -> bool:
        """Whether the parts' bare areas leave enough; parts in others' openings may exceed it."""
        return self.covered + item.area <= self.ground.area

    def sheet(self, number: int) -> Sheet:
        """As a plain value."""
        parts = tuple(one.part for one in self.laid)
        return Sheet(number=number, stock=self.ground.stock, parts=parts, piece=self.ground.piece)


class Neighbours:
    """Forbidden positions between any two parts, reckoned once; `waste` are openings that parts may lie in."""

    def __init__(self, gap: float, waste: Mapping[int, tuple[Contour, ...]]) -> None:
        self.gap, self._waste = gap, waste
        self._walls: dict[tuple[Turned | shapely.Polygon, Turned], Wall] = {}
        self._grown: dict[tuple[Turned, float], shapely.Polygon] = {}

    @property
    def in_waste(self) -> bool:
        """Whether parts may lie in other parts' openings."""
        return any(self._waste.values())

    def spots(self, board: Board, turned: Turned) -> Numbers:
        """Where the lower left of the part's box may go on the board, touching what lies there; rows x, y."""
        room = board.ground.room(turned.width, turned.height)
        if room is None:
            return np.empty((0, 2))
        return free_positions(room, self._around(board, turned, np.asarray(room.bounds)))

    def _around(self, board: Board, turned: Turned, room: Numbers) -> npt.NDArray[np.object_]:
        """The pieces of all walls on the board that come near the room."""
        keys = [(block, turned) for block in board.ground.blocks]
        keys += [(one.turned, turned) for one in board.laid]
        if not keys:
            return np.empty(0, dtype=object)
        self._reckon(board, turned)
        walls = [self._walls[key] for key in keys]
        at = np.array([(0.0, 0.0)] * len(board.ground.blocks) + [(one.x, one.y) for one in board.laid])
        boxes = np.array([wall.box for wall in walls]) + np.hstack([at, at])
        near = (boxes[:, :2] <= room[2:]).all(axis=1) & (boxes[:, 2:] >= room[:2]).all(axis=1)
        chosen = np.flatnonzero(near)
        if not len(chosen):
            return np.empty(0, dtype=object)
        pieces = [walls[i].pieces for i in chosen]
        return moved(np.concatenate(pieces), np.repeat(at[chosen], [len(each) for each in pieces], axis=0))

    def _reckon(self, board: Board, turned: Turned) -> None:
        """Reckon the walls that are not known yet, all in one go."""
        shapes: dict[tuple[Turned | shapely.Polygon, Turned], shapely.Polygon] = {}
        for block in board.ground.blocks:
            if (block, turned) not in self._walls:
                shapes[block, turned] = block
        for one in board.laid:
            if (one.turned, turned) not in self._walls:
                gap = self.gap + SAFE if one.turned.curved or turned.curved else self.gap
                shapes[one.turned, turned] = self._grown_by(one.turned, gap)
        if shapes:
            self._walls.update(zip(shapes, forbidden_each(list(shapes.values()), turned.shape), strict=True))
            if self._waste:
                self._open(board, turned, shapes)

    def _open(self, board: Board, turned: Turned, fresh: Container[tuple[Turned | shapely.Polygon, Turned]]) -> None:
        for one in board.laid:
            key = (one.turned, turned)
            if key in fresh and one.item.panel.index in self._waste:
                wall = self._walls[key]
                opened = self._opened(shapely.union_all(wall.pieces), one, turned)
                self._walls[key] = Wall(np.array([opened], dtype=object), wall.box)

    def _grown_by(self, turned: Turned, gap: float) -> shapely.Polygon:
        key = (turned, gap)
        if key not in self._grown:
            self._grown[key] = grown(turned.shape, gap)
        return self._grown[key]

    def _opened(self, wall: shapely.Geometry, one: Laid, turned: Turned) -> shapely.Geometry:
        """The wall without the positions at which the part lies inside an opening's waste."""
        contours = self._waste.get(one.item.panel.index, ())
        where = placement(one.item.panel, one.item.part(one.turned, 0.0, 0.0)) if contours else None
        for contour in contours:
            assert where is not None, "contours were placed"
            wall = shapely.difference(wall, _inside(flat(Region(where.contour(contour))), turned, self.gap))
        return wall


def _inside(opening: shapely.Polygon, turned: Turned, gap: float) -> shapely.Geometry:
    """Positions at which the part lies in the opening, two gaps from its wall: a ring of waste stays between."""
    free = shapely.buffer(opening, -(2 * gap + SAFE + COARSER_INSIDE)).simplify(COARSER_INSIDE)
    if not isinstance(free, shapely.Polygon) or free.is_empty:
        return shapely.Polygon()
    left, low, right, high = free.bounds
    if turned.width > right - left or turned.height > high - low:
        return shapely.Polygon()
    room = shapely.box(left, low, right - turned.width, high - turned.height)
    frame = shapely.difference(grown(shapely.box(*free.bounds), BEYOND), free)
    if len(convex_pieces(frame)) > MOST_INSIDE:
        return shapely.Polygon()
    return shapely.difference(room, forbidden(frame, turned.shape))
