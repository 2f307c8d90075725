"""The set-up page of a sheet: what the operator loads, where zero is, which tools, what holds, how long."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from cncpanel.drawing.cautions import router_cautions
from cncpanel.drawing.paper import Bullets, Cautions, Heading, Piece, Sentence, Table
from cncpanel.drawing.sheet_map import sheet_map
from cncpanel.geometry.point import Point
from cncpanel.job.model import JobHead
from cncpanel.layout.layout import Sheet
from cncpanel.machine.model import Machine
from cncpanel.machine.tool import Tool
from cncpanel.operation.operation import PanelPlan
from cncpanel.passes.run import SheetRuns
from cncpanel.sequence.estimate import TimeEstimate
from cncpanel.sequence.program import Program
from cncpanel.tooling.materials import MATERIALS


@dataclass(frozen=True, slots=True, kw_only=True)
class SetUp:
    """One sheet's facts as the page needs them; `spot` in the sheet's frame, `trace` the frame program's name."""

    job: JobHead
    machine: Machine
    sheet: Sheet
    sheets: int
    plans: Mapping[int, PanelPlan]
    runs: SheetRuns
    programs: Sequence[tuple[Program, TimeEstimate]]
    trace: str | None
    spot: Point | None


def setup_pieces(setup: SetUp, width: float) -> list[Piece]:
    """The page's pieces, `width` mm wide."""
    sheet, stock = setup.sheet, setup.sheet.stock
    mass = MATERIALS[stock.material].mass(sheet.length, sheet.width, stock.thickest)
    title = f"Set-up: sheet {sheet.number} of {setup.sheets}"
    return [
        Heading(title, 1),
        Sentence(f"{setup.machine.title}. {_stock_words(setup)}"),
        sheet_map(sheet, setup.plans, setup.runs.tabs, setup.spot, width=width),
        Bullets(tuple(_zero_words(setup))),
        Heading("Programs, in this order"),
        _programs(setup),
        Heading("Tools, in this order"),
        _tools(setup),
        Heading("Holding"),
        Bullets(tuple(_holding_words(setup))),
        Heading("Parts"),
        _parts(setup),
        Cautions(router_cautions(setup.machine, mass)),
    ]


def _stock_words(setup: SetUp) -> str:
    stock = setup.sheet.stock
    readings = ", ".join(f"{reading:g}" for reading in stock.measured) or "none: measure the sheet first"
    return (
        f"Stock: {stock.name}, {MATERIALS[stock.material].title}, {stock.sheet[0]:g} x {stock.sheet[1]:g} x "
        f"{stock.thickness:g} mm nominal; caliper readings {readings}. Programs reckon with {stock.thickest:g} mm "
        f"for depths and {stock.thinnest:g} mm for tabs."
    )


def _zero_words(setup: SetUp) -> list[str]:
    machine = setup.machine
    turned = (
        " The sheet's long side lies along machine Y; the map is the sheet's own frame: program X runs along the "
        "map's Y from the map's top, program Y along the map's X."
        if machine.sheet_turned
        else ""
    )
    words = [f"X and Y zero: the sheet's corner marked X0 Y0 on the map.{turned}"]
    if machine.table.z_zero == "table":
        return [*words, "Z zero: the spoilboard's surface, bare and clean."]
    if setup.spot is None:
        return [
            *words,
            "Z zero: the sheet's top; set it on a scrap of the same board, no spot here stays uncut.",
        ]
    x, y = setup.spot
    return [
        *words,
        f"Z zero: the sheet's top at the cross marked Z, sheet X {x:g} Y {y:g}: no program cuts there.",
    ]


def _programs(setup: SetUp) -> Table:
    rows = [
        (
            f"{program.name}.nc",
            f"{program.run} of {program.of}",
            ", ".join(f"T{tool.number}" for tool in program.tools),
            _minutes(time.total_s),
            f"{_minutes(time.band_s[0])} to {_minutes(time.band_s[1])}",
        )
        for program, time in setup.programs
    ]
    if setup.trace:
        rows.insert(0, (f"{setup.trace}.nc", "first", "any", "", "runs round the used area above the sheet"))
    return Table(head=("File", "Run", "Tools", "Time", "Likely between"), rows=tuple(rows), shares=(38, 10, 16, 14, 30))


def _minutes(seconds: float) -> str:
    return f"{seconds / 60:.0f} min" if seconds >= 90 else f"{seconds:.0f} s"


def _tools(setup: SetUp) -> Table:
    used: dict[int, Tool] = {}
    metres: dict[int, float] = {}
    for program, time in setup.programs:
        used |= {tool.number: tool for tool in program.tools}
        for tool_time in time.tools:
            metres[tool_time.number] = metres.get(tool_time.number, 0.0) + tool_time.cut_length_m
    speeds = {run.tool.number: run.rpm for run in setup.runs.runs}
    rows = tuple(
        (
            f"T{number}",
            tool.name,
            f"{tool.diameter:g}",
            f"{tool.measured_diameter:g}" if tool.measured_diameter else "measure it",
            f"{tool.stick_out:g}",
            _speed(setup.machine, speeds.get(number, 0.0)),
            f"{metres.get(number, 0.0):.1f}",
        )
        for number, tool in used.items()
    )
    head = ("Tool", "Name", "Nominal mm", "Measured mm", "Stick-out mm", "Speed", "Metres cut")
    return Table(head=head, rows=rows, shares=(8, 30, 14, 16, 16, 22, 14))


def _speed(machine: Machine, rpm: float) -> str:
    mark = next((mark for mark, value in machine.spindle.dial.items() if value == rpm), None)
    return f"{rpm:.0f} rpm, dial {mark}" if mark else f"{rpm:.0f} rpm"


def _holding_words(setup: SetUp) -> list[str]:
    machine, tabs = setup.machine, setup.runs.tabs
    how = {
        "clamps": f"Clamps: no higher than {machine.table.clamp_height:g} mm over the sheet, outside the cuts.",
        "screws": (
            f"Screws: heads no higher than {machine.table.clamp_height:g} mm, in the waste only, clear of every cut by "
            "a tool's width, shorter than sheet and spoilboard together."
        ),
        "vacuum": "Vacuum: mask what the sheet does not cover; check the gauge before every program.",
    }
    words = [how[machine.table.hold]]
    if tabs:
        heights = sorted({round(tab.height, 3) for tab in tabs})
        widths = sorted({round(tab.width, 3) for tab in tabs})
        words.append(
            f"{len(tabs)} tabs hold parts and slugs (thick bars on the map): {_list(widths)} mm wide, "
            f"{_list(heights)} mm high over the underside at the thinnest reading. Nothing comes free before the end; "
            "cut them with a chisel or a fine saw, sheet held down, and trim flush."
        )
    return words


def _list(values: Sequence[float]) -> str:
    return " and ".join(f"{value:g}" for value in values)


def _parts(setup: SetUp) -> Table:
    rows = []
    for part in setup.sheet.parts:
        panel = setup.plans[part.panel].panel
        left, low, right, high = panel.outline.bounds
        up = "back" if panel.face == "back" else "show"
        hand = ", mirrored" if part.mirrored_copy else ""
        bench = "; ".join(panel.bench)
        rows.append((part.label, f"{right - left:.1f} x {high - low:.1f}", f"{up} face up{hand}", bench))
    return Table(head=("Part", "Size mm", "Lies", "At the bench"), rows=tuple(rows), shares=(28, 24, 22, 50))
