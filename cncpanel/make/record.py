"""`job.json`: everything that was made, as data, so that another program can check or go on from it."""

import hashlib
from collections.abc import Iterable, Mapping
from math import isfinite
from typing import Any

from cncpanel.job.read import Order
from cncpanel.layout.layout import Part
from cncpanel.machine.tool import Tool
from cncpanel.make.flow import Made
from cncpanel.make.head_data import head_data
from cncpanel.make.load_data import load_data
from cncpanel.make.packing_data import packing_data
from cncpanel.make.saw_data import saw_data
from cncpanel.make.sheet_id import sheet_id
from cncpanel.make.sheet_set import SheetSet, Written
from cncpanel.operation.operation import EdgeCut, PanelPlan, SlotCut
from cncpanel.passes.run import CutUsed, SheetRuns, Tab
from cncpanel.proof.clock import Duration, Stretch
from cncpanel.proof.finding import Finding
from cncpanel.proof.report import Report

Data = dict[str, Any]


def record(made: Made, contents: Mapping[str, bytes], files: Iterable[str]) -> Data:
    """The whole record; `contents` are the files already made (for their SHA-256), `files` all that will be."""
    return {
        **head_data(made.read.job.job),
        "jobs": [_order(made, order) for order in made.read.orders],
        "machine": {"name": made.machine.name, "title": made.machine.title},
        "units": "mm",
        "verdict": "pass" if made.passed else "fail",
        "warnings": [str(warning) for warning in made.gathering.warnings],
        "panels": [_panel(plan) for plan in made.plans],
        "gap": made.layout.gap,
        "layout": packing_data(made.layout, made.panels, made.left),
        "offcut_store": str(made.rack.path.resolve()) if made.rack else None,
        "sheets": [
            {**_sheet(sheet, contents, turned=made.machine.sheet_turned), **_rack(made, sheet)} for sheet in made.sheets
        ],
        "saw": saw_data(made.saw) if made.saw else None,
        "files": sorted(files),
    }


def _order(made: Made, order: Order) -> Data:
    """One of the jobs that were made together."""
    names = [panel.name for panel in made.panels[order.first : order.first + order.count]]
    head = order.head
    return {
        "name": head.name,
        "revision": head.revision,
        "date": head.date,
        "file": order.file,
        "sha256": order.sha256,
        "panels": names,
    }


def _panel(plan: PanelPlan) -> Data:
    panel = plan.panel
    left, low, right, high = panel.outline.bounds
    return {
        "name": panel.name,
        "stock": panel.stock.name,
        "size": [round(right - left, 4), round(high - low, 4)],
        "face_up": panel.face,
        "copies": panel.copies,
        "mirrored": panel.mirrored,
        "grilles": [
            {"name": g.name, "cells": g.cells, "open_mm2": round(g.open_area, 1), "open_share": round(g.open_share, 4)}
            for g in panel.grilles
        ],
        "at_the_bench": list(panel.bench),
        "edges": [_edge(one) for one in plan.operations if isinstance(one, EdgeCut)],
        **_slots(plan),
        "unreached": [
            {"feature": s.feature, "at": [round(s.at.x, 3), round(s.at.y, 3)], "size": round(s.size, 3)}
            for s in plan.spots
        ],
    }


def _slots(plan: PanelPlan) -> Data:
    """The slots that the programs cut into rims; no key where there are none."""
    found = [one for one in plan.operations if isinstance(one, SlotCut)]
    rows = [
        {
            "name": one.feature,
            "tool": one.tool.number,
            "why": one.why,
            "width": round(one.width, 4),
            "depth": round(one.into, 4),
            "channel": round(one.room, 4),
            "levels": [round(-level, 4) for level in one.levels],
        }
        for one in found
    ]
    return {"slots": rows} if rows else {}


def _edge(edge: EdgeCut) -> Data:
    return {
        "name": edge.feature,
        "tool": edge.tool.number,
        "why": edge.why,
        "levels": [{"offset": round(layer.offset, 4), "z": round(layer.z, 4)} for layer in edge.layers],
    }


def _sheet(sheet: SheetSet, contents: Mapping[str, bytes], *, turned: bool) -> Data:
    stock = sheet.sheet.stock
    return {
        "number": sheet.sheet.number,
        "stock": stock.name,
        "material": stock.material,
        "grain": stock.grain,
        "size": list(stock.sheet),
        "turned": turned,
        "thickness": {"nominal": stock.thickness, "thickest": stock.thickest, "thinnest": stock.thinnest},
        "measured": list(stock.measured),
        "parts": [_part(part) for part in sheet.sheet.parts],
        "tabs": [_tab(tab) for tab in sheet.runs.tabs],
        **_screws(sheet.runs),
        **_freed(sheet.runs),
        "cutting": [_cut(cut) for one in sheet.set_ups for cut in one.runs.cuts],
        **_turning(sheet),
        "programs": [_program(written, contents) for written in sheet.written],
        "loads": [load_data(load) for one in sheet.set_ups for load in one.loads],
        "proof": {
            **report_data(sheet.report),
        },
    }


def _freed(runs: SheetRuns) -> Data:
    """What holds parts besides tabs while they are freed, N; where a skin or vacuum does."""
    rows = [
        {
            "part": one.part,
            "vacuum": round(one.vacuum, 1),
            "skin": round(one.skin, 1),
            "push": round(one.force, 1),
            "alone": one.alone,
        }
        for one in runs.freed
        if one.vacuum > 0 or one.skin > 0
    ]
    return {"freed": rows} if rows else {}


