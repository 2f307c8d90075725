"""The picture of a proof as one HTML file: everything in it, nothing fetched, run by the browser alone."""

from collections.abc import Sequence
from dataclasses import asdict
from typing import Any

import numpy as np

from cncpanel.drawing.proof_picture import DepthMap, Outline, ProgramPicture, ProofPicture, SheetPicture, Step, Track
from cncpanel.output.lone_page import lone_page
from cncpanel.output.packed import Packed, deflated, microns, packed

HUNDREDTHS = 100  # depths of a map are told in whole hundredths of a mm
SCRIPTS = (
    "unpack",
    "unit",
    "route",
    "view",
    "strokes",
    "colours",
    "board",
    "tape",
    "text",
    "relief",
    "page",
)  # in this order


def proof_page(picture: ProofPicture) -> str:
    """The page."""
    data = {"title": picture.title, "sheets": [_sheet(sheet) for sheet in picture.sheets]}
    scripts = [f"proof/{name}" for name in SCRIPTS]
    return lone_page("proof/picture.html", picture.title, data, style="proof/picture.css", scripts=scripts)


def _sheet(sheet: SheetPicture) -> dict[str, Any]:
    return {
        "name": sheet.name,
        "size": sheet.size,
        "corner": sheet.corner,
        "thickness": sheet.thickness,
        "top": sheet.top,
        "inches": sheet.inches,
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
