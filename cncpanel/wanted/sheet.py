"""A sheet's target: every part mirrored, turned and put where its numbers say, with what is cut out of it."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from typing import Literal, Protocol

import shapely
import shapely.affinity

from cncpanel.job import model
from cncpanel.job.read import ReadJob
from cncpanel.machine.model import Machine
from cncpanel.proof.target import Floor, Piece, Rim, SideSlot, Spot, Tab, Target
from cncpanel.wanted.feature import Drawn, Feature
from cncpanel.wanted.rim import opening_shapes, rims, slots

STROKE = 0.005  # mm to each side of a mark's line: its width is the tool's own, which the witness adds
Flip = Callable[[shapely.Geometry], shapely.Geometry]
RIM = 1.0  # mm; of the kerf round a part, and inside a wall: what surely goes; narrower than any tool


class PartNumbers(Protocol):
    """Where one copy of a panel lies: the lower left of its placed box at (x, y)."""

    @property
    def panel(self) -> int:
        """Index in the job."""

    @property
    def label(self) -> str:
        """What messages call it."""

    @property
    def mirrored_copy(self) -> bool:
        """Whether it is a mirror image of the panel."""

    @property
    def x(self) -> float:
        """mm along the sheet."""

    @property
    def y(self) -> float:
        """mm across the sheet."""

    @property
    def angle_deg(self) -> float:
        """Counter-clockwise."""


class SheetNumbers(Protocol):
    """One board with its parts."""

    @property
    def stock(self) -> model.Stock:
        """Its material."""

    @property
    def parts(self) -> Sequence[PartNumbers]:
        """What lies on it."""


class TabNumbers(Protocol):
    """A declared tab, sheet frame; `top` is negative, below the sheet's top."""

    @property
    def part(self) -> str:
        """Whose."""

    @property
    def centre(self) -> tuple[float, float]:
        """On the finished wall."""

    @property
    def along(self) -> tuple[float, float]:
        """The wall's unit direction."""

    @property
    def width(self) -> float:
        """mm along the wall."""

    @property
    def top(self) -> float:
        """mm, negative."""

    @property
    def flank_deg(self) -> float | None:
        """How steep its flanks fall away beyond its width; None: they are upright."""


class SpotNumbers(Protocol):
    """A spot that the tool cannot reach, in its panel's frame (origin at the lower left of the outline)."""

    @property
    def panel(self) -> str:
        """The panel's name."""

    @property
    def feature(self) -> str:
        """The feature's."""

    @property
    def at(self) -> tuple[float, float]:
        """The middle of its box."""

    @property
    def size(self) -> float:
        """The box's longer side, mm."""


def target(
    read: ReadJob,
    sheet: SheetNumbers,
    machine: Machine,
    tabs: Sequence[TabNumbers] = (),
    spots: Sequence[SpotNumbers] = (),
) -> Target:
    """What the sheet's programs are to make, from the job's values and the parts' plain numbers."""
    stock = sheet.stock
    stocks = {known.name: known for known in read.job.stock}
    laid = [_Laid(Drawn(read, part.panel, stocks), part) for part in sheet.parts]
    pieces = tuple(Piece(name=part.label, shape=one.outline) for one, part in zip(laid, sheet.parts, strict=True))
    board = shapely.box(0.0, 0.0, *stock.sheet)
    floors = [_beside(floor, one, pieces) for one in laid for floor in one.floors(stock.thickest)]
    floors += _screw_holes(stock)
    disc = max((tool.radius for tool in machine.tool if tool.undercuts), default=0.0)
    return Target(
        sheet=board,
        thickness=stock.thickest,
        pieces=(*pieces, *_clamped(stock)),
        floors=(*floors, *_rims(pieces, floors, stock.thickest)),
        tabs=tuple(_tab(tab) for tab in tabs),
        spots=tuple(spot for one in laid for spot in one.spots(spots)),
        rims=tuple(rim for one in laid for rim in one.rims(read.job.settings.scallop)),
        slots=tuple(slot for one in laid for slot in one.slots(disc)),
    )


