"""Judging a cabinet: against a 3D library's pairwise intersection of the same solids, and against reading the job."""

import time
from collections.abc import Callable
from itertools import combinations, pairwise
from pathlib import Path

import numpy as np
import pytest
import trimesh

from cncpanel.cabinet.cell import Cell
from cncpanel.cabinet.derive import Whole, read_cabinet
from cncpanel.cabinet.fit import fit_findings
from cncpanel.cabinet.scene import scene
from cncpanel.errors import Gathering
from cncpanel.panel.panel import Panel
from cncpanel.panel.resolve import resolve


def mesh(cells: tuple[Cell, ...]) -> trimesh.Trimesh:
    parts = []
    for cell in cells:
        faces = [(f[0], a, b) for f in cell.faces for a, b in pairwise(f[1:])]
        parts.append(trimesh.Trimesh(cell.points, np.array(faces), process=False))
    return trimesh.boolean.union(parts, engine="manifold") if len(parts) > 1 else parts[0]


@pytest.mark.benchmark(timer=time.process_time)
def test_all_fit_checks_against_the_librarys_pairwise_intersection(fixtures: Path, race: Callable[..., float]) -> None:
    whole = read_cabinet(fixtures / "cabinets" / "millrace.toml")
    panels = resolve(whole.read, Gathering())
    meshes = [mesh(solid.cells) for solid in scene(whole, panels).solids]

    def pairwise() -> None:
        for first, second in combinations(meshes, 2):
            trimesh.boolean.intersection((first, second), engine="manifold")

    race("fit checks / pairwise intersection", lambda: fit_findings(scene(whole, panels)), pairwise, limit=2)


@pytest.mark.benchmark(timer=time.process_time)
def test_a_changed_value_to_a_fresh_verdict_against_reading_the_job(fixtures: Path, race: Callable[..., float]) -> None:
    """Reading: file to resolved panels, without which no job is known to be sound."""
    path = fixtures / "cabinets" / "millrace.toml"

    def reading() -> tuple[Whole, tuple[Panel, ...]]:
        whole = read_cabinet(path)
        return whole, resolve(whole.read, Gathering())

    race("change to fresh verdict / reading the job", lambda: fit_findings(scene(*reading())), reading, limit=2)
