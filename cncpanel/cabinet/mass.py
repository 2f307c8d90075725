"""How heavy everything is and where its middle lies: panels and cleats by their solids, fittings and loads as told."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from cncpanel.cabinet.cell import Cell, Floats, crossed
from cncpanel.cabinet.scene import Scene
from cncpanel.cabinet.space import ORIGIN, Vector
from cncpanel.job.density import DENSITY


@dataclass(frozen=True, slots=True, kw_only=True)
class Weight:
    """A mass in kg and its middle; `index` is the panel that it moves with, -1 for what stays."""

    label: str
    mass: float
    middle: Vector
    index: int
    wood: bool = False


@lru_cache(maxsize=512)
def volume_and_middle(cells: tuple[Cell, ...]) -> tuple[float, Vector]:
    """mm3 and the centroid of convex cells that do not overlap, exactly: tetrahedra over the fanned faces."""
    points, middles, corners, begun = [], [], [], 0
    for cell in cells:
        points.append(cell.points)
        middles += [cell.points[0]] * len(cell.triangles)  # a corner of it serves as well as its middle
        corners.append(cell.triangles + begun)
        begun += len(cell.points)
    inside: Floats = np.array(middles)
    a, b, c = (np.concatenate(points)[column] - inside for column in np.concatenate(corners).T)
    parts = np.abs(np.einsum("ij,ij->i", a, crossed(b, c))) / 6
    volume = float(parts.sum())
    x, y, z = (float(value) for value in parts @ (inside + (a + b + c) / 4) / volume)
    return volume, Vector(x, y, z)


def weights(scene: Scene) -> tuple[Weight, ...]:
    """Everything that weighs something."""
    return (*_wood(scene), *_bought(scene), *_loads(scene))


def _wood(scene: Scene) -> Iterator[Weight]:
    for solid in scene.panel_solids:
        stock = scene.panels[solid.index].stock
        volume, middle = volume_and_middle(solid.cells)
        thinner = stock.thickness / stock.thickest
        mass = volume * thinner * 1e-9 * DENSITY[stock.material]
        yield Weight(label=solid.label, mass=mass, middle=middle, index=solid.index, wood=True)
    sides = next(stock for stock in scene.read.job.stock if stock.name == scene.assembly.cabinet.stock)
    for solid in scene.strip_solids:
        volume, middle = volume_and_middle(solid.cells)
        mass = volume * 1e-9 * DENSITY[sides.material]
        yield Weight(label=solid.label, mass=mass, middle=middle, index=-1, wood=True)


def _bought(scene: Scene) -> Iterator[Weight]:
    for one in scene.fitted:
        if not one.part.mass:
            continue
        thickness = scene.panels[one.index].stock.thickest
        depth = max((body.depth + (thickness if body.behind else 0.0) for body in one.part.body), default=thickness) / 2
        for piece in scene.assembly.of_panel(one.index):
            for x, y in one.fitting.at:
                middle = piece.frame.at(x, y, depth)
                yield Weight(label=one.label, mass=one.part.mass, middle=middle, index=one.index)


def _loads(scene: Scene) -> Iterator[Weight]:
    for load in scene.assembly.cabinet.load:
        x, y, z = load.at
        height = load.size[2] / 2 if load.size else 0.0
        yield Weight(label=load.name, mass=load.mass, middle=Vector(x, y, z + height), index=-1)
    for piece in scene.assembly.pieces:
        opens = scene.position(piece.index).opens
        if opens is not None and opens.load:
            xmin, ymin, xmax, ymax = scene.panels[piece.index].outline.bounds
            middle = piece.frame.at((xmin + xmax) / 2, (ymin + ymax) / 2, (opens.slides or 0.0) / 2)
            yield Weight(label=f"load of {piece.label}", mass=opens.load, middle=middle, index=piece.index)


def together(found: Iterable[Weight]) -> tuple[float, Vector]:
    """The whole mass and its middle."""
    mass, moment = 0.0, ORIGIN
    for weight in found:
        mass += weight.mass
        moment = moment.plus(weight.middle.scaled(weight.mass))
    return mass, moment.scaled(1 / mass)