def turned_target(
    read: ReadJob, sheet: SheetNumbers, axis: Literal["x", "y"], spots: Sequence[SpotNumbers] = ()
) -> Target:
    """What is to be cut from the other faces, before the sheet is turned over about that axis of its own.

    The parts' numbers are those of the sheet after the turn; everything is flipped about the sheet's middle line.
    """
    stock, board = sheet.stock, shapely.box(0.0, 0.0, *sheet.stock.sheet)
    middle = (stock.sheet[0] / 2, stock.sheet[1] / 2)

    def flip(shape: shapely.Geometry) -> shapely.Geometry:
        across = {"yfact": -1.0} if axis == "x" else {"xfact": -1.0}
        return shapely.affinity.scale(shape, origin=middle, **across)

    stocks = {known.name: known for known in read.job.stock}
    laid = [_Laid(Drawn(read, part.panel, stocks, turned=True), part, flip) for part in sheet.parts]
    pieces = [Piece(name=part.label, shape=one.without_openings()) for one, part in zip(laid, sheet.parts, strict=True)]
    clamps = [replace(piece, shape=flip(piece.shape)) for piece in _clamped(stock)]
    return Target(
        sheet=board,
        thickness=stock.thickest,
        pieces=(*pieces, *clamps),
        floors=tuple(floor for one in laid for floor in one.floors(stock.thickest)),
        spots=tuple(spot for one in laid for spot in one.spots(spots)),
        rims=tuple(rim for one in laid for rim in one.rims(read.job.settings.scallop)),
    )


def _tab(tab: TabNumbers) -> Tab:
    return Tab(
        name=tab.part,
        x=tab.centre[0],
        y=tab.centre[1],
        along=(tab.along[0], tab.along[1]),
        width=tab.width,
        top=-tab.top,
        flank_deg=tab.flank_deg,
    )


def _clamped(stock: model.Stock) -> Iterator[Piece]:
    """Where clamps and screws are: no tool may come there."""
    for keep in stock.keep_out:
        if keep.kind in ("clamp", "screw"):
            (x, y), (width, height) = keep.at, keep.size
            shape = shapely.difference(shapely.box(x, y, x + width, y + height), _hole(keep))
            yield Piece(name=f"the {keep.kind} at {x:g}, {y:g}", shape=shape, clamped=True)


def _hole(keep: model.KeepOut) -> shapely.Geometry:
    """Of a screw that is driven at a stop; nothing for one that stands already."""
    if keep.hole is None:
        return shapely.Polygon()
    return shapely.buffer(shapely.Point(*keep.centre), keep.hole / 2, quad_segs=64)


def _screw_holes(stock: model.Stock) -> Iterator[Floor]:
    for keep in stock.keep_out:
        if keep.hole is not None:
            name = f"the screw at {keep.at[0]:g}, {keep.at[1]:g}, its hole"
            yield Floor(name=name, kind="through", shape=_hole(keep), depth=stock.thickest)


def _beside(floor: Floor, one: "_Laid", pieces: Sequence[Piece]) -> Floor:
    """An opening without the parts that lie in its waste."""
    if floor.kind != "through":
        return floor
    inside = [p.shape for p in pieces if p.shape is not one.outline and floor.shape.contains(p.shape)]
    return replace(floor, shape=shapely.difference(floor.shape, shapely.union_all(inside))) if inside else floor


def _rims(pieces: Sequence[Piece], floors: Sequence[Floor], thickness: float) -> Iterator[Floor]:
    """A narrow band round every part goes, so that it comes free; where parts stand closer it is shared."""
    everything = shapely.union_all([piece.shape for piece in pieces])
    for piece in pieces:
        inside = [floor.shape for floor in floors if floor.kind == "through" and _holds(floor, piece)]
        if inside:
            band = shapely.difference(shapely.buffer(piece.shape, RIM, quad_segs=32), piece.shape)
            yield Floor(name=f"{piece.name}, outline", kind="through", shape=band, depth=thickness)
            continue
        rim = shapely.difference(shapely.buffer(piece.shape, RIM, quad_segs=32), everything)
        yield Floor(name=f"{piece.name}, outline", kind="through", shape=rim, depth=thickness)


def _holds(floor: Floor, piece: Piece) -> bool:
    """Whether the piece lies in a hole of what may go."""
    return any(
        shapely.Polygon(ring).contains(piece.shape)
        for part in shapely.get_parts(floor.shape)
        for ring in getattr(part, "interiors", ())
    )


