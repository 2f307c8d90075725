"""The files of a saw plan, and the whole set of a job that is for the saw only: all papers, no programs."""

import json
import os
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from pathlib import Path

from cncpanel.cabinet.derive import read_cabinet
from cncpanel.drawing.panel_flat import panel_drawing
from cncpanel.drawing.paper import Picture
from cncpanel.drawing.saw_pages import saw_picture
from cncpanel.drawing.saw_tables import CUT_HEAD, PART_HEAD, cut_rows, part_rows
from cncpanel.errors import Gathering, Place, Problem, ProblemsFound
from cncpanel.job.paper import MadeKind
from cncpanel.job.read import ReadJob
from cncpanel.layout.saw.plan import Sawn as StockSawn
from cncpanel.layout.saw.plan import SawPlan, SawSheet
from cncpanel.layout.saw.planner import saw_plan
from cncpanel.make.artwork import artwork_files
from cncpanel.make.choice import Choice
from cncpanel.make.fit_flow import tell_misfits
from cncpanel.make.folder import RECORD, refuse_foreign, write_folder
from cncpanel.make.head_data import head_data
from cncpanel.make.keeping import given_back_on_failure, kept_pieces, settled
from cncpanel.make.labels import saw_labels_pdf
from cncpanel.make.offcut_labels import saw_offcut_labels_pdf
from cncpanel.make.paper_set import (
    LABELS,
    NO_RACK,
    OFFCUT_LABELS,
    SHEETS,
    RackNames,
    bench_document,
    cut_list_files,
    saw_document,
    saw_pages,
)
from cncpanel.make.rack import Rack, offering, rack_of
from cncpanel.make.saw_data import saw_data
from cncpanel.make.saw_rack import rack_data, rack_names, saw_identities
from cncpanel.make.stem import panel_stem
from cncpanel.make.templates import template_files
from cncpanel.make.told_set import ToldSet
from cncpanel.make.unprintable import tell_unprintable
from cncpanel.output.csv_table import csv_table
from cncpanel.output.dxf import panel_dxf
from cncpanel.output.html import report_page
from cncpanel.output.pdf import pdf
from cncpanel.panel.edge import Slot
from cncpanel.panel.edges import by_hand
from cncpanel.panel.panel import Panel
from cncpanel.panel.resolve import resolve
from cncpanel.panel.subject import Subject
from cncpanel.store.offcut import Store

PLAN, CUTS, PARTS = "sheets/saw-plan.pdf", "sheets/saw-cuts.csv", "sheets/saw-parts.csv"
REPORT = "index.html"
MAP_WIDTH = 180.0  # mm; as on paper, so that its lines keep their weight
Panels = tuple[Panel, ...]
ALL = Choice()


@dataclass(frozen=True, slots=True, kw_only=True)
class Sawn:
    """A job with its saw plan, before it is written; `rack` is the store that it draws on, where there is one."""

    read: ReadJob
    panels: Panels
    plan: SawPlan
    gathering: Gathering
    rack: Rack | None = None

    @property
    def store(self) -> Store | None:
        """What was in the rack."""
        return self.rack.store if self.rack else None

    @property
    def names(self) -> RackNames:
        """Of the leftovers for the rack, by sheet and piece; none where no store is kept."""
        return rack_names(self.read, self.plan, self.store) if self.rack else {}


def sawn(path: Path, tell: Callable[[str], None], choice: Choice = ALL) -> Sawn:
    """The job's saw plan; raises ProblemsFound with every mistake that could be found."""
    gathering = Gathering()
    tell("reading the job")
    whole = read_cabinet(path, gathering)
    rack = rack_of(whole.read, path, choice, gathering)
    read = whole.read if rack is None else offering(whole.read, rack, None, gathering)
    panels = tuple(_by_hand(panel, read) for panel in resolve(read, gathering))
    tell_unprintable(read.file, gathering)
    tell_misfits(whole, panels, gathering)
    gathering.stop_if_any()
    if read.job.job.machine is None and "programs" in (read.job.settings.make or ()):
        text = "programs are for a router, and the job names no machine: none are written"
        gathering.warn(read.file.place(("settings", "make")), text, "leave them out")
    tell("planning the saw's cuts")
    plan = saw_plan(read, panels, gathering, draws=True)
    gathering.stop_if_any()
    return Sawn(read=read, panels=panels, plan=plan, gathering=gathering, rack=rack)


