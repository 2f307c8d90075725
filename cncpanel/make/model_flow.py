"""The whole cabinet as a file for whoever looks or draws further: 3D (glTF, a page), or its side section (DXF)."""

from collections.abc import Iterator
from pathlib import Path

import numpy as np

from cncpanel.cabinet.mass import volume_and_middle
from cncpanel.cabinet.scene import Scene
from cncpanel.cabinet.solid import Kind, Solid
from cncpanel.cabinet.space import Vector
from cncpanel.drawing.cabinet_view import cabinet_view
from cncpanel.drawing.section import section_drawing
from cncpanel.errors import Place, Problem, ProblemsFound
from cncpanel.make.fit_flow import judge
from cncpanel.output.cabinet_html import cabinet_page
from cncpanel.output.dxf import panel_dxf
from cncpanel.output.gltf import Body, glb

COLOURS: dict[Kind, tuple[int, int, int, int]] = {
    "panel": (196, 164, 120, 255),
    "cleat": (150, 112, 70, 255),
    "fitting": (90, 110, 140, 150),
    "load": (120, 140, 110, 150),
}
KINDS = (".glb", ".dxf", ".html")


def model_bytes(job: Path, out: Path, apart: float) -> bytes:
    """The file's content by its kind; raises ProblemsFound. `apart`: times as far from the middle as built."""
    if out.suffix.lower() not in KINDS:
        raise ProblemsFound([Problem(Place(str(out)), "no model is of this kind", ", ".join(KINDS))])
    scene = judge(job).scene
    if out.suffix.lower() == ".dxf":
        return panel_dxf(section_drawing(scene))
    if out.suffix.lower() == ".html":
        return cabinet_page(cabinet_view(scene)).encode()
    return glb(tuple(bodies(scene, apart)))


def bodies(scene: Scene, apart: float) -> Iterator[Body]:
    """Every panel, cleat, fitting and load, moved away from the cabinet's middle by `apart`."""
    middles = [volume_and_middle(solid.cells)[1] for solid in scene.solids]
    count = len(middles)
    middle = Vector(*(sum(values) / count for values in zip(*middles, strict=True)))
    for solid, own in zip(scene.solids, middles, strict=True):
        yield _body(solid, own.minus(middle).scaled(apart - 1.0))


def _body(solid: Solid, by: Vector) -> Body:
    points, triangles, begun = [], [], 0
    for cell in solid.cells:
        points.append(cell.points + np.array(by))
        triangles.append(cell.triangles + begun)
        begun += len(cell.points)
    return Body(
        name=solid.label,
        points=np.concatenate(points),
        triangles=np.concatenate(triangles),
        colour=COLOURS[solid.kind],
    )
