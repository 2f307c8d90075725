"""The proof of one sheet: its programs read in order on the same stock, against what is wanted."""

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from math import isnan

import shapely

from cncpanel.machine.model import Machine
from cncpanel.proof.carved import Carved, carved
from cncpanel.proof.circumstances import AS_THE_MACHINE_SAYS, Circumstances, NotJudged
from cncpanel.proof.collision import collision_findings
from cncpanel.proof.compare import Comparison
from cncpanel.proof.compare_map import Cells
from cncpanel.proof.cuts import Cut, cuts_of
from cncpanel.proof.driven import standing, turning_findings
from cncpanel.proof.finding import Finding
from cncpanel.proof.habits import habit_findings
from cncpanel.proof.holding import Holding
from cncpanel.proof.load import load_findings, stretches
from cncpanel.proof.load_spread import LoadSpread, load_spreads
from cncpanel.proof.map_findings import map_findings, tolerances
from cncpanel.proof.material import Placed, Stock, material_findings
from cncpanel.proof.obstacle import Obstacle
from cncpanel.proof.program import ReadProgram, read_programs
from cncpanel.proof.reader import Reading
from cncpanel.proof.report import Report, report_of
from cncpanel.proof.rim import RimJudge
from cncpanel.proof.said import said_findings
from cncpanel.proof.setup import Setup
from cncpanel.proof.severed import Severing
from cncpanel.proof.sheet_ground import as_it_lies, cut_before, ground_findings, in_program
from cncpanel.proof.skin import skinned
from cncpanel.proof.slot import SlotJudge
from cncpanel.proof.speech import speech_findings
from cncpanel.proof.spread import Spread, low_rapids, spread_findings
from cncpanel.proof.tally import Tally
from cncpanel.proof.target import Target
from cncpanel.proof.touch_off import touch_off_findings, touch_off_spots
from cncpanel.proof.undercut_load import undercut_stretches


@dataclass(frozen=True, slots=True, kw_only=True)
class Witnessed:
    """What was found, and the sheet as the programs leave it; `excess` as the map has it, None where nothing is wanted.

    `carved` is None where the programs cut nothing; `loads` is empty where the material is not known.
    """

    report: Report
    carved: Carved | None = None
    excess: Cells | None = None
    loads: tuple[LoadSpread, ...] = ()


def prove(
    programs: Sequence[tuple[str, str]],
    machine: Machine,
    target: Target,
    tools: Mapping[str, Sequence[int]] | None = None,
    circumstances: Circumstances = AS_THE_MACHINE_SAYS,
) -> Report:
    """Judge the programs (name, text) of one sheet in the order in which they are run; see `witnessed`."""
    read = read_programs(programs, Setup(machine, target.thickness, circumstances.origin))
    return witnessed(read, machine, target, tools, circumstances).report


