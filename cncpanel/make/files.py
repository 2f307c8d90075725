"""Every file of a job's folder, from what was made: path inside the folder -> bytes."""

import json
from collections.abc import Callable, Mapping
from dataclasses import replace

from cncpanel.drawing.feeds import cut_rows, feeds_pieces
from cncpanel.drawing.measures import Measures
from cncpanel.drawing.panel_flat import panel_drawing, sheet_drawing
from cncpanel.drawing.paper import Document, Heading, PaperSize, Picture
from cncpanel.drawing.setup import SetUp, setup_map, setup_pieces, setup_view
from cncpanel.job.paper import MadeKind
from cncpanel.make.artwork import artwork_files
from cncpanel.make.choice import Choice
from cncpanel.make.flow import Made
from cncpanel.make.folder import RECORD
from cncpanel.make.record import record
from cncpanel.make.sheet_set import SheetSet
from cncpanel.make.stem import panel_stem
from cncpanel.make.templates import template_files
from cncpanel.output.dxf import panel_dxf
from cncpanel.output.html import report_page
from cncpanel.output.pdf import pdf

REPORT = "index.html"
SHEETS = "sheets/sheets.pdf"
MAP_WIDTH = 180.0  # mm; as on paper, so that its lines keep their weight
ALL = Choice()


def files(made: Made, choice: Choice = ALL) -> dict[str, bytes]:
    """All files of the kinds chosen; without programs when the proof failed. Report and record are always there."""
    kinds = choice.kinds(made.read.job)
    named: dict[str, bytes] = {}
    for kind, contents in KINDS.items():
        if kind in kinds:
            named.update(contents(made))
    data = record(made, named, [*named, REPORT])
    maps = {sheet.sheet.number: _map(made, sheet) for sheet in made.sheets}
    named[REPORT] = report_page(data, made.gathering.warnings, maps).encode()
    named[RECORD] = json.dumps(data, indent=1, ensure_ascii=False, allow_nan=False).encode() + b"\n"
    return named


def _sheets(made: Made) -> dict[str, bytes]:
    return {SHEETS: pdf(document(made))}


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


def document(made: Made) -> Document:
    """The set-up of every sheet, then feeds and speeds; on Letter paper where the job is in inches."""
    head = made.read.job.job
    title = f"{head.name}, revision {head.revision}"
    verdict = "" if made.passed else "NOT PROVEN: DO NOT CUT. "
    paper: PaperSize = "Letter" if head.units == "inch" else "A4"
    foot = f"{verdict}{title}{', ' + head.date if head.date else ''}"
    empty = Document(title=title, foot=foot, pieces=(Heading(title, 1),), paper=paper)
    pieces = [piece for sheet in made.sheets for piece in setup_pieces(setup_of(made, sheet), empty.frame_width)]
    rows = cut_rows((sheet.sheet.stock, sheet.runs) for sheet in made.sheets)
    feeds = feeds_pieces(rows, made.machine, Measures.of(head, made.machine))
    return replace(empty, pieces=(*pieces, *feeds)) if pieces else empty


def _map(made: Made, sheet: SheetSet) -> Picture:
    setup = setup_of(made, sheet)
    return setup_map(setup, setup_view(setup, MAP_WIDTH))


def setup_of(made: Made, sheet: SheetSet) -> SetUp:
    """What the set-up pages of a sheet need."""
    return SetUp(
        job=made.read.job.job,
        machine=made.machine,
        sheet=sheet.sheet,
        sheets=len(made.sheets),
        plans={plan.panel.index: plan for plan in made.plans},
        runs=sheet.runs,
        programs=[(written.program, written.time) for written in sheet.programs],
        trace=sheet.trace.program if sheet.trace else None,
        spot=sheet.spot,
        proven=made.passed,
    )


KINDS: Mapping[MadeKind, Callable[[Made], dict[str, bytes]]] = {
    "programs": _programs,
    "dxf": _drawings,
    "sheets": _sheets,
    "templates": _templates,
    "artwork": _artwork,
}