class _Laid:
    """One part where it lies; `flip` is its sheet's turn, for what is cut before it."""

    def __init__(self, drawn: Drawn, part: PartNumbers, flip: Flip | None = None) -> None:
        self._drawn, self._part, self._flip = drawn, part, flip
        self._is_mirrored = (drawn.panel.face == "back") != part.mirrored_copy
        self._own = drawn.outline()
        self._shift = self._own.bounds[:2]
        left, low, _, _ = self._turned(self._own).bounds
        self._move = part.x - left, part.y - low
        self.outline = self.placed(self._own)

    def _turned(self, shape: shapely.Geometry) -> shapely.Geometry:
        """Mirrored left to right where it lies face down, then turned."""
        facing = shapely.affinity.scale(shape, xfact=-1.0, origin=(0.0, 0.0)) if self._is_mirrored else shape
        return shapely.affinity.rotate(facing, self._part.angle_deg, origin=(0.0, 0.0))

    def placed(self, shape: shapely.Geometry) -> shapely.Geometry:
        """A shape in the author's coordinates where it comes to lie on the sheet."""
        lying = shapely.affinity.translate(self._turned(shape), *self._move)
        return lying if self._flip is None else self._flip(lying)

    def without_openings(self) -> shapely.Geometry:
        """What stays of it once it has been turned over: its openings' insides are scrap before the turn too."""
        return shapely.difference(self.outline, self.placed(shapely.union_all(list(opening_shapes(self._drawn)))))

    def floors(self, thickness: float) -> Iterator[Floor]:
        """What is cut out of the part."""
        for feature in self._drawn.features():
            yield from self._floor(feature, thickness)

    def _floor(self, feature: Feature, thickness: float) -> Iterator[Floor]:
        if feature.kind == "mark":
            yield self._mark(feature)
            return
        shape = shapely.intersection(self.placed(feature.shape), self.outline)
        name = f"{self._part.label}, {feature.name}"
        depth = thickness if feature.depth is None else feature.depth
        must = None
        if feature.kind == "through":
            must = shapely.difference(shape, shapely.buffer(shape, -RIM, quad_segs=32))
        yield Floor(name=name, kind=feature.kind, shape=shape, depth=depth, must=must)

    def rims(self, ridge: float) -> Iterator[Rim]:
        """Its rounded and bevelled rims."""
        for rim in rims(self._drawn):
            yield Rim(
                name=f"{self._part.label}, {rim.name}",
                kind="round" if rim.edge.round is not None else "bevel",
                path=self.placed(rim.path),
                sections=self.placed(rim.sections),
                tapers=self.placed(rim.tapers),
                depth=rim.depth,
                angle_deg=rim.edge.bevel_deg or 0.0,
                ridge=ridge,
            )

    def slots(self, disc: float) -> Iterator[SideSlot]:
        """The slots into its rims; `disc` is the radius of the largest that there is."""
        for slot in slots(self._drawn, disc):
            yield SideSlot(
                name=f"{self._part.label}, {slot.name}",
                top=slot.top,
                bottom=slot.bottom,
                depth=slot.depth,
                shape=shapely.intersection(self.placed(slot.shape), self.outline),
                path=self.placed(slot.path),
                ends=self.placed(slot.ends),
                beyond=shapely.intersection(self.placed(slot.beyond), self.outline),
            )

    def _mark(self, feature: Feature) -> Floor:
        """All of its strokes, and nothing beside them."""
        lies_mirrored = self._is_mirrored == (self._flip is None)
        drawn = feature.on_mirrored if lies_mirrored else feature.shape
        lines = self.placed(drawn)
        shape = shapely.buffer(lines, STROKE, quad_segs=2)
        name = f"{self._part.label}, {feature.name}"
        return Floor(name=name, kind="mark", shape=shape, depth=feature.depth or 0.0, must=lines)

    def spots(self, spots: Sequence[SpotNumbers]) -> Iterator[Spot]:
        """The panel's named spots where they lie on the sheet."""
        for spot in spots:
            if spot.panel == self._drawn.panel.name:
                at = self.placed(shapely.Point(spot.at[0] + self._shift[0], spot.at[1] + self._shift[1]))
                yield Spot(name=f"{self._part.label}, {spot.feature}", x=at.x, y=at.y, size=spot.size)
