"""The set-up pages of a sheet: what the operator loads, where zero is, tools, holding, times, what is left."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from cncpanel.drawing.bench import bench_pieces
from cncpanel.drawing.cautions import router_cautions
from cncpanel.drawing.directions import direction_words
from cncpanel.drawing.edge_list import edge_pieces
from cncpanel.drawing.holding import holding_words
from cncpanel.drawing.holding_table import holding_table
from cncpanel.drawing.map_places import KEY as PLACES_KEY
from cncpanel.drawing.map_places import SCREWS_KEY
from cncpanel.drawing.measures import Measures
from cncpanel.drawing.paper import Bullets, Cautions, Heading, Picture, Piece, Sentence
from cncpanel.drawing.screw_table import screw_table
from cncpanel.drawing.setup_tables import part_table, program_table, tool_table
from cncpanel.drawing.sheet_map import KEY, MARGIN_KEY, MapFacts, sheet_map
from cncpanel.drawing.slot_list import slot_list
from cncpanel.drawing.stops import stop_pieces
from cncpanel.drawing.tool_reasons import reason_pieces
from cncpanel.drawing.turning import rim_step, turn_words
from cncpanel.drawing.used_area import UsedArea, used_area
from cncpanel.drawing.view import View
from cncpanel.geometry.point import Point
from cncpanel.job.model import JobHead, Settings
from cncpanel.layout.layout import Sheet
from cncpanel.layout.leftover import Leftover
from cncpanel.machine.model import Machine
from cncpanel.operation.operation import PanelPlan
from cncpanel.passes.run import SheetRuns
from cncpanel.proof.clock import Duration
from cncpanel.sequence.program import Program
from cncpanel.sequence.wording import control_words
from cncpanel.tooling.materials import MATERIALS

MAP_HEIGHT = 135.0  # mm; leaves room on the first page for what is read first


@dataclass(frozen=True, slots=True, kw_only=True)
class SetUp:
    """One sheet's facts as the pages need them; `spot` in the sheet's frame.

    `trace` is the frame program, `dry` the one that goes over all cuts.
    """

    job: JobHead
    settings: Settings
    machine: Machine
    sheet: Sheet
    sheets: int
    plans: Mapping[int, PanelPlan]
    runs: SheetRuns
    programs: Sequence[tuple[Program, Duration]]
    trace: Program | None
    dry: tuple[Program, Duration] | None
    spot: Point | None
    proven: bool
    left: Sequence[Leftover] = ()

    @property
    def measures(self) -> Measures:
        """How lengths are told."""
        return Measures.of(self.job, self.machine)


def setup_pieces(setup: SetUp, width: float) -> list[Piece]:
    """The pages' pieces, `width` mm wide: first what is needed at the machine, then the lists."""
    sheet, stock, machine = setup.sheet, setup.sheet.stock, setup.machine
    mass = MATERIALS[stock.material].mass(sheet.length, sheet.width, stock.thickest)
    view, used = setup_view(setup, width), used_area(setup.runs.runs, machine)
    return [
        Heading(f"{setup.job.name}: set-up of sheet {sheet.number} of {setup.sheets}{_side(sheet)}", 1),
        *_unproven(setup),
        Sentence(f"{machine.title}. {_stock_words(setup)}"),
        _map(setup, view, used),
        Sentence(
            f"{_map_words(setup)}{' Short dashes: clamps stay outside.' if machine.table.hold == 'clamps' else ''}"
        ),
        *_turning(setup, view),
        Bullets(tuple(_zero_words(setup, view))),
        Cautions(router_cautions(machine, mass)),
        Heading("Holding"),
        Bullets(tuple(holding_words(sheet, machine, setup.runs, used, setup.measures))),
        *screw_table(setup.runs.screws, view, setup.measures),
        *holding_table(setup.runs),
        Heading("Programs, in this order"),
        program_table(setup.programs, setup.trace, setup.dry),
        *stop_pieces([*([setup.trace] if setup.trace else []), *(program for program, _ in setup.programs)]),
        Heading("Tools, in this order"),
        tool_table(setup.programs, setup.runs, machine, setup.measures),
        *reason_pieces(
            [setup.plans[panel] for panel in _panels(sheet)],
            stock,
            machine,
            setup.measures,
            skin=any(run.kind == "skin" for run in setup.runs.runs),
            runs=setup.runs.runs,
        ),
        Heading("Parts"),
        part_table(sheet, setup.plans, view, setup.measures),
        *edge_pieces([setup.plans[panel] for panel in _panels(sheet)], setup.measures, width, _directions(setup)),
        *slot_list([setup.plans[panel] for panel in _panels(sheet)], setup.measures),
        *bench_pieces([setup.plans[panel] for panel in _panels(sheet)], setup.measures),
    ]


