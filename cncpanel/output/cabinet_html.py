"""The whole cabinet as one HTML page to turn, take apart and cut through: nothing fetched, run by the browser alone."""

from typing import Any

import numpy as np

from cncpanel.drawing.cabinet_view import CabinetView, SolidShown
from cncpanel.output.lone_page import lone_page
from cncpanel.output.packed import microns, packed

SCRIPTS = ("proof/unpack", "cabinet/solids", "cabinet/raster", "cabinet/picture", "cabinet/page")  # in this order


def cabinet_page(view: CabinetView) -> str:
    """The page."""
    return lone_page("cabinet/cabinet.html", view.title, _data(view), style="cabinet/cabinet.css", scripts=SCRIPTS)


def _data(view: CabinetView) -> dict[str, Any]:
    """Solids by name; all their cells' corners in a row, one end of a cell after the other."""
    cells = [cell for solid in view.solids for cell in solid.cells]
    points = np.concatenate([cell.points for cell in cells]) if cells else np.empty((0, 3))
    return {
        "solids": [_solid(solid) for solid in view.solids],
        "corners": packed([len(cell.points) // 2 for cell in cells], "u2"),
        "x": microns(points[:, 0]),
        "y": microns(points[:, 1]),
        "z": microns(points[:, 2]),
    }


def _solid(solid: SolidShown) -> dict[str, Any]:
    return {
        "name": solid.name,
        "kind": solid.kind,
        "size": solid.size,
        "mass": None if solid.mass is None else round(solid.mass, 3),
        "middle": [round(value, 3) for value in solid.middle],
        "cells": len(solid.cells),
    }
