"""A sheet being filled, and what the parts on it forbid to another part."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from math import inf
from typing import TypeAlias

import numpy as np
import shapely
import shapely.affinity

from cncpanel.geometry.contour import Contour
from cncpanel.geometry.region import Region, flat
from cncpanel.layout.fit import Numbers, Pieces, convex_pieces, forbidden, forbidden_each, free_positions, grown, moved
from cncpanel.layout.ground import Ground
from cncpanel.layout.item import Item, Turned
from cncpanel.layout.layout import Part, Sheet, placement

SAFE = 0.05  # mm; added to the gap where a curved part is met: two parts' chord errors and a rounding
BEYOND = 10.0  # mm; frame of an opening while its inside is looked at
COARSER_INSIDE = 0.3  # mm; how far an opening's curved side may be squared in
MOST_INSIDE = 60  # convex pieces of an opening's frame; a finer one is left empty

CLIPPED = 1.0  # mm beyond what is asked for, so that no clipped edge is taken for a touching position


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


Placed: TypeAlias = Laid | shapely.Polygon  # what lies on a board: a part, or a keep-out


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
    def rest(self) -> float:
        """mm2 of the sheet beyond its parts, over its whole width."""
        length, width = self.ground.stock.sheet
        return (length - self.used) * width

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
        self._walls: dict[tuple[Turned | shapely.Polygon, Turned], Pieces] = {}
        self._grown: dict[tuple[Turned, float], shapely.Polygon] = {}

    @property
    def in_waste(self) -> bool:
        """Whether parts may lie in other parts' openings."""
        return any(self._waste.values())

    def spots(self, board: Board, turned: Turned, before: float = inf) -> Numbers:
        """Where the lower left of the part's box may go on the board, touching what lies there; rows x, y.

        Of those at an x up to `before` all are there; others may be, also some that touch nothing.
        """
        room = board.ground.room(turned.width, turned.height)
        if room is not None:
            room = _up_to(room, before + CLIPPED)
        return np.empty((0, 2)) if room is None else free_positions(room, self._around(board, turned, room))

    def nearest(self, board: Board, turned: Turned, wish: tuple[float, float]) -> tuple[float, float] | None:
        """The free position nearest to the wish, which may touch nothing; None where there is none.

        On a board without keep-outs; the wish itself is judged by exact shapes.
        """
        room = board.ground.room(turned.width, turned.height)
        if room is None:
            return None
        if self._is_free(board, turned, room, wish):
            return wish
        wall = shapely.union_all(self._around(board, turned, room))
        free = shapely.difference(room, wall)
        if free.is_empty:
            return None
        near = shapely.get_coordinates(shapely.shortest_line(free, shapely.Point(wish)))[0]
        return float(near[0]), float(near[1])

    def _is_free(self, board: Board, turned: Turned, room: shapely.Geometry, at: tuple[float, float]) -> bool:
        if not shapely.covers(room, shapely.Point(at)):
            return False
        shape = shapely.affinity.translate(turned.exact, *at)
        return all(
            shapely.affinity.translate(one.turned.exact, one.x, one.y).distance(shape) >= self._gap(one, turned)
            for one in board.laid
        )

    def _around(self, board: Board, turned: Turned, room: shapely.Geometry) -> Pieces:
        """The pieces of all walls on the board that come near the room."""
        near = self._near(board, turned, np.asarray(room.bounds))
        if not near:
            return np.empty(0, dtype=object)
        self._reckon([placed for placed, _, _ in near], turned)
        pieces = [self._walls[_shape_of(placed), turned] for placed, _, _ in near]
        at = np.array([(x, y) for _, x, y in near])
        return moved(np.concatenate(pieces), np.repeat(at, [len(each) for each in pieces], axis=0))

    def _near(self, board: Board, turned: Turned, room: Numbers) -> list[tuple[Placed, float, float]]:
        """What lies on the board, and where, if the positions that it forbids come near the room."""
        lies: list[tuple[Placed, float, float]] = [(block, 0.0, 0.0) for block in board.ground.blocks]
        lies += [(one, one.x, one.y) for one in board.laid]
        if not lies:
            return []
        boxes = np.array([self._box(placed, turned) for placed, _, _ in lies])
        at = np.array([(x, y, x, y) for _, x, y in lies])
        boxes += at - (turned.width, turned.height, 0.0, 0.0)
        near = (boxes[:, :2] <= room[2:]).all(axis=1) & (boxes[:, 2:] >= room[:2]).all(axis=1)
        return [lies[index] for index in np.flatnonzero(near)]

    def _box(self, placed: Placed, turned: Turned) -> tuple[float, float, float, float]:
        """Of what keeps the gap, about its own origin."""
        if isinstance(placed, Laid):
            gap = self._gap(placed, turned)
            return -gap, -gap, placed.turned.width + gap, placed.turned.height + gap
        left, low, right, high = placed.bounds
        return left, low, right, high

    def _gap(self, one: Laid, turned: Turned) -> float:
        return self.gap + SAFE if one.turned.curved or turned.curved else self.gap

    def _reckon(self, near: Sequence[Placed], turned: Turned) -> None:
        """Reckon the walls that are not known yet, all in one go."""
        fresh = {_shape_of(one): one for one in near if (_shape_of(one), turned) not in self._walls}
        if not fresh:
            return
        shapes = [
            self._grown_by(one.turned, self._gap(one, turned)) if isinstance(one, Laid) else one
            for one in fresh.values()
        ]
        walls = forbidden_each(shapes, turned.shape)
        for (shape, one), wall in zip(fresh.items(), walls, strict=True):
            if isinstance(one, Laid) and one.item.panel.index in self._waste:
                opened = self._opened(shapely.union_all(wall), one, turned)
                wall = np.array([opened], dtype=object)
            self._walls[shape, turned] = wall

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


def _shape_of(placed: Placed) -> Turned | shapely.Polygon:
    """What its walls are kept under: equal for equal parts that lie alike."""
    return placed.turned if isinstance(placed, Laid) else placed


def _up_to(room: shapely.Geometry, x: float) -> shapely.Geometry | None:
    """The part of the room up to there; None where there is none."""
    left, low, right, high = room.bounds
    if x >= right or left == right:
        return room
    if x <= left:
        return None
    return shapely.box(left, low, x, high) if high > low else shapely.LineString([(left, low), (x, low)])


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
