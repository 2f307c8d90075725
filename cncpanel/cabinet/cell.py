"""Convex pieces of solids, and how deep two of them lie in each other: the separating-axis test."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property, lru_cache
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from cncpanel.cabinet.space import Frame, Vector

Floats = NDArray[np.float64]
Numbers = NDArray[np.int64]
FLAT = 1e-9  # the square of the sine below which two edges are parallel


@dataclass(frozen=True, eq=False)
class Cell:
    """A convex prism or wedge: rows x, y, z of the corners of one end, then, in the same order, of the other."""

    points: Floats

    @cached_property
    def low(self) -> Floats:
        """The least x, y and z."""
        lowest: Floats = self.points.min(axis=0)
        return lowest

    @cached_property
    def high(self) -> Floats:
        """The greatest x, y and z."""
        highest: Floats = self.points.max(axis=0)
        return highest

    @property
    def faces(self) -> tuple[tuple[int, ...], ...]:
        """The faces' corners by number, counter-clockwise as seen from outside: both ends, then round them."""
        return _faces(len(self.points) // 2)

    @property
    def triangles(self) -> Numbers:
        """The faces as triangles, rows of corners' numbers, fanned from each face's first corner."""
        return _triangles(len(self.points) // 2)

    @cached_property
    def directions(self) -> tuple[Floats, Floats]:
        """The faces' normals and the edges' directions, as unit vectors."""
        half = len(self.points) // 2
        above = self.points[:half]
        along = np.concatenate((above[1:], above[:1])) - above
        down = self.points[half:] - above
        normals = np.concatenate((crossed(along, down), crossed(along[:1], along[1:2])))
        return _units(normals), _distinct(_units(np.concatenate((along, down))))

    def moved(self, by: Vector) -> "Cell":
        """The same cell elsewhere."""
        other = Cell(self.points + np.array(by))
        other.__dict__["directions"] = self.directions  # cached_property's own place
        return other

    def turned(self, axis: Vector, about: Vector, angle: float) -> "Cell":
        """Turned by `angle` (radians, right-handed) about the axis (a unit vector) through a point."""
        centre = np.array(about)
        return Cell((self.points - centre) @ rotation(axis, angle).T + centre)


@lru_cache
def _faces(half: int) -> tuple[tuple[int, ...], ...]:
    above = tuple(range(half))
    below = tuple(range(2 * half - 1, half - 1, -1))
    return (above, below, *((n, n + half, (n + 1) % half + half, (n + 1) % half) for n in range(half)))


@lru_cache
def _triangles(half: int) -> Numbers:
    return np.array([(face[0], a, b) for face in _faces(half) for a, b in pairwise(face[1:])])


def rotation(axis: Vector, angle: float) -> Floats:
    """The matrix that turns by `angle` about a unit vector (Rodrigues)."""
    x, y, z = axis
    cross = np.array([[0.0, -z, y], [z, 0.0, -x], [-y, x, 0.0]])
    matrix: Floats = np.eye(3) + np.sin(angle) * cross + (1 - np.cos(angle)) * cross @ cross
    return matrix


def prism(frame: Frame, top: Floats, bottom: Floats, depths: tuple[float, float]) -> Cell:
    """The cell between polygon `top` at the first depth below the show face and `bottom` at the second.

    Both are rows x, y in the panel's frame, corner by corner; a bevel makes them differ.
    """
    if frame.along.cross(frame.up).dot(frame.out) < 0:  # a mirrored copy: faces still look outwards
        top, bottom = top[::-1], bottom[::-1]
    half = len(top)
    local = np.empty((2 * half, 3))
    local[:half, :2], local[half:, :2] = top, bottom
    local[:half, 2], local[half:, 2] = -depths[0], -depths[1]
    return Cell(local @ np.array([frame.along, frame.up, frame.out]) + np.array(frame.origin))


def box(frame: Frame, low: tuple[float, float, float], high: tuple[float, float, float]) -> Cell:
    """A box in a panel's frame between two corners (x, y, depth)."""
    ring = np.array([[low[0], low[1]], [high[0], low[1]], [high[0], high[1]], [low[0], high[1]]])
    return prism(frame, ring, ring, (low[2], high[2]))


def drum(frame: Frame, centre: tuple[float, float], diameter: float, depths: tuple[float, float]) -> Cell:
    """A cylinder through the panel's plane, as a prism of 16 sides round it (2 % too wide at its corners)."""
    angles = (np.arange(16) + 0.5) * (np.pi / 8)
    radius = diameter / 2 / np.cos(np.pi / 16)
    ring = np.array(centre) + radius * np.column_stack((np.cos(angles), np.sin(angles)))
    return prism(frame, ring, ring, depths)


def penetration(a: Cell, b: Cell) -> float:
    """How far one must be moved to clear the other, mm; 0 or less where they are clear already."""
    (first_normals, first_edges), (second_normals, second_edges) = a.directions, b.directions
    pairs = crossed(first_edges[:, None, :], second_edges[None, :, :]).reshape(-1, 3)
    lengths = np.einsum("ij,ij->i", pairs, pairs)
    pairs = pairs[lengths > FLAT] / np.sqrt(lengths[lengths > FLAT])[:, None]
    axes = np.concatenate((first_normals, second_normals, pairs)).T
    first, second = a.points @ axes, b.points @ axes
    overlap = np.minimum(first.max(axis=0) - second.min(axis=0), second.max(axis=0) - first.min(axis=0))
    return float(overlap.min())


def crossed(a: Floats, b: Floats) -> Floats:
    """Vector products along the last axis; numpy's own takes ten times as long on a few rows."""
    ax, ay, az = a[..., 0], a[..., 1], a[..., 2]
    bx, by, bz = b[..., 0], b[..., 1], b[..., 2]
    found = np.empty(np.broadcast_shapes(a.shape, b.shape))
    found[..., 0], found[..., 1], found[..., 2] = ay * bz - az * by, az * bx - ax * bz, ax * by - ay * bx
    return found


def _units(rows: Floats) -> Floats:
    lengths = np.sqrt(np.einsum("ij,ij->i", rows, rows))
    kept: Floats = rows[lengths > 0] / lengths[lengths > 0][:, None]
    return kept


def _distinct(rows: Floats) -> Floats:
    """Directions without those that only repeat another, either way round."""
    alike = np.abs(rows @ rows.T) > 1 - FLAT
    kept: Floats = rows[~np.any(np.tril(alike, -1), axis=1)]
    return kept


def near_pairs(first: Floats, second: Floats, touch: float) -> list[tuple[int, int]]:
    """Numbers of the boxes (rows: low x, y, z, high x, y, z) that share more than `touch` mm in every direction."""
    shared = np.minimum(first[:, None, 3:], second[None, :, 3:]) - np.maximum(first[:, None, :3], second[None, :, :3])
    return [(int(i), int(j)) for i, j in np.argwhere(np.all(shared > touch, axis=2))]


def box_of(cells: Sequence[Cell]) -> Floats:
    """The cells' boxes, a row each: low x, y, z, high x, y, z."""
    return np.array([(*cell.low, *cell.high) for cell in cells]).reshape(-1, 6)
