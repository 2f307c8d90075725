"""Every file of a job's folder, from what was made: path inside the folder -> bytes."""

import json

from cncpanel.drawing.feeds import CutRow, feeds_pieces
from cncpanel.drawing.panel_flat import panel_drawing, sheet_drawing
from cncpanel.drawing.paper import Document, Heading
from cncpanel.drawing.setup import SetUp, setup_pieces
from cncpanel.make.flow import Made
from cncpanel.make.folder import RECORD
from cncpanel.make.record import record
from cncpanel.make.sheet_set import SheetSet
from cncpanel.output.dxf import panel_dxf
from cncpanel.output.html import report_page
from cncpanel.output.pdf import pdf
from cncpanel.sequence.wording import file_stem

REPORT = "index.html"
SHEETS = "sheets/sheets.pdf"


def files(made: Made) -> dict[str, bytes]:
    """All files; without programs when the proof failed."""
    named = {**_programs(made), **_drawings(made), SHEETS: pdf(_document(made))}
    data = record(made, named, [*named, REPORT])
    named[REPORT] = report_page(data, made.gathering.warnings).encode()
    named[RECORD] = json.dumps(data, indent=1, ensure_ascii=False).encode() + b"\n"
    return named


def _programs(made: Made) -> dict[str, bytes]:
    if not made.passed:
        return {}
    return {
        f"programs/{written.program.name}.nc": written.text.encode("ascii")
        for sheet in made.sheets
        for written in sheet.written
    }


def _drawings(made: Made) -> dict[str, bytes]:
    drawn = {f"dxf/{_stem(plan.panel.index, plan.panel.name)}.dxf": panel_drawing(plan.panel) for plan in made.plans}
    plans = {plan.panel.index: plan for plan in made.plans}
    for sheet in made.sheets:
        name = f"dxf/sheet{sheet.sheet.number}.dxf"
        drawn[name] = sheet_drawing(sheet.sheet, plans, sheet.runs.tabs)
    return {name: panel_dxf(drawing) for name, drawing in drawn.items()}


def _stem(index: int, name: str) -> str:
    return f"panel{index + 1:02d}-{file_stem(name)}"


def _document(made: Made) -> Document:
    head = made.read.job.job
    rows = [
        CutRow(tool=cut.tool, cut=cut.kind, stock=sheet.sheet.stock.name, depth=cut.depth, data=cut.data)
        for sheet in made.sheets
        for cut in sheet.runs.cuts
    ]
    unique = list({(r.tool.number, r.cut, round(r.depth, 3), r.stock, r.data.feed): r for r in rows}.values())
    unique.sort(key=lambda row: (row.tool.number, row.cut, row.depth))
    title = f"{head.name}, revision {head.revision}"
    empty = Document(title=title, foot="", pieces=())
    pieces = [piece for sheet in made.sheets for piece in setup_pieces(_setup(made, sheet), empty.frame_width)]
    verdict = "" if made.passed else "NOT PROVEN: DO NOT CUT. "
    return Document(
        title=title,
        foot=f"{verdict}{title}{', ' + head.date if head.date else ''}",
        pieces=(*pieces, *feeds_pieces(unique, made.machine)) if pieces else (Heading(title, 1),),
    )


def _setup(made: Made, sheet: SheetSet) -> SetUp:
    return SetUp(
        job=made.read.job.job,
        machine=made.machine,
        sheet=sheet.sheet,
        sheets=len(made.sheets),
        plans={plan.panel.index: plan for plan in made.plans},
        runs=sheet.runs,
        programs=[(written.program, written.time) for written in sheet.programs],
        trace=sheet.trace.program.name if sheet.trace else None,
        spot=sheet.spot,
    )