def _screws(runs: SheetRuns) -> Data:
    """The screws that the programs stop for, where there are any: their middles in the sheet's frame."""
    screw = runs.screw
    if screw is None or not runs.screws:
        return {}
    return {
        "screws": {
            "diameter": screw.diameter,
            "length": screw.length,
            "head": screw.head,
            "hole": screw.hole_diameter,
            "at": [[round(value, 3) for value in keep.centre] for keep in runs.screws],
        }
    }


def _turning(sheet: SheetSet) -> Data:
    """How the sheet is turned over, where it is: places in the frame of each set-up."""
    if sheet.before is None or sheet.before.sheet.side is None or sheet.sheet.side is None:
        return {}
    sides = (sheet.before.sheet.side, sheet.sheet.side)
    return {
        "turning": {
            "axis": sides[1].axis,
            "by": sides[1].by,
            "dowel": sides[1].dowel if sides[1].dowels else None,
            "dowels": [[[round(p.x, 3), round(p.y, 3)] for p in side.dowels] for side in sides],
            "lying_first": [_part(part) for part in sheet.before.sheet.parts],
        }
    }


def _rack(made: Made, sheet: SheetSet) -> Data:
    """The offcut that the sheet is, the name of the sheet in the store, and what it leaves."""
    return {
        "sheet_id": sheet_id(made.read, made.machine, sheet.sheet),
        "offcut": sheet.sheet.piece or None,
        "leaves": [
            {"name": left.name, "at": list(left.box[:2]), "size": list(left.size)}
            for left in made.left.get(sheet.sheet.number, ())
        ],
    }


def _part(part: Part) -> Data:
    return {
        "panel": part.name,
        "label": part.label,
        "copy": part.copy,
        "mirrored": part.mirrored_copy,
        "x": round(part.x, 4),
        "y": round(part.y, 4),
        "angle_deg": part.angle_deg,
    }


def _tab(tab: Tab) -> Data:
    return {
        "part": tab.part,
        "feature": tab.feature,
        "centre": [round(tab.centre.x, 3), round(tab.centre.y, 3)],
        "width": tab.width,
        "height": round(tab.height, 4),
        **({} if tab.flank_deg is None else {"flank_deg": tab.flank_deg}),
        **({} if tab.nub is None else {"nub": tab.nub}),
    }


def _cut(cut: CutUsed) -> Data:
    data = cut.data
    return {
        "tool": cut.tool.number,
        "cut": cut.kind,
        "depth": round(cut.depth, 4),
        "width": round(cut.width, 4),
        "rpm": data.rpm,
        "feed": data.feed,
        "ramp_feed": data.ramp_feed,
        "plunge_feed": data.plunge_feed,
        "chip_per_tooth": round(data.chip_per_tooth, 5),
        "power_w": round(data.power_w, 1),
        "deflection": round(data.deflection_mm, 5),
        "limits": list(data.limits),
        "warnings": list(data.warnings),
    }


def _program(written: Written, contents: Mapping[str, bytes]) -> Data:
    program, time = written.program, written.time
    path = f"programs/{program.name}.nc"
    return {
        "file": path,
        "written": path in contents,
        "purpose": program.purpose,
        "run": program.run,
        "of": program.of,
        "tools": [_tool(tool) for tool in program.tools],
        "sha256": hashlib.sha256(written.text.encode("ascii")).hexdigest(),
        "time": time_data(time),
    }


def _tool(tool: Tool) -> Data:
    return {
        "number": tool.number,
        "name": tool.name,
        "diameter": tool.diameter,
        "measured_diameter": tool.measured_diameter,
        "stick_out": tool.stick_out,
    }


def report_data(report: Report) -> Data:
    """The witness's answer."""
    return {
        "verdict": report.verdict,
        "findings": [finding_data(finding) for finding in report.findings],
        "dropped": report.dropped,
        "not_judged": [{"what": n.what, "why": n.why, "safety": n.safety} for n in report.not_judged],
        "tolerances": list(report.tolerances),
        "numbers": {name: _finite(value) for name, value in report.numbers.items()},
    }


def time_data(time: Duration) -> Data:
    """How long a program takes, in seconds; cutting and rapids by tool and by operation."""
    return {
        "seconds": round(time.total_s, 1),
        "between": [round(s, 1) for s in time.band_s],
        "cutting": round(time.cut_s, 1),
        "rapids": round(time.rapid_s, 1),
        "dwells": round(time.dwell_s, 1),
        "changes_and_stops": round(time.change_s, 1),
        "moves_from_unknown_places": time.unknown,
        "tools": [_stretch(stretch) for stretch in time.tools],
        "operations": [_stretch(stretch) | {"operation": stretch.name} for stretch in time.operations],
        "assumes": list(time.assumptions),
    }


def _stretch(stretch: Stretch) -> Data:
    return {
        "tool": stretch.tool,
        "cutting": round(stretch.cut_s, 1),
        "rapids": round(stretch.rapid_s, 1),
        "metres": round(stretch.cut_m, 3),
    }


def finding_data(finding: Finding) -> Data:
    """One finding of the witness."""
    return {
        "kind": finding.kind,
        "severity": finding.severity,
        "program": finding.program,
        "line": finding.line,
        "at": [_finite(value) for value in (finding.x, finding.y, finding.z)],
        "measure": _finite(finding.measure),
        "limit": _finite(finding.limit),
        "text": finding.text,
    }


def _finite(value: float | None) -> float | None:
    """JSON has no word for what is beyond all numbers."""
    return value if value is not None and isfinite(value) else None
