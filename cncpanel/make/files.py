"""Every file of a job's folder, from what was made: path inside the folder -> bytes."""

import json
from collections.abc import Callable, Mapping

from cncpanel.drawing.panel_flat import panel_drawing, sheet_drawing
from cncpanel.drawing.paper import Picture
from cncpanel.drawing.setup import setup_map, setup_view
from cncpanel.job.paper import MadeKind
from cncpanel.make.artwork import artwork_files
from cncpanel.make.cabinet_set import seen_cabinet
from cncpanel.make.choice import Choice
from cncpanel.make.flow import Made
from cncpanel.make.folder import RECORD
from cncpanel.make.paper_set import paper_files, setup_of
from cncpanel.make.picture import job_picture
from cncpanel.make.record import record
from cncpanel.make.saw_set import saw_files, saw_maps
from cncpanel.make.sheet_set import SheetSet
from cncpanel.make.stem import panel_stem
from cncpanel.make.templates import template_files
from cncpanel.output.dxf import panel_dxf
from cncpanel.output.html import report_page
from cncpanel.output.proof_html import proof_page

REPORT = "index.html"
MAP_WIDTH = 180.0  # mm; as on paper, so that its lines keep their weight
ALL = Choice()


def files(made: Made, choice: Choice = ALL) -> dict[str, bytes]:
    """All files of the kinds chosen; without programs when the proof failed. Report and record are always there."""
    kinds = choice.kinds(made.read.job)
    named: dict[str, bytes] = {}
    for kind, contents in KINDS.items():
        if kind in kinds:
            named.update(contents(made))
    found = seen_cabinet(made.whole, made.panels) if choice.is_everything(made.read.job) else None
    if found is not None:
        named.update(found.files)
    data = record(made, named, [*named, REPORT])
    maps = {sheet.sheet.number: [_map(made, one) for one in sheet.set_ups] for sheet in made.sheets}
    picture = proof_page(job_picture(made))
    sawn = saw_maps(made.read, made.panels, made.saw) if made.saw else {}
    shown, page = (found.shown, found.page) if found else (None, "")
    named[REPORT] = report_page(data, made.gathering.warnings, maps, picture, sawn, shown, page).encode()
    named[RECORD] = json.dumps(data, indent=1, ensure_ascii=False, allow_nan=False).encode() + b"\n"
    return named


def _templates(made: Made) -> dict[str, bytes]:
    return {
        f"templates/{name}": content
        for panel in made.panels
        for name, content in template_files(made.read, panel).items()
    }


def _artwork(made: Made) -> dict[str, bytes]:
    return {
        f"artwork/{name}": content for panel in made.panels for name, content in artwork_files(made.read, panel).items()
    }


def _programs(made: Made) -> dict[str, bytes]:
    if not made.passed:
        return {}
    return {
        f"programs/{written.program.name}.nc": written.text.encode("ascii")
        for sheet in made.sheets
        for written in sheet.written
    }


def _drawings(made: Made) -> dict[str, bytes]:
    drawn = {f"dxf/{panel_stem(plan.panel)}.dxf": panel_drawing(plan.panel) for plan in made.plans}
    plans = {plan.panel.index: plan for plan in made.plans}
    for sheet in made.sheets:
        name = f"dxf/sheet{sheet.sheet.number}.dxf"
        drawn[name] = sheet_drawing(sheet.sheet, plans, sheet.runs.tabs)
    return {name: panel_dxf(drawing) for name, drawing in drawn.items()}


def _saw(made: Made) -> dict[str, bytes]:
    return saw_files(made.read, made.panels, made.saw) if made.saw else {}


def _map(made: Made, sheet: SheetSet) -> Picture:
    setup = setup_of(made, sheet)
    return setup_map(setup, setup_view(setup, MAP_WIDTH))


KINDS: Mapping[MadeKind, Callable[[Made], dict[str, bytes]]] = {
    "programs": _programs,
    "dxf": _drawings,
    "sheets": paper_files,
    "templates": _templates,
    "artwork": _artwork,
    "saw": _saw,
}
