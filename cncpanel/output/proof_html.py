"""The picture of a proof as one HTML file: everything in it, nothing fetched, run by the browser alone."""

import json
from collections.abc import Sequence
from dataclasses import asdict
from importlib.resources import files
from typing import Any

import numpy as np
from jinja2 import Environment, PackageLoader, StrictUndefined, select_autoescape
from markupsafe import Markup

from cncpanel.drawing.proof_picture import DepthMap, Outline, ProgramPicture, ProofPicture, SheetPicture, Step, Track
from cncpanel.output.packed import Packed, deflated, microns, packed

HUNDREDTHS = 100  # depths of a map are told in whole hundredths of a mm
SCRIPTS = ("unpack", "route", "view", "strokes", "colours", "board", "tape", "text", "relief", "page")  # in this order


def proof_page(picture: ProofPicture) -> str:
    """The page. Its data stand in it as JSON, so that no text of a job is ever read as markup."""
    environment = Environment(
        loader=PackageLoader("cncpanel.output", "pages"),
        autoescape=select_autoescape(default=True),
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    data = json.dumps({"title": picture.title, "sheets": [_sheet(sheet) for sheet in picture.sheets]})
    return environment.get_template("proof/picture.html").render(
        title=picture.title,
        style=_source("picture.css"),
        script=Markup("\n").join(_source(f"{name}.js") for name in SCRIPTS),
        data=Markup(data.replace("<", "\\u003c")),
    )


def _source(name: str) -> Markup:
    text = files("cncpanel.output").joinpath("pages", "proof", name).read_text(encoding="utf-8")
    return Markup(text)


def _sheet(sheet: SheetPicture) -> dict[str, Any]:
    return {
        "name": sheet.name,
        "size": sheet.size,
        "corner": sheet.corner,
        "thickness": sheet.thickness,
        "top": sheet.top,
        "verdict": sheet.verdict,
        "findings": [asdict(finding) for finding in sheet.findings],
        "dropped": sheet.dropped,
        "tools": [asdict(tool) for tool in sheet.tools],
        "programs": [_program(program) for program in sheet.programs],
        "outlines": _outlines(sheet.outlines),
        "depth": _map(sheet.depth),
        "excess": None if sheet.excess is None else _map(sheet.excess),
    }


def _program(program: ProgramPicture) -> dict[str, Any]:
    return {
        "name": program.name,
        "text": deflated("\n".join(program.lines).encode()),
        "track": _track(program.track),
    }


def _track(track: Track) -> dict[str, Packed]:
    arcs = track.step == Step.ARC
    return {
        "x": microns(track.x),
        "y": microns(track.y),
        "z": microns(track.z),
        "step": packed(track.step, "u1"),
        "tool": packed(track.tool, "u1"),
        "line": packed(track.line, "i4", running=True),
        "feed": packed(track.feed, "f4"),
        "rpm": packed(track.rpm, "f4"),
        "seconds": packed(track.seconds, "f4"),
        "centreX": microns(track.centre_x[arcs]),
        "centreY": microns(track.centre_y[arcs]),
        "sweep": packed(track.sweep[arcs], "f4"),
    }


def _outlines(outlines: Sequence[Outline]) -> dict[str, Any]:
    points = np.array([point for outline in outlines for point in outline.points]).reshape(-1, 2)
    return {
        "rings": [[outline.kind, outline.name, len(outline.points)] for outline in outlines],
        "x": microns(points[:, 0]),
        "y": microns(points[:, 1]),
    }


def _map(depths: DepthMap) -> dict[str, Any]:
    rows, columns = depths.depth.shape
    return {
        "rows": rows,
        "columns": columns,
        "cell": depths.cell,
        "origin": depths.origin,
        "depth": packed(depths.depth * HUNDREDTHS, "i2"),
    }
