"""Solids that lie in each other."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import lru_cache
from math import inf

import numpy as np

from cncpanel.cabinet.cell import Cell, Floats, box_of, near_pairs, penetration
from cncpanel.cabinet.solid import KEPT, Solid

TOUCH = 0.05  # mm; a tenth of what a router holds: less is touching


@dataclass(frozen=True, slots=True, kw_only=True)
class Overlap:
    """Two solids (by number) that share room: how deep, mm, and about where."""

    first: int
    second: int
    depth: float
    at: tuple[float, float, float]


def overlaps(solids: Sequence[Solid], allowed: Callable[[Solid, Solid], float]) -> list[Overlap]:
    """Every pair that lies in each other by more than TOUCH and what `allowed` says of the two (mm)."""
    wholes = np.array([whole_box(solid) for solid in solids]).reshape(-1, 6)
    found = []
    for i, j in near_pairs(wholes, wholes, TOUCH):
        limit = max(allowed(solids[i], solids[j]), TOUCH) if i < j else inf
        if limit < inf:
            worst = _deepest(solids[i], solids[j])
            if worst is not None and worst[0] > limit:
                found.append(Overlap(first=i, second=j, depth=worst[0], at=worst[1]))
    return found


def gap(one: Solid, other: Solid) -> float:
    """How far apart the two are along the direction that parts them best, mm; 0 where they touch or overlap."""
    return min(max(-penetration(a, b), 0.0) for a in one.cells for b in other.cells)


@dataclass(frozen=True, slots=True, eq=False)
class Crowd:
    """Many solids' cells in one row, with their boxes, to look at again and again."""

    cells: tuple[Cell, ...]
    owners: tuple[Solid, ...]
    boxes: Floats


def crowd(solids: Sequence[Solid]) -> Crowd:
    """The solids ready to be met."""
    cells = tuple(cell for solid in solids for cell in solid.cells)
    boxes = np.concatenate([boxes_of(solid) for solid in solids]) if solids else box_of(())
    return Crowd(cells, tuple(solid for solid in solids for _ in solid.cells), boxes)


def deepest_in(cells: Sequence[Cell], others: Crowd) -> tuple[float, Solid] | None:
    """The solid that the cells lie deepest in, and how deep; None where they are clear of all."""
    worst: tuple[float, Solid] | None = None
    for i, j in near_pairs(box_of(cells), others.boxes, TOUCH):
        depth = penetration(cells[i], others.cells[j])
        if depth > (worst[0] if worst else TOUCH):
            worst = depth, others.owners[j]
    return worst


@lru_cache(maxsize=KEPT)
def boxes_of(solid: Solid) -> Floats:
    """Its cells' boxes, a row each."""
    return box_of(solid.cells)


@lru_cache(maxsize=KEPT)
def whole_box(solid: Solid) -> tuple[float, ...]:
    """Low x, y, z, high x, y, z of all of it."""
    boxes = boxes_of(solid)
    return (*boxes[:, :3].min(axis=0).tolist(), *boxes[:, 3:].max(axis=0).tolist())


@lru_cache(maxsize=8 * KEPT)
def _deepest(one: Solid, other: Solid) -> tuple[float, tuple[float, float, float]] | None:
    """How deep the two lie in each other where it is deepest, and about where."""
    first, second, first_boxes, second_boxes = one.cells, other.cells, boxes_of(one), boxes_of(other)
    worst = None
    for i, j in near_pairs(first_boxes, second_boxes, TOUCH):
        depth = penetration(first[i], second[j])
        if depth > (worst[0] if worst else 0.0):
            low = np.maximum(first_boxes[i, :3], second_boxes[j, :3])
            x, y, z = (float(v) for v in (low + np.minimum(first_boxes[i, 3:], second_boxes[j, 3:])) / 2)
            worst = depth, (x, y, z)
    return worst