def saw_into(path: Path, out: Path, choice: Choice, tell: Callable[[str], None]) -> Sawn:
    """Plan and write the whole set; raises ProblemsFound with every mistake, and then nothing was written."""
    refuse_foreign(out)
    refuse_programs(choice.only)
    kept = replace(choice, folder=Path(os.path.abspath(out)))
    made = sawn(path, tell, kept)
    while not kept_pieces(made.rack, made.read, saw_identities(made.read, made.plan), made.plan.sheets):
        tell("another run took one of the offcuts; beginning again")
        made = sawn(path, tell, kept)
    with given_back_on_failure(made.rack, made.plan.sheets):
        tell("writing drawings and sheets")
        write_folder(out, set_files(made, choice))
    settled(made.rack, made.plan.sheets, passed=True)
    return made


def refuse_programs(only: tuple[MadeKind, ...]) -> None:
    """Raise ProblemsFound where programs were picked out: nothing would be written in their place."""
    if "programs" in only:
        others = ", ".join(kind for kind in only if kind != "programs") or ", ".join(KINDS)
        raise ProblemsFound([Problem(Place("--only"), "programs are for a router; a table saw runs none", others)])


def told_sawn(job: str, made: Sawn) -> ToldSet:
    """What is told of the set."""
    warnings = tuple(dict.fromkeys(map(str, made.gathering.warnings)))
    return ToldSet(job=job, code=0, warnings=warnings, sheets=tuple(plan_lines(made.plan)))


def plan_lines(plan: SawPlan) -> list[str]:
    """A line a stock, then a line a sheet."""
    return [*(_stock_line(one) for one in plan.sawn), *(_sheet_line(sheet) for sheet in plan.sheets)]


def _stock_line(one: StockSawn) -> str:
    fewer = "no plan needs fewer" if one.sheets <= one.least else f"by area at least {one.least}"
    price = "" if one.price is None else f", {one.price:.2f} in all"
    share = f"{100 * one.part_m2 / one.board_m2:.1f} % used"
    return f"{one.stock}: {one.sheets} sheet{'' if one.sheets == 1 else 's'}, {share}{price}; {fewer}"


def _sheet_line(sheet: SawSheet) -> str:
    parts = f"{len(sheet.parts)} part{'' if len(sheet.parts) == 1 else 's'}"
    piece = f" (offcut {sheet.piece})" if sheet.piece else ""
    return f"saw sheet {sheet.number}{piece}: {parts}, {len(sheet.cuts)} cuts, {sheet.settings} settings"


def _by_hand(panel: Panel, read: ReadJob) -> Panel:
    """The panel with all that no machine makes given to the bench: here there is none."""
    subject = Subject(read=read, gathering=Gathering(), keys=("panel", panel.index), said=panel.name, name=panel.name)
    told = by_hand(read.job.panel[panel.index], subject)
    rims = tuple(replace(rim, bench=True) if isinstance(rim.form, Slot) else rim for rim in panel.rims)
    return replace(panel, bench=told, edges=(), slots=(), machined=(), rims=rims)


def saw_files(read: ReadJob, panels: Panels, plan: SawPlan, names: RackNames = NO_RACK) -> dict[str, bytes]:
    """The plan alone: its pages, its cuts and its parts as tables."""
    pages = saw_pages(read, panels, plan)
    notes = {panel.index: read.job.panel[panel.index].note for panel in panels}
    return {
        PLAN: pdf(saw_document(read, panels, plan, names)),
        CUTS: csv_table(CUT_HEAD, cut_rows(plan.sheets, pages.scale)),
        PARTS: csv_table(PART_HEAD, part_rows(plan.sheets, pages.panels, plan.bevels, notes)),
    }


