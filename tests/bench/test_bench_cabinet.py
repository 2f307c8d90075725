"""Judging a cabinet: against a 3D library's pairwise intersection of the same solids, and against reading the job."""

import re
import time
from collections.abc import Callable
from itertools import combinations, count
from pathlib import Path

import pytest
import trimesh

from cncpanel.cabinet import fit_path, overlap, solid
from cncpanel.cabinet.cell import Cell
from cncpanel.cabinet.derive import read_cabinet
from cncpanel.cabinet.fit import fit_findings
from cncpanel.cabinet.scene import scene
from cncpanel.errors import Gathering
from cncpanel.make.fit_flow import judge
from cncpanel.panel.kept import Kept
from cncpanel.panel.resolve import resolve


def mesh(cells: tuple[Cell, ...]) -> trimesh.Trimesh:
    parts = []
    for cell in cells:
        parts.append(trimesh.Trimesh(cell.points, cell.triangles, process=False))
    return trimesh.boolean.union(parts, engine="manifold") if len(parts) > 1 else parts[0]


@pytest.mark.benchmark(timer=time.process_time)
def test_all_fit_checks_against_the_librarys_pairwise_intersection(fixtures: Path, race: Callable[..., float]) -> None:
    whole = read_cabinet(fixtures / "cabinets" / "millrace.toml")
    panels = resolve(whole.read, Gathering())
    meshes = [mesh(one.cells) for one in scene(whole, panels).solids]

    def pairwise() -> None:
        for first, second in combinations(meshes, 2):
            trimesh.boolean.intersection((first, second), engine="manifold")

    def checks() -> None:
        for remembered in (*vars(solid).values(), *vars(overlap).values(), *vars(fit_path).values()):
            if hasattr(remembered, "cache_clear"):
                remembered.cache_clear()
        fit_findings(scene(whole, panels))

    race("fit checks / pairwise intersection", checks, pairwise, limit=2)


@pytest.fixture
def changing(fixtures: Path, tmp_path: Path) -> Callable[[str], Path]:
    """`changing(line)`: the console's file with that line's last number a little larger from call to call."""
    text = (fixtures / "cabinets" / "millrace.toml").read_text(encoding="utf-8")
    path = tmp_path / "millrace.toml"
    counts = count(1)

    def changed(line: str) -> Path:
        assert text.count(f"\n{line}") == 1
        path.write_text(
            text.replace(line, re.sub(r"(\d+)(\D*)$", rf"\g<1>.{next(counts):04d}\2", line)), encoding="utf-8"
        )
        return path

    return changed


BUTTONS = 'centre = ["middle + 40", 100]'  # a row of three in the deck
WIDTH = "width = 640"  # every panel but four


def reading_to_panels(path: Path) -> None:
    """Read to panels with every cut judged, without which no job is known to be sound."""
    resolve(read_cabinet(path).read, Gathering())


@pytest.mark.benchmark(timer=time.process_time)
@pytest.mark.parametrize("line", [BUTTONS, WIDTH], ids=["buttons", "width"])
def test_a_changed_value_to_a_fresh_verdict_against_reading_the_job(
    line: str, changing: Callable[[str], Path], race: Callable[..., float]
) -> None:
    """As beside an editor (`fit --watch`): from the file to every check of fit, people and place."""
    kept = Kept()
    race(
        f"{line} changed, to a fresh verdict / reading the job",
        lambda: judge(changing(line), kept),
        lambda: reading_to_panels(changing(line)),
        limit=2,
    )


@pytest.mark.benchmark(timer=time.process_time)
def test_moved_buttons_to_a_fresh_verdict_against_the_file_and_its_sizes_alone(
    changing: Callable[[str], Path], race: Callable[..., float]
) -> None:
    """The baseline stops before the panels are resolved: tables, formulas, sizes and joinery."""
    kept = Kept()
    race(
        "moved buttons to a fresh verdict / tables and sizes alone",
        lambda: judge(changing(BUTTONS), kept),
        lambda: read_cabinet(changing(BUTTONS)),
        limit=4,
    )
