"""The whole cabinet as one HTML page to turn, take apart and cut through: nothing fetched, run by the browser alone."""

import json
from importlib.resources import files
from typing import Any

import numpy as np
from jinja2 import Environment, PackageLoader, StrictUndefined, select_autoescape
from markupsafe import Markup

from cncpanel.drawing.cabinet_view import CabinetView, SolidShown
from cncpanel.output.packed import microns, packed

SCRIPTS = ("proof/unpack", "cabinet/solids", "cabinet/raster", "cabinet/picture", "cabinet/page")  # in this order


def cabinet_page(view: CabinetView) -> str:
    """The page. Its data stand in it as JSON, so that no text of a job is ever read as markup."""
    environment = Environment(
        loader=PackageLoader("cncpanel.output", "pages"),
        autoescape=select_autoescape(default=True),
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    data = json.dumps(_data(view))
    return environment.get_template("cabinet/cabinet.html").render(
        title=view.title,
        style=_source("cabinet/cabinet.css"),
        script=Markup("\n").join(_source(f"{name}.js") for name in SCRIPTS),
        data=Markup(data.replace("<", "\\u003c")),
    )


def _source(name: str) -> Markup:
    return Markup(files("cncpanel.output").joinpath("pages", *name.split("/")).read_text(encoding="utf-8"))


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
