"""The proof of one sheet: its programs read in order on the same stock, against what is wanted."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

from cncpanel.machine.model import Machine
from cncpanel.proof.circumstances import AS_THE_MACHINE_SAYS, Circumstances
from cncpanel.proof.collision import collision_findings
from cncpanel.proof.compare import Comparison
from cncpanel.proof.cuts import Cut, cuts_of
from cncpanel.proof.finding import Finding
from cncpanel.proof.habits import habit_findings
from cncpanel.proof.holding import Holding
from cncpanel.proof.load import load_findings, stretches
from cncpanel.proof.material import Placed, Stock, material_findings
from cncpanel.proof.reader import Reading, read
from cncpanel.proof.report import Report, report_of
from cncpanel.proof.setup import Setup
from cncpanel.proof.severed import Severing
from cncpanel.proof.sheet_ground import as_it_lies, cut_before, ground_findings, in_program
from cncpanel.proof.speech import speech_findings
from cncpanel.proof.spread import Spread, low_rapids, spread_findings
from cncpanel.proof.tally import Tally
from cncpanel.proof.target import Target
from cncpanel.proof.touch_off import touch_off_findings, touch_off_spots

Read = tuple[str, Reading]  # a program's name and what was read of it


def prove(
    programs: Sequence[tuple[str, str]],
    machine: Machine,
    target: Target,
    tools: Mapping[str, Sequence[int]] | None = None,
    circumstances: Circumstances = AS_THE_MACHINE_SAYS,
) -> Report:
    """Judge the programs (name, text) of one sheet in the order in which they are run.

    Tools are known by number, from T words or comments that begin with TOOL T2 or FIT T2; `tools` may say for a program
    which ones its cuts must use, in order. A target without pieces is a sheet of which nothing is known to be wanted:
    only safety is judged. Findings are in program coordinates.
    """
    setup = Setup(machine, target.thickness, circumstances.origin)
    readings = [(name, read(text, setup.control)) for name, text in programs]
    findings: list[Finding] = []
    dropped = 0
    for (name, reading), (_, text) in zip(readings, programs, strict=True):
        told = Tally()
        told.add_all(reading.findings)
        told.add_all(speech_findings(text, machine.dialect))
        told.add_all(habit_findings(reading, setup))
        told.add_all(_tool_order(reading, (tools or {}).get(name)))
        findings += [finding.of_program(name) for finding in sorted(told.kept, key=lambda f: f.line)]
        dropped += reading.dropped + told.dropped
    cuts, placed = _placed(readings, setup)
    findings += ground_findings(target, circumstances, setup)
    wanted = cut_before(as_it_lies(target, setup), in_program(circumstances.used, target, setup))
    held_at = [held.moved(*setup.corner).shape for held in circumstances.holding]
    stock = Stock(wanted.sheet, cuts)
    findings += material_findings(placed, stock, setup)
    findings += collision_findings(placed, stock, setup, circumstances.holding)
    findings += touch_off_findings({s for _, text in programs for s in touch_off_spots(text, machine)}, cuts)
    findings += _at_worst(placed, stock, cuts, wanted, readings, setup)
    taken = list(stretches(placed, wanted.sheet, setup))
    if circumstances.limits is not None:
        findings += load_findings(taken, setup, circumstances.limits)
    severing = Severing(wanted.sheet, cuts, setup)
    findings += Holding(severing, cuts, taken, wanted, setup, circumstances.limits).findings(held_at)
    comparison = Comparison(wanted, cuts, setup, held_at)
    findings += comparison.findings()
    numbers = _numbers(readings) | comparison.numbers | {"cuts": float(len(cuts))}
    return report_of(findings, numbers, circumstances.not_judged, dropped)


def _at_worst(
    placed: Sequence[Placed],
    stock: Stock,
    cuts: Sequence[Cut],
    wanted: Target,
    readings: Sequence[Read],
    setup: Setup,
) -> Iterator[Finding]:
    """What only a sheet or a zero that is as far out as it may be shows."""
    spread = Spread(setup)
    yield from spread_findings(cuts, wanted, stock, spread)
    rapids = low_rapids(placed, spread)
    if rapids:
        raised = spread.raised()
        higher, _ = _placed(readings, raised)
        for finding in material_findings(rapids, Stock(wanted.sheet, higher), raised):
            yield replace(finding, text=f"{finding.text} on a sheet that stands {spread.top:.2f} mm higher")


def _placed(readings: Sequence[Read], setup: Setup) -> tuple[list[Cut], list[Placed]]:
    """All cuts of the sheet in order, and every move with the number of cuts before it."""
    cuts: list[Cut] = []
    placed: list[Placed] = []
    tools = setup.tools
    for name, reading in readings:
        for move in reading.moves:
            placed.append(Placed(name, move, len(cuts)))
            cuts += cuts_of(name, (move,), tools, setup.top)
    return cuts, placed


def _tool_order(reading: Reading, expected: Sequence[int] | None) -> list[Finding]:
    if expected is None:
        return []
    used: list[int] = []
    for move in reading.moves:
        if move.kind != "rapid" and (not used or used[-1] != move.tool):
            used.append(move.tool)
    if used == list(expected):
        return []
    said = ", ".join(f"T{number}" for number in used) or "none"
    wanted = ", ".join(f"T{number}" for number in expected)
    return [Finding(kind="tool-order", severity="safety", text=f"its cuts use {said}, not {wanted}")]


def _numbers(readings: Sequence[Read]) -> dict[str, float]:
    moves = [move for _, reading in readings for move in reading.moves]
    known = [move for move in moves if move.length == move.length]
    return {
        "programs": float(len(readings)),
        "moves": float(len(moves)),
        "cut_mm": sum(move.length for move in known if move.kind != "rapid"),
        "rapid_mm": sum(move.length for move in known if move.kind == "rapid"),
    }