def witnessed(
    programs: Sequence[ReadProgram],
    machine: Machine,
    target: Target,
    tools: Mapping[str, Sequence[int]] | None = None,
    circumstances: Circumstances = AS_THE_MACHINE_SAYS,
) -> Witnessed:
    """Judge the programs of one sheet in the order in which they are run.

    Tools are known by number, from T words or comments that begin with TOOL T2 or FIT T2; `tools` may say for a program
    which ones its cuts must use, in order. A target without pieces is a sheet of which nothing is known to be wanted:
    only safety is judged. Findings are in program coordinates.
    """
    setup = Setup(machine, target.thickness, circumstances.origin)
    findings, dropped = _one_by_one(programs, setup, tools or {})
    cuts, placed = _placed(programs, setup)
    findings += ground_findings(target, circumstances, setup)
    wanted = cut_before(as_it_lies(target, setup), in_program(circumstances.used, target, setup))
    holding, undriven = standing(programs, placed, circumstances.holding, setup)
    findings += undriven
    held_at = [held.moved(*setup.corner).shape for held in holding]
    stock = Stock(wanted.sheet, cuts)
    findings += material_findings(placed, stock, setup)
    met = list(collision_findings(placed, stock, setup, holding))
    findings += met
    findings += touch_off_findings({s for one in programs for s in touch_off_spots(one.text, machine)}, cuts)
    findings += _at_worst(placed, stock, cuts, wanted, programs, setup)
    findings += _raised(programs, wanted, setup, holding, met)
    sheet = carved(placed, wanted.sheet, setup) if cuts else None
    findings += sheet.findings if sheet is not None else ()
    taken = [*(stretches(sheet) if sheet is not None else ()), *undercut_stretches(placed, stock, setup)]
    if circumstances.limits is not None:
        findings += load_findings(taken, setup, circumstances.limits)
    lower = Spread(setup).underside
    severing = Severing(wanted.sheet, cuts, setup, lower)
    holds = Holding(severing, cuts, taken, wanted, setup, circumstances.limits)
    pieces = list(severing.pieces(held_at))
    findings += holds.findings(pieces, clamps_known=bool(held_at))
    parted = [piece.shape for piece in pieces]
    findings += holds.skin_findings(skinned(wanted.sheet, cuts, setup, lower, held_at, parted))
    findings += turning_findings(severing, holding, setup)
    compared = _compared(wanted, cuts, sheet, setup, held_at, severing.freed)
    report = report_of(
        [*findings, *compared.findings],
        _numbers(programs) | compared.numbers | {"cuts": float(len(cuts))},
        [*circumstances.not_judged, *_not_simulated(findings), *_at_unknown_speed(circumstances, setup)],
        dropped,
        compared.tolerances,
    )
    loads = load_spreads(taken, setup, circumstances.limits) if circumstances.limits is not None else ()
    return Witnessed(report=report, carved=sheet, excess=compared.excess, loads=loads)


def _not_simulated(findings: Iterable[Finding]) -> Iterator[NotJudged]:
    """What a program asks for whose effect is not reckoned here; everything after it may be otherwise."""
    told: set[str] = set()
    for finding in findings:
        if finding.kind == "not-simulated" and finding.text not in told:
            told.add(finding.text)
            where = f"{finding.program} line {finding.line}"
            what = finding.text.removesuffix(" is not simulated")
            yield NotJudged(what, f"its effect is not simulated; first asked for in {where}", safety=True)


def _at_unknown_speed(circumstances: Circumstances, setup: Setup) -> Iterator[NotJudged]:
    spindle = setup.machine.spindle
    if circumstances.limits is not None and spindle.control == "hand" and not spindle.is_fixed:
        yield NotJudged("chip and power", "the spindle's speed is set by hand: no program says it", safety=False)


def _one_by_one(
    programs: Sequence[ReadProgram], setup: Setup, tools: Mapping[str, Sequence[int]]
) -> tuple[list[Finding], int]:
    """What is wrong with each program by itself, and how much of it was left out."""
    findings: list[Finding] = []
    dropped = 0
    for one in programs:
        told = Tally()
        told.add_all(one.reading.findings)
        told.add_all(speech_findings(one.text, setup.machine.dialect))
        told.add_all(said_findings(one.text, setup.machine))
        told.add_all(habit_findings(one.reading, setup))
        told.add_all(_tool_order(one.reading, tools.get(one.name)))
        findings += [finding.of_program(one.name) for finding in sorted(told.kept, key=lambda f: f.line)]
        dropped += one.reading.dropped + told.dropped
    return findings, dropped


@dataclass(frozen=True, slots=True)
class _Compared:
    findings: tuple[Finding, ...]
    numbers: dict[str, float]
    tolerances: tuple[str, ...] = ()
    excess: Cells | None = None


