"""Everything that takes up room in a cabinet, worked out once for all checks."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import lru_cache

from cncpanel.cabinet.cell import box
from cncpanel.cabinet.derive import Whole
from cncpanel.cabinet.fitted import Fitted, body_cell
from cncpanel.cabinet.part import Part
from cncpanel.cabinet.piece import Assembly, Piece
from cncpanel.cabinet.solid import KEPT, Solid, panel_solids, strip_solid
from cncpanel.cabinet.space import Frame, Vector
from cncpanel.errors import Place
from cncpanel.job.cabinet import Position
from cncpanel.job.read import ReadJob
from cncpanel.panel.panel import Panel

Triple = tuple[float, float, float]
WORLD = Frame(
    origin=Vector(0.0, 0.0, 0.0), along=Vector(1.0, 0.0, 0.0), up=Vector(0.0, 1.0, 0.0), out=Vector(0.0, 0.0, -1.0)
)
"""The cabinet's own axes as a frame: a depth below its show face is a height."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Scene:
    """The job with its assembly, resolved panels by index, and what takes up room."""

    read: ReadJob
    assembly: Assembly
    fitted: tuple[Fitted, ...]
    panels: Mapping[int, Panel]
    panel_solids: tuple[Solid, ...]
    strip_solids: tuple[Solid, ...]
    fitting_solids: tuple[Solid, ...]
    load_solids: tuple[Solid, ...]

    @property
    def solids(self) -> tuple[Solid, ...]:
        """All of them."""
        return (*self.panel_solids, *self.strip_solids, *self.fitting_solids, *self.load_solids)

    def name(self, index: int) -> str:
        """The panel's name."""
        return self.read.job.panel[index].name

    def position(self, index: int) -> Position:
        """Where the panel stands."""
        position = self.read.job.panel[index].position
        assert position is not None
        return position

    def place(self, index: int, *keys: str | int) -> Place:
        """The panel's position in the job file, or a key of it."""
        return self.read.file.place(("panel", index, "position", *keys))

    @property
    def ground(self) -> float:
        """How far below the sides' lower edge it stands: on the floor, or right there on a table or a wall."""
        return self.assembly.cabinet.floor if self.assembly.cabinet.site.use in ("standing", "seated") else 0.0

    def in_detail(self, solid: Solid) -> Solid:
        """The same with its small openings and holes."""
        if solid.kind != "panel":
            return solid
        found = panel_solids(self.assembly, (self.panels[solid.index],), self.read, detailed=True)
        return next(one for one in found if one.label == solid.label)

    @property
    def sides(self) -> tuple[Piece, ...]:
        """The cabinet's sides."""
        return tuple(piece for piece in self.assembly.pieces if self.position(piece.index).side is not None)


def scene(whole: Whole, panels: tuple[Panel, ...]) -> Scene:
    """The scene of a job with a cabinet; `panels` as resolved from the derived job."""
    assembly = whole.assembly
    assert assembly is not None
    by_index = {panel.index: panel for panel in panels}
    return Scene(
        read=whole.read,
        assembly=assembly,
        fitted=whole.fitted,
        panels=by_index,
        panel_solids=panel_solids(assembly, panels, whole.read),
        strip_solids=tuple(map(strip_solid, assembly.strips)),
        fitting_solids=tuple(_fittings(whole.fitted, assembly, by_index)),
        load_solids=tuple(_loads(assembly)),
    )


def _fittings(found: tuple[Fitted, ...], assembly: Assembly, panels: Mapping[int, Panel]) -> Iterator[Solid]:
    for one in found:
        for piece in assembly.of_panel(one.index):
            thickness = panels[one.index].stock.thickest
            solids = (
                _fitting(one.label, one.part, at, one.fitting.turn_deg, piece, thickness) for at in one.fitting.at
            )
            yield from (solid for solid in solids if solid.cells)


@lru_cache(maxsize=KEPT)
def _fitting(name: str, part: Part, at: tuple[float, float], turn_deg: float, piece: Piece, thickness: float) -> Solid:
    label = f"{name} at ({at[0]:g}, {at[1]:g}) on {piece.label}"
    cells = tuple(body_cell(body, part, at, turn_deg, piece, thickness) for body in part.body)
    return Solid(label=label, kind="fitting", index=piece.index, cells=cells, told=part.mass or None)


def _loads(assembly: Assembly) -> Iterator[Solid]:
    for load in assembly.cabinet.load:
        if load.size is not None:
            yield _load(load.name, load.mass, load.at, load.size)


@lru_cache(maxsize=KEPT)
def _load(name: str, mass: float, at: Triple, size: Triple) -> Solid:
    low = (at[0] - size[0] / 2, at[1] - size[1] / 2, at[2])
    high = (low[0] + size[0], low[1] + size[1], low[2] + size[2])
    return Solid(label=name, kind="load", index=-1, cells=(box(WORLD, low, high),), told=mass)
