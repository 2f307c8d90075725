"""Solids that lie in each other."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from math import inf

import numpy as np

from cncpanel.cabinet.cell import Cell, Floats, box_of, near_pairs, penetration
from cncpanel.cabinet.solid import Solid

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
    boxes = [box_of(solid.cells) for solid in solids]
    wholes = np.array([np.concatenate((b[:, :3].min(axis=0), b[:, 3:].max(axis=0))) for b in boxes]).reshape(-1, 6)
    found = []
    for i, j in near_pairs(wholes, wholes, TOUCH):
        limit = max(allowed(solids[i], solids[j]), TOUCH) if i < j else inf
        if limit < inf:
            worst = _deepest(solids[i].cells, boxes[i], solids[j].cells, boxes[j])
            if worst is not None and worst[0] > limit:
                found.append(Overlap(first=i, second=j, depth=worst[0], at=worst[1]))
    return found


@dataclass(frozen=True, slots=True, eq=False)
class Crowd:
    """Many solids' cells in one row, with their boxes, to look at again and again."""

    cells: tuple[Cell, ...]
    owners: tuple[Solid, ...]
    boxes: Floats


def crowd(solids: Sequence[Solid]) -> Crowd:
    """The solids ready to be met."""
    cells = tuple(cell for solid in solids for cell in solid.cells)
    return Crowd(cells, tuple(solid for solid in solids for _ in solid.cells), box_of(cells))


def deepest_in(cells: Sequence[Cell], others: Crowd) -> tuple[float, Solid] | None:
    """The solid that the cells lie deepest in, and how deep; None where they are clear of all."""
    worst: tuple[float, Solid] | None = None
    for i, j in near_pairs(box_of(cells), others.boxes, TOUCH):
        depth = penetration(cells[i], others.cells[j])
        if depth > (worst[0] if worst else TOUCH):
            worst = depth, others.owners[j]
    return worst


def _deepest(
    first: Sequence[Cell], first_boxes: Floats, second: Sequence[Cell], second_boxes: Floats
) -> tuple[float, tuple[float, float, float]] | None:
    """How deep the two lie in each other where it is deepest, and about where."""
    worst = None
    for i, j in near_pairs(first_boxes, second_boxes, TOUCH):
        depth = penetration(first[i], second[j])
        if depth > (worst[0] if worst else 0.0):
            low = np.maximum(first_boxes[i, :3], second_boxes[j, :3])
            x, y, z = (float(v) for v in (low + np.minimum(first_boxes[i, 3:], second_boxes[j, 3:])) / 2)
            worst = depth, (x, y, z)
    return worst
