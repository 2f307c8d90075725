"""The one writer of glTF files: solids in space, each under its own name; metres, y up, as the format asks."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import trimesh
from numpy.typing import NDArray

METRE = 1000.0  # mm
_UPRIGHT = np.array([[-1.0, 0.0, 0.0, 0.0], [0.0, 0.0, 1.0, 0.0], [0.0, 1.0, 0.0, 0.0], [0.0, 0.0, 0.0, 1.0]])
"""From x to the visitor's left, y towards the visitor, z up to x to the right, y up, z towards the viewer."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Body:
    """A named solid: corners (rows x, y, z, mm), triangles by number, colour (red, green, blue, opacity; 0-255)."""

    name: str
    points: NDArray[np.float64]
    triangles: NDArray[np.int64]
    colour: tuple[int, int, int, int]


def glb(bodies: Sequence[Body]) -> bytes:
    """One binary file that holds everything."""
    scene = trimesh.Scene()
    for body in bodies:
        mesh = trimesh.Trimesh(body.points / METRE, body.triangles, process=False)
        material = trimesh.visual.material.PBRMaterial(
            name=body.name,
            baseColorFactor=body.colour,
            roughnessFactor=0.9,
            metallicFactor=0.0,
            doubleSided=True,
            alphaMode="BLEND" if body.colour[3] < 255 else "OPAQUE",
        )
        mesh.visual = trimesh.visual.TextureVisuals(material=material)
        scene.add_geometry(mesh, node_name=body.name, geom_name=body.name)
    scene.apply_transform(_UPRIGHT)
    written = scene.export(file_type="glb")
    assert isinstance(written, bytes)
    return written
