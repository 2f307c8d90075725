"""The whole cabinet as named solids to be turned, taken apart and cut through on a page."""

from dataclasses import dataclass

import numpy as np

from cncpanel.cabinet.cell import Cell
from cncpanel.cabinet.mass import volume_and_middle, weights
from cncpanel.cabinet.scene import Scene
from cncpanel.cabinet.solid import Kind, Solid, panel_solids


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class SolidShown:
    """A solid under its name: what it is, its size in words (mm), kg (None where nobody told), its cells."""

    name: str
    kind: Kind
    size: str
    mass: float | None
    middle: tuple[float, float, float]
    cells: tuple[Cell, ...]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class CabinetView:
    """Everything that takes up room, in the cabinet's frame (x to the visitor's left, y towards them, z up; mm)."""

    title: str
    solids: tuple[SolidShown, ...]


def cabinet_view(scene: Scene) -> CabinetView:
    """All panels, cleats, fittings and loads of the scene, in its order."""
    wood = [weight.mass for weight in weights(scene) if weight.wood]
    masses = [*wood, *(solid.told for solid in (*scene.fitting_solids, *scene.load_solids))]
    sizes = [
        *(_panel_size(scene, solid) for solid in scene.panel_solids),
        *(_times(strip.length, *scene.assembly.cabinet.cleat) for strip in scene.assembly.strips),
        *(_room(solid) for solid in (*scene.fitting_solids, *scene.load_solids)),
    ]
    detailed = panel_solids(scene.assembly, tuple(scene.panels.values()), scene.read, detailed=True)
    solids = (*detailed, *scene.strip_solids, *scene.fitting_solids, *scene.load_solids)
    shown = tuple(map(_shown, solids, sizes, masses))
    return CabinetView(title=scene.read.job.job.name, solids=shown)


def _shown(solid: Solid, size: str, mass: float | None) -> SolidShown:
    _, middle = volume_and_middle(solid.cells)
    return SolidShown(name=solid.label, kind=solid.kind, size=size, mass=mass, middle=middle, cells=solid.cells)


def _panel_size(scene: Scene, solid: Solid) -> str:
    panel = scene.panels[solid.index]
    xmin, ymin, xmax, ymax = panel.outline.bounds
    return _times(xmax - xmin, ymax - ymin, panel.stock.thickness)


def _room(solid: Solid) -> str:
    low = np.min([cell.low for cell in solid.cells], axis=0)
    high = np.max([cell.high for cell in solid.cells], axis=0)
    return f"takes up {_times(*(float(side) for side in high - low))}"


def _times(*sides: float) -> str:
    return " x ".join(f"{round(side, 1):g}" for side in sides)