def _side(sheet: Sheet) -> str:
    return f", side {sheet.side.number} of 2" if sheet.side else ""


def _turning(setup: SetUp, view: View) -> list[Piece]:
    words = tuple(turn_words(setup.sheet, view, setup.measures))
    side = setup.sheet.side
    if side is not None and side.number == 1 and any(run.kind == "edge" for run in setup.runs.runs):
        words = (*words, rim_step(setup.machine.turning.error, setup.measures))
    return [Cautions(words)] if words else []


def setup_view(setup: SetUp, width: float) -> View:
    """The sheet on paper as it lies on the machine."""
    return View.within(setup.sheet, turned=setup.machine.sheet_turned, width=width, height=MAP_HEIGHT)


def setup_map(setup: SetUp, view: View) -> Picture:
    """The sheet's map."""
    return _map(setup, view, used_area(setup.runs.runs, setup.machine))


def _map(setup: SetUp, view: View, used: UsedArea | None) -> Picture:
    facts = MapFacts(
        plans=setup.plans,
        tabs=setup.runs.tabs,
        used=used,
        clamps=setup.machine.table.hold == "clamps",
        spot=setup.spot,
        measures=setup.measures,
        left=setup.left,
    )
    return sheet_map(view, facts)


def _unproven(setup: SetUp) -> list[Piece]:
    words = "NOT PROVEN: DO NOT CUT. No program of this job was written; index.html says why."
    return [] if setup.proven else [Cautions((words,))]


def _directions(setup: SetUp) -> str:
    return direction_words(setup.machine, setup.settings)


def _panels(sheet: Sheet) -> tuple[int, ...]:
    return tuple(dict.fromkeys(part.panel for part in sheet.parts))


def _stock_words(setup: SetUp) -> str:
    stock, told = setup.sheet.stock, setup.measures
    readings = ", ".join(map(told.length, stock.measured)) or "none, MEASURE THE SHEET FIRST"
    return (
        f"{_piece_words(setup.sheet)}"
        f"Stock: {stock.name}, {MATERIALS[stock.material].title}, {told.size(*stock.sheet)}, "
        f"{told.length(stock.thickness)} nominal; caliper readings {readings}. The programs reckon with "
        f"{told.length(stock.thickest)} for depths and {told.length(stock.thinnest)} for tabs."
    )


def _piece_words(sheet: Sheet) -> str:
    return f"THIS SHEET IS OFFCUT {sheet.piece} FROM THE RACK. " if sheet.piece else ""


def _map_words(setup: SetUp) -> str:
    places = setup.left or any(keep.hole is None for keep in setup.sheet.stock.keep_out)
    screws = f" {SCREWS_KEY}" if setup.runs.screws else ""
    margin = f" {MARGIN_KEY}" if setup.sheet.stock.margin else ""
    return f"{KEY}{margin}{f' {PLACES_KEY}' if places else ''}{screws}"


def _zero_words(setup: SetUp, view: View) -> list[str]:
    machine = setup.machine
    lies = (
        "THE SHEET LIES TURNED: its long side along machine Y, its short side along machine X"
        if machine.sheet_turned
        else "The sheet's long side lies along machine X"
    )
    words = [
        f"{lies}. The map shows it from where you stand: X to the right, Y away from you.",
        "X and Y zero: the sheet's corner marked X0 Y0, nearest the machine's own zero.",
        f"The control, as the programs expect it: {', '.join(control_words(machine))}.",
    ]
    if machine.table.z_zero == "table":
        return [*words, "Z zero: the spoilboard's surface, bare and clean, set beside the sheet."]
    if setup.spot is None:
        return [*words, "Z zero: the sheet's top, set before run 1 and kept: no spot of this sheet stays uncut."]
    place = setup.measures.place(view.program(setup.spot))
    return [*words, f"Z zero: the sheet's top at the ring marked Z, {place}: no program cuts there."]