def saw_maps(read: ReadJob, panels: Panels, plan: SawPlan, names: RackNames = NO_RACK) -> dict[int, Picture]:
    """A drawing of each board, by its number."""
    pages = saw_pages(read, panels, plan, names)
    return {sheet.number: saw_picture(pages, sheet, MAP_WIDTH) for sheet in plan.sheets}


def set_files(sawn: Sawn, choice: Choice) -> dict[str, bytes]:
    """All files of a job for the saw only, of the kinds chosen; report and record are always there."""
    kinds = choice.kinds(sawn.read.job) | {"saw"}
    named: dict[str, bytes] = {}
    for kind, contents in KINDS.items():
        if kind in kinds:
            named.update(contents(sawn))
    data = _record(sawn, [*named, REPORT])
    maps = saw_maps(sawn.read, sawn.panels, sawn.plan, sawn.names)
    shown = {**data, "sheets": []}  # of programs; the plan's own stand under saw
    named[REPORT] = report_page(shown, sawn.gathering.warnings, {}, "", maps).encode()
    named[RECORD] = json.dumps(data, indent=1, ensure_ascii=False, allow_nan=False).encode() + b"\n"
    return named


def _record(sawn: Sawn, files: list[str]) -> dict[str, object]:
    return {
        **head_data(sawn.read.job.job),
        "machine": None,
        "units": "mm",
        "verdict": "pass",
        "warnings": [str(warning) for warning in sawn.gathering.warnings],
        "panels": [_panel(panel) for panel in sawn.panels],
        "layout": {"stocks": []},
        "offcut_store": str(sawn.rack.path.resolve()) if sawn.rack else None,
        "sheets": rack_data(sawn.read, sawn.plan, sawn.store),
        "saw": saw_data(sawn.plan),
        "files": sorted(files),
    }


def _panel(panel: Panel) -> dict[str, object]:
    left, low, right, high = panel.outline.bounds
    return {
        "name": panel.name,
        "stock": panel.stock.name,
        "size": [round(right - left, 4), round(high - low, 4)],
        "face_up": panel.face,
        "copies": panel.copies,
        "mirrored": panel.mirrored,
        "grilles": [],
        "at_the_bench": list(panel.bench),
        "unreached": [],
    }


def _papers(sawn: Sawn) -> dict[str, bytes]:
    offcut_labels = saw_offcut_labels_pdf(sawn.read, sawn.plan, sawn.store)
    return {
        SHEETS: pdf(bench_document(sawn.read, sawn.panels, sawn.plan, sawn.names)),
        LABELS: saw_labels_pdf(sawn.read, sawn.panels, sawn.plan),
        **({OFFCUT_LABELS: offcut_labels} if offcut_labels else {}),
        **cut_list_files(sawn.read, sawn.panels),
    }


def _drawings(sawn: Sawn) -> dict[str, bytes]:
    return {f"dxf/{panel_stem(panel)}.dxf": panel_dxf(panel_drawing(panel)) for panel in sawn.panels}


def _templates(sawn: Sawn) -> dict[str, bytes]:
    made = (file for panel in sawn.panels for file in template_files(sawn.read, panel).items())
    return {f"templates/{name}": content for name, content in made}


def _artwork(sawn: Sawn) -> dict[str, bytes]:
    made = (file for panel in sawn.panels for file in artwork_files(sawn.read, panel).items())
    return {f"artwork/{name}": content for name, content in made}


KINDS: Mapping[MadeKind, Callable[[Sawn], dict[str, bytes]]] = {
    "dxf": _drawings,
    "sheets": _papers,
    "saw": lambda sawn: saw_files(sawn.read, sawn.panels, sawn.plan, sawn.names),
    "templates": _templates,
    "artwork": _artwork,
}
