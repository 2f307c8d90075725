"""Overlaps and centres of mass against a general-purpose 3D library (manifold3d; trimesh for masses)."""

from itertools import combinations, pairwise
from pathlib import Path

import manifold3d
import numpy as np
import pytest
import trimesh
from hypothesis import assume, given
from hypothesis import strategies as st

from cncpanel.cabinet.cell import Cell, penetration, prism
from cncpanel.cabinet.derive import read_cabinet
from cncpanel.cabinet.mass import volume_and_middle
from cncpanel.cabinet.overlap import overlaps
from cncpanel.cabinet.scene import Scene, scene
from cncpanel.cabinet.solid import Solid
from cncpanel.cabinet.space import Frame, Vector
from cncpanel.errors import Gathering
from cncpanel.panel.resolve import resolve


def triangles(cell: Cell) -> np.ndarray:
    return np.array([(f[0], a, b) for f in cell.faces for a, b in pairwise(f[1:])], dtype=np.uint32)


def manifold(cells: tuple[Cell, ...]) -> manifold3d.Manifold:
    parts = [manifold3d.Manifold(manifold3d.Mesh64(c.points, triangles(c).astype(np.uint64))) for c in cells]
    return manifold3d.Manifold.batch_boolean(parts, manifold3d.OpType.Add)


@pytest.fixture(scope="module")
def millrace(fixtures: Path) -> Scene:
    whole = read_cabinet(fixtures / "cabinets" / "millrace.toml")
    return scene(whole, resolve(whole.read, Gathering()))


def test_the_library_finds_no_overlap_in_millrace_either(millrace: Scene) -> None:
    solids = (*millrace.panel_solids, *millrace.strip_solids)
    shapes = [manifold(solid.cells) for solid in solids]
    shared = {
        (solids[i].label, solids[j].label): volume
        for i, j in combinations(range(len(solids)), 2)
        if (volume := (shapes[i] ^ shapes[j]).volume()) > 1.0
    }
    assert {name for pair in shared for name in pair} <= {"side (left)", "side (right)", "bottom", "shelf"}
    assert all(volume < 6 * 0.2 * 2 for volume in shared.values())  # corners in round ends, within the housing's play


def test_masses_and_middles_are_the_librarys(millrace: Scene) -> None:
    for solid in millrace.panel_solids:
        mesh = trimesh.util.concatenate([trimesh.Trimesh(c.points, triangles(c), process=False) for c in solid.cells])
        volume, middle = volume_and_middle(solid.cells)
        assert volume == pytest.approx(mesh.volume, rel=1e-9), solid.label
        assert tuple(middle) == pytest.approx(tuple(mesh.center_mass), abs=1e-6), solid.label


BOARD = np.array([[0.0, 0.0], [300.0, 0.0], [300.0, 200.0], [0.0, 200.0]])


@st.composite
def boards(draw: st.DrawFn) -> Cell:
    """A board 300 x 200 x 18, somewhere, turned any way."""
    numbers = st.floats(-1, 1)
    first = Vector(draw(numbers), draw(numbers), draw(numbers))
    second = Vector(draw(numbers), draw(numbers), draw(numbers))
    assume(first.norm > 0.1 and first.cross(second).norm > 0.1)
    along = first.scaled(1 / first.norm)
    out = along.cross(second).scaled(1 / along.cross(second).norm)
    at = st.floats(-200, 200)
    origin = Vector(draw(at), draw(at), draw(at))
    return prism(Frame(origin=origin, along=along, up=out.cross(along), out=out), BOARD, BOARD, (0.0, 18.0))


@given(boards(), boards())
def test_two_boards_anyhow_overlap_just_where_the_library_says(first: Cell, second: Cell) -> None:
    depth = penetration(first, second)
    shared = (manifold((first,)) ^ manifold((second,))).volume()
    if depth > 0.01:
        assert shared > 0
    if depth < -1e-6:
        assert shared == pytest.approx(0, abs=1e-6)


@pytest.mark.parametrize("name", ["lower front", "screen bezel", "shelf", "drawer carrier"])
@pytest.mark.parametrize("by", [(3.0, 0.0), (-3.0, 1.0), (0.0, -2.0), (0.4, 0.4), (1.0, -4.0)])
def test_a_moved_panel_is_found_where_the_library_finds_it(millrace: Scene, name: str, by: tuple[float, float]) -> None:
    """Nothing that is less than 0.05 deep is told, and no shift here is that small."""
    solids = millrace.panel_solids
    number = next(n for n, solid in enumerate(solids) if solid.label == name)
    moved = tuple(cell.moved(Vector(0.0, *by)) for cell in solids[number].cells)
    there = Solid(label=name, kind="panel", index=solids[number].index, cells=moved)
    others = [solid for n, solid in enumerate(solids) if n != number]
    found = overlaps([there, *others], lambda a, b: 0.0 if a is there or b is there else float("inf"))
    told = {others[one.second - 1].label for one in found if one.first == 0}
    shape = manifold(moved)
    assert told == {other.label for other in others if (shape ^ manifold(other.cells)).volume() > 1.0}
