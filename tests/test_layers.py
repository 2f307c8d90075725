"""Imports point down only, the witness keeps to its allow-list, third-party libraries have their doors."""

import ast
from pathlib import Path

import pytest

PACKAGE = Path(__file__).resolve().parent.parent / "cncpanel"
LAYERS = (
    "errors",
    "units",
    "geometry",
    "machine",
    "job",
    "store",
    "panel",
    "cabinet",
    "tooling",
    "operation",
    "layout",
    "passes",
    "sequence",
    "proof",
    "wanted",
    "drawing",
    "output",
    "make",
    "cli",
)
PLAIN = tuple(f"cncpanel.geometry.{name}" for name in ("point", "segment", "contour", "tolerance"))
ALLOWED = {
    "proof": ("cncpanel.machine", "cncpanel.errors", "cncpanel.units", "cncpanel.proof", *PLAIN),
    "wanted": (
        "cncpanel.wanted",
        "cncpanel.job",
        "cncpanel.proof",
        "cncpanel.machine",
        "cncpanel.errors",
        "cncpanel.units",
        *PLAIN,
    ),
}
DOORS = {
    "pyclipper": ("geometry/offset.py",),
    "ezdxf": ("job/dxf", "output/dxf.py"),
    "reportlab": ("output/pdf",),
    "distributed": ("make/cluster.py",),
    "numba": ("proof/fast.py",),
    "shapely": ("geometry/", "layout/", "wanted", "proof/"),
    "trimesh": ("output/gltf.py",),
    "spyrrow": ("layout/strip_solver.py",),
}
SOURCES = sorted(PACKAGE.rglob("*.py"))


def layer(path: Path) -> str:
    return path.relative_to(PACKAGE).parts[0].removesuffix(".py")


def imported(path: Path) -> list[str]:
    names = []
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            names += [alias.name for alias in node.names]
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{path}: a relative import hides its layer"
            names += [f"{node.module}.{alias.name}" for alias in node.names]
    return names


def own(names: list[str]) -> list[str]:
    return [name for name in names if name.startswith("cncpanel.")]


def test_there_are_sources_and_every_one_belongs_to_a_layer() -> None:
    assert len(SOURCES) > 40
    strange = {layer(p) for p in SOURCES} - set(LAYERS) - {"__init__", "__main__"}
    assert strange == set()


@pytest.mark.parametrize("path", SOURCES, ids=lambda p: str(p.relative_to(PACKAGE)))
def test_imports_point_down(path: Path) -> None:
    if layer(path) not in LAYERS:
        return
    rank = LAYERS.index(layer(path))
    upward = [
        name for name in own(imported(path)) if name.split(".")[1] in LAYERS and LAYERS.index(name.split(".")[1]) > rank
    ]
    assert upward == []


@pytest.mark.parametrize("path", [p for p in SOURCES if layer(p) in ALLOWED], ids=lambda p: p.name)
def test_the_witness_imports_only_what_its_list_allows(path: Path) -> None:
    allowed = ALLOWED[layer(path)]
    assert [n for n in own(imported(path)) if not n.startswith(allowed)] == []


@pytest.mark.parametrize("library", DOORS)
def test_a_library_is_imported_only_at_its_doors(library: str) -> None:
    users = [str(p.relative_to(PACKAGE)) for p in SOURCES if any(n.split(".")[0] == library for n in imported(p))]
    assert [u for u in users if not u.startswith(DOORS[library])] == []
