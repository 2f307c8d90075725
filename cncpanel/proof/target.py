"""What a sheet's programs are to make, as plain shapes and depths down from the sheet's top. Sheet frame, mm."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from math import radians, sqrt, tan
from typing import Literal

import shapely
import shapely.affinity

FloorKind = Literal["recess", "through", "hole", "mark"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Piece:
    """A part: what must stay, before its features are taken out of it; or where a clamp or a screw stands."""

    name: str
    shape: shapely.Geometry
    clamped: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Floor:
    """A feature: `shape` must go down to `depth` and no further.

    A `through` floor's shape must go to the sheet's underside; where `must` is given, only that part of the shape
    must, and the rest may (the slug inside an opening). `hole` is a round blind hole, whose depth is that of its
    point where a drill made it. Of a `mark`, `must` are the strokes' lines and the shape is little wider: all of them
    must be cut, as wide as the tool is, and nothing beside them.
    """

    name: str
    kind: FloorKind
    shape: shapely.Geometry
    depth: float
    must: shapely.Geometry | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Tab:
    """A declared bridge: its middle on the finished wall, the wall's direction, its length, its top's depth.

    Beyond its length it falls away at `flank_deg` from the sheet; None: its ends are upright.
    """

    name: str
    x: float
    y: float
    along: tuple[float, float]
    width: float
    top: float
    flank_deg: float | None = None

    def foot(self, depth: float) -> float:
        """Its length along the wall at a depth under its top, flanks included."""
        if self.flank_deg is None:
            return self.width
        return self.width + 2 * max(depth - self.top, 0.0) / tan(radians(self.flank_deg))


@dataclass(frozen=True, slots=True, kw_only=True)
class Spot:
    """A named place that a round tool cannot reach, `size` across."""

    name: str
    x: float
    y: float
    size: float


NOWHERE = shapely.Polygon()
NO_SECTIONS = shapely.MultiLineString()
SAME_DEPTH = 1e-6  # mm


@dataclass(frozen=True, slots=True, kw_only=True)
class Rim:
    """A rounded or bevelled rim. `path` is the finished wall, straight on past corners that the tool runs off at.

    `sections`: two-point lines from the wall 1 mm straight out of the part, where the form must be whole; `tapers`:
    where it runs out and nothing may go further than the whole form. A rounding is a quarter circle of `depth`, a bevel
    a slope of `angle_deg` from the wall. `ridge`: what a ball in steps may leave standing.
    """

    name: str
    kind: Literal["round", "bevel"]
    path: shapely.Geometry
    sections: shapely.Geometry
    depth: float
    angle_deg: float = 0.0
    ridge: float = 0.0
    tapers: shapely.Geometry = NO_SECTIONS

    @property
    def width(self) -> float:
        """Along the face."""
        return self.depth if self.kind == "round" else self.depth * tan(radians(self.angle_deg))

    def inset(self, depth: float) -> float:
        """How far inside the finished wall the wanted surface lies, `depth` mm under the face; 0 below the form."""
        left = max(self.depth - depth, 0.0)
        if self.kind == "bevel":
            return left * tan(radians(self.angle_deg))
        return self.depth - sqrt(self.depth * self.depth - min(left, self.depth) ** 2)


@dataclass(frozen=True, slots=True, kw_only=True)
class SideSlot:
    """A slot into a part's rim, between the depths `top` and `bottom`: all of `shape` goes there and nothing beside it.

    `beyond` may go too: the same, straight on past corners that a disc runs off. `path` is the rim along which it lies,
    `ends` those of its ends that lie on the rim: up to there, and no further, a disc leaves its own round, `depth` mm
    being the slot's from the rim into the part.
    """

    name: str
    top: float
    bottom: float
    depth: float
    shape: shapely.Geometry
    path: shapely.Geometry
    ends: shapely.Geometry
    beyond: shapely.Geometry = NOWHERE

    def holds(self, depth: float) -> bool:
        """Whether it is open that far under the face."""
        return self.top - SAME_DEPTH <= depth <= self.bottom + SAME_DEPTH


@dataclass(frozen=True, slots=True, kw_only=True)
class Target:
    """All of one sheet. `thickness` is the largest reading: the depth of the underside."""

    sheet: shapely.Polygon
    thickness: float
    pieces: tuple[Piece, ...]
    floors: tuple[Floor, ...]
    tabs: tuple[Tab, ...] = ()
    spots: tuple[Spot, ...] = ()
    rims: tuple[Rim, ...] = ()
    slots: tuple[SideSlot, ...] = ()

    def untouched(self) -> "Target":
        """The same sheet with nothing to be cut: for programs that only show where the cuts lie."""
        whole = Piece(name="the sheet", shape=self.sheet)
        return Target(sheet=self.sheet, thickness=self.thickness, pieces=(whole,), floors=())

    def turned(self) -> "Target":
        """The same in the frame of a machine on which the sheet lies turned: (x, y) becomes (width - y, x)."""
        width = self.sheet.bounds[3]

        def turn(shape: shapely.Geometry) -> shapely.Geometry:
            return shapely.affinity.affine_transform(shape, [0.0, -1.0, 1.0, 0.0, width, 0.0])

        return replace(
            self._mapped(turn),
            tabs=tuple(
                replace(tab, x=width - tab.y, y=tab.x, along=(-tab.along[1], tab.along[0])) for tab in self.tabs
            ),
            spots=tuple(replace(spot, x=width - spot.y, y=spot.x) for spot in self.spots),
        )

    def moved(self, dx: float, dy: float) -> "Target":
        """The same elsewhere."""

        def move(shape: shapely.Geometry) -> shapely.Geometry:
            return shapely.affinity.translate(shape, dx, dy)

        return replace(
            self._mapped(move),
            tabs=tuple(replace(tab, x=tab.x + dx, y=tab.y + dy) for tab in self.tabs),
            spots=tuple(replace(spot, x=spot.x + dx, y=spot.y + dy) for spot in self.spots),
        )

    def _mapped(self, change: Callable[[shapely.Geometry], shapely.Geometry]) -> "Target":
        """Every shape changed; tabs and spots as they are."""
        return replace(
            self,
            sheet=change(self.sheet),
            pieces=tuple(replace(piece, shape=change(piece.shape)) for piece in self.pieces),
            floors=tuple(
                replace(floor, shape=change(floor.shape), must=None if floor.must is None else change(floor.must))
                for floor in self.floors
            ),
            rims=tuple(
                replace(rim, path=change(rim.path), sections=change(rim.sections), tapers=change(rim.tapers))
                for rim in self.rims
            ),
            slots=tuple(
                replace(
                    slot,
                    shape=change(slot.shape),
                    path=change(slot.path),
                    ends=change(slot.ends),
                    beyond=change(slot.beyond),
                )
                for slot in self.slots
            ),
        )
