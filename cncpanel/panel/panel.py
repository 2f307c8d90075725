"""A panel as it is to be: outline, what goes through, what goes part way, holes, marks. Panel frame, mm."""

from dataclasses import dataclass
from typing import Literal

from cncpanel.errors import Place
from cncpanel.geometry.contour import Contour, Path
from cncpanel.geometry.point import Point
from cncpanel.geometry.region import Region
from cncpanel.job.model import Face, Lines, Stock, Turn
from cncpanel.panel.edge import DrawnRim, Edge, RimSlot
from cncpanel.panel.spared import Spared

RecessKind = Literal["recess", "groove", "rabbet", "counterbore"]

_ORIGIN = Point(0.0, 0.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Opening:
    """Cut right through inside the outline (grille cells that are slots are openings too)."""

    name: str
    contour: Contour
    tool: str | None
    place: Place


@dataclass(frozen=True, slots=True, kw_only=True)
class Recess:
    """One connected flat floor at `depth` below the cut face.

    Recesses of a panel never overlap: equal depths were united, the deeper was cut out of the shallower. Where the
    region's boundary lies on the panel's outline (grooves that run out, rabbets), `open_region` is the region grown
    over the rim by the run-out, for the tool to clear; `region` stays inside the outline.
    """

    name: str
    kind: RecessKind
    region: Region
    open_region: Region
    depth: float
    tool: str | None
    place: Place
    lines: Lines = "round"


@dataclass(frozen=True, slots=True, kw_only=True)
class Hole:
    """A round hole; `depth` None goes right through; `top` is the depth of the recess floor it starts from."""

    name: str
    centre: Point
    diameter: float
    depth: float | None
    top: float
    tool: str | None
    place: Place


@dataclass(frozen=True, slots=True, kw_only=True)
class Mark:
    """Single-stroke lettering, as paths; `mirrored_strokes` are those of mirrored copies, so that they read too."""

    name: str
    strokes: tuple[Path, ...]
    mirrored_strokes: tuple[Path, ...]
    depth: float
    tool: str | None
    place: Place


@dataclass(frozen=True, slots=True, kw_only=True)
class GrilleReport:
    """How open a grille is: `open_share` of its boundary's area, cells counted whole."""

    name: str
    cells: int
    open_area: float
    open_share: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Panel:
    """One panel of the job, seen from its show face, lower left of its outline at the origin."""

    index: int
    name: str
    stock: Stock
    face: Face
    copies: int
    mirrored: int
    turn: Turn | tuple[float, ...]
    outline: Contour
    openings: tuple[Opening, ...]
    recesses: tuple[Recess, ...]
    holes: tuple[Hole, ...]
    marks: tuple[Mark, ...]
    grilles: tuple[GrilleReport, ...]
    bench: tuple[str, ...]
    place: Place
    edges: tuple[Edge, ...] = ()
    slots: tuple[RimSlot, ...] = ()
    rims: tuple[DrawnRim, ...] = ()
    machined: tuple[str, ...] = ()
    spared: tuple[Spared, ...] = ()
    drawn_at: Point = _ORIGIN
    """Where the author drew what is the origin here: added to a position before it is told."""
    reverse: "Panel | None" = None
    """What is cut from the other face, that face up, before the panel is turned over."""
    first: bool = False
    """Whether it is cut before the turn, so that its outline stays whole."""
    later: tuple[Contour, ...] = ()
    """Of what is cut before the turn: what goes through after it."""

    @property
    def sides(self) -> tuple["Panel", ...]:
        """What is cut from its own face, then what is cut from the other one; both in the one frame."""
        return (self,) if self.reverse is None else (self, self.reverse)

    @property
    def edge_words(self) -> str:
        """What rims get and who does it: `all edges: round 6 mm on the show face, by the machine`; empty if square."""
        machined = [f"{words}, by the machine" for words in self.machined]
        return "; ".join((*machined, *(f"{words}, at the bench" for words in self.bench)))