def _compared(
    wanted: Target,
    cuts: Sequence[Cut],
    sheet: Carved | None,
    setup: Setup,
    held_at: Sequence[shapely.Geometry],
    freed: Callable[[shapely.Polygon], Cut | None],
) -> _Compared:
    """Against what is wanted: by exact shapes, and by the map of depths."""
    exact = Comparison(wanted, cuts, setup, held_at, freed)
    slack = setup.machine.dialect.blend_tolerance
    told = (
        *exact.findings(),
        *RimJudge(wanted, exact.cuts, setup, slack).findings(),
        *SlotJudge(wanted, exact.cuts, setup, exact.touch).findings(),
    )
    if sheet is None:
        return _Compared(told, exact.numbers)
    numbers = exact.numbers | {
        "removed_mm3": sheet.measured.heights.volume,
        "cell_mm": sheet.measured.heights.grid.cell,
    }
    if not wanted.pieces:
        return _Compared(told, numbers)
    as_made = replace(wanted, floors=exact.wanted.floors)  # marks as wide as their strokes
    by_map = map_findings(sheet, as_made, setup, told, exact.beside_tabs)
    numbers |= {"gouge_most_mm": by_map.gouge, "leftover_most_mm": by_map.leftover}
    return _Compared((*told, *by_map.findings), numbers, tolerances(sheet, exact.touch), by_map.excess)


def _at_worst(
    placed: Sequence[Placed],
    stock: Stock,
    cuts: Sequence[Cut],
    wanted: Target,
    programs: Sequence[ReadProgram],
    setup: Setup,
) -> Iterator[Finding]:
    """What only a sheet or a zero that is as far out as it may be shows."""
    spread = Spread(setup)
    yield from spread_findings(cuts, wanted, stock, spread)
    rapids = low_rapids(placed, spread)
    if rapids:
        raised = spread.raised()
        higher, _ = _placed(programs, raised)
        yield from map(spread.told, material_findings(rapids, Stock(wanted.sheet, higher), raised))


def _raised(
    programs: Sequence[ReadProgram],
    wanted: Target,
    setup: Setup,
    holding: Sequence[Obstacle],
    met: Sequence[Finding],
) -> Iterator[Finding]:
    """What else clamps, shanks and nuts meet on a sheet that stands as high as it may; `met`: in any case."""
    spread = Spread(setup)
    raised = spread.raised()
    cuts, placed = _placed(programs, raised)
    known = {(finding.program, finding.line, finding.kind) for finding in met}
    for finding in collision_findings(placed, Stock(wanted.sheet, cuts), raised, holding):
        if (finding.program, finding.line, finding.kind) not in known:
            yield spread.told(finding)


def _placed(programs: Sequence[ReadProgram], setup: Setup) -> tuple[list[Cut], list[Placed]]:
    """All cuts of the sheet in order, and every move with the number of cuts before it."""
    cuts: list[Cut] = []
    placed: list[Placed] = []
    tools = setup.tools
    for one in programs:
        for move in one.reading.moves:
            placed.append(Placed(one.name, move, len(cuts)))
            if move.kind != "rapid":
                cuts += cuts_of(one.name, (move,), tools, setup.top)
    return cuts, placed


def _tool_order(reading: Reading, expected: Sequence[int] | None) -> list[Finding]:
    if expected is None:
        return []
    used: list[int] = []
    lines: list[int] = []
    for move in reading.moves:
        if move.kind != "rapid" and (not used or used[-1] != move.tool):
            used.append(move.tool)
            lines.append(move.line)
    if used == list(expected):
        return []
    line = next((at for at, has, asked in zip(lines, used, expected, strict=False) if has != asked), 0)
    said = ", ".join(f"T{number}" for number in used) or "none"
    wanted = ", ".join(f"T{number}" for number in expected)
    return [Finding(kind="tool-order", severity="safety", text=f"its cuts use {said}, not {wanted}", line=line)]


def _numbers(programs: Sequence[ReadProgram]) -> dict[str, float]:
    ways = [(move.kind == "rapid", move.length) for one in programs for move in one.reading.moves]
    return {
        "programs": float(len(programs)),
        "moves": float(len(ways)),
        "cut_mm": sum(length for rapid, length in ways if not rapid and not isnan(length)),
        "rapid_mm": sum(length for rapid, length in ways if rapid and not isnan(length)),
    }
