"""Any programs read back and judged: the machine, the table and the wanted shape put together from what is known."""

import re
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from cncpanel import wanted
from cncpanel.errors import Gathering, Place, ProblemsFound
from cncpanel.layout.layout import Sheet
from cncpanel.layout.turned import needs_turning
from cncpanel.machine.model import Machine
from cncpanel.machine.read import read_machine, shipped_machines
from cncpanel.make.choice import Choice
from cncpanel.make.cutting_limits import cutting_limits
from cncpanel.make.flow import Prepared, prepare
from cncpanel.make.given import holding_of, judge_tools, stock_size, with_tools, zero_place
from cncpanel.make.program_file import program_texts
from cncpanel.make.question import Question
from cncpanel.make.sheet_given import UNNAMED_CLAMPS, circumstances_of
from cncpanel.make.sheet_set import target_of
from cncpanel.make.turned_set import set_ups
from cncpanel.passes.screws import with_screws
from cncpanel.passes.sheet import sheet_runs
from cncpanel.proof.circumstances import AS_THE_MACHINE_SAYS, Circumstances, NotJudged
from cncpanel.proof.clock import Duration, duration
from cncpanel.proof.load import CuttingLimits
from cncpanel.proof.motion import Point3
from cncpanel.proof.obstacle import Obstacle
from cncpanel.proof.program import ReadProgram, read_programs
from cncpanel.proof.prove import Witnessed, witnessed
from cncpanel.proof.report import Report
from cncpanel.proof.rough_stock import blank, rough_size
from cncpanel.proof.setup import Setup
from cncpanel.proof.sheet_ground import as_it_lies
from cncpanel.proof.target import Target

Tell = Callable[[str], None]
Text = tuple[str, str]
_SET_UP = re.compile(r"^\(SET-UP ([12]) OF 2", re.MULTILINE)
_SHEET = re.compile(r"^\(SHEET (\d+)(?: OF \d+)?,", re.MULTILINE)
_TRACE = re.compile(r"^\(SHEET [^()]*FRAME TRACE\)", re.MULTILINE)


@dataclass(frozen=True, slots=True, kw_only=True)
class Proved:
    """The witness's answer; `report` is on all programs, `found` on those that cut.

    `target` is in program coordinates, None where nothing is known to be wanted.

    `given` and `circumstances` are what it was asked with: other programs on the same sheet may be judged by them.
    """

    read: tuple[ReadProgram, ...]
    times: tuple[Duration, ...]
    machine: Machine
    setup: Setup
    sheet: Target
    target: Target | None
    given: Target
    circumstances: Circumstances
    found: Witnessed
    report: Report

    @property
    def programs(self) -> tuple[Text, ...]:
        """Name and text of each."""
        return tuple((one.name, one.text) for one in self.read)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Known:
    """What was given, read."""

    programs: tuple[Text, ...]
    machine: Machine
    stock: Point3 | None
    origin: Point3 | None
    holding: tuple[Obstacle, ...] | None
    wanted: Target | None
    limits: CuttingLimits | None
    ground: Circumstances


def prove_programs(question: Question, tell: Tell) -> Proved:
    """Judge the programs on one sheet, in order; raises ProblemsFound with every mistake in what was given."""
    known = _known(question, tell)
    machine, programs = known.machine, known.programs
    tell(f"proving {len(programs)} program{'' if len(programs) == 1 else 's'}")
    target = known.wanted or _blank(known)
    setup = Setup(machine, target.thickness, known.origin)
    read = read_programs(programs, setup)
    circumstances = Circumstances(
        origin=known.origin,
        holding=known.holding or (),
        used=known.ground.used,
        flaws=known.ground.flaws,
        limits=known.limits,
        not_judged=tuple(_not_judged(known, question)),
    )
    shown = [one for one in read if known.wanted and _TRACE.search(one.text)]
    cutting = [one for one in read if one not in shown]
    found = witnessed(cutting, machine, target, circumstances=circumstances)
    report = found.report
    if shown:
        also = witnessed(shown, machine, target.untouched(), circumstances=circumstances.screwed_down)
        report = report.and_also(also.report)
    lying = as_it_lies(target, setup)
    return Proved(
        read=read,
        times=tuple(duration(one.reading, machine) for one in read),
        machine=machine,
        setup=setup,
        sheet=lying,
        target=lying if known.wanted else None,
        given=target,
        circumstances=circumstances,
        found=found,
        report=report,
    )


def _known(question: Question, tell: Tell) -> _Known:
    gathering = Gathering()
    programs = program_texts(question.programs, gathering)
    stock = stock_size(question.stock, gathering) if question.stock is not None else None
    origin = zero_place(question.origin, gathering) if question.origin is not None else None
    _tell_conflicts(question, gathering)
    machine = _machine(question, gathering)
    holding = holding_of(question.holding, machine, gathering) if question.holding else None
    number = _sheet_number(question, programs, gathering) if question.job else None
    prepared = _prepared(question.job, question.machine, tell, gathering) if question.job else None
    sheet = _sheet(prepared, number, gathering) if prepared and number else None
    gathering.stop_if_any()
    assert machine is not None, "a machine without problems is a machine"
    side = _side_number(programs, prepared, sheet, gathering) if prepared and sheet else 2
    gathering.stop_if_any()
    of_job = _of_job(prepared, sheet, machine, side) if prepared and sheet else None
    sheet, wanted, limits = of_job or (None, None, None)
    ground = circumstances_of(sheet.stock, machine) if sheet else AS_THE_MACHINE_SAYS
    holding = holding if question.holding else ground.holding or None
    return _Known(
        programs=programs,
        machine=machine,
        stock=stock,
        origin=origin,
        holding=holding,
        wanted=wanted,
        limits=limits,
        ground=ground,
    )


def _tell_conflicts(question: Question, gathering: Gathering) -> None:
    if question.job and question.stock:
        gathering.problem(Place("--stock"), "the job says what the stock is", "--job or --stock")
    if question.sheet is not None and not question.job:
        gathering.problem(Place("--sheet"), "is a sheet of a job, and none is given", "with --job")


def _machine(question: Question, gathering: Gathering) -> Machine | None:
    try:
        machine = read_machine(question.machine, beside=Path())
    except ProblemsFound as found:
        option = Place("--machine")
        gathering.found += [replace(p, place=option) if p.place == Place("machine") else p for p in found.problems]
        if question.tools is not None and question.tools not in shipped_machines():
            judge_tools(Path(question.tools), gathering)
        return None
    if question.tools is None:
        return machine
    return with_tools(machine, shipped_machines().get(question.tools, Path(question.tools)), gathering)


def _prepared(job: Path, machine: str, tell: Tell, gathering: Gathering) -> Prepared | None:
    try:
        return prepare(job, Choice(machine=_from_here(machine)), tell)
    except ProblemsFound as found:
        gathering.found += found.problems
        return None


def _from_here(machine: str) -> str:
    """A machine file's path as seen from anywhere; a shipped name stays."""
    return str(Path(machine).absolute()) if machine.endswith(".toml") else machine


def _sheet_number(question: Question, programs: Sequence[Text], gathering: Gathering) -> int | None:
    """The sheet that was named, or the one that every program's head names."""
    if question.sheet is not None:
        return question.sheet
    said = [_SHEET.search(text) for _, text in programs if text]
    numbers = {int(found[1]) for found in said if found}
    if None not in said and len(numbers) <= 1:
        return numbers.pop() if numbers else None
    text = "the programs are of different sheets" if len(numbers) > 1 else "a program's head names no sheet"
    gathering.problem(Place("--sheet"), text, "--sheet N, programs of one sheet")
    return None


def _sheet(prepared: Prepared, number: int, gathering: Gathering) -> Sheet | None:
    for sheet in prepared.layout.sheets:
        if sheet.number == number:
            return sheet
    count = len(prepared.layout.sheets)
    gathering.problem(Place("--sheet"), f"the job has no sheet {number}", f"1 to {count}")
    return None


def _side_number(programs: Sequence[Text], prepared: Prepared, sheet: Sheet, gathering: Gathering) -> int:
    """The set-up that every program's head names, 2 where the sheet has one only."""
    if not needs_turning(sheet, {panel.index: panel for panel in prepared.panels}):
        return 2
    said = {int(found[1]) if (found := _SET_UP.search(text)) else 0 for _, text in programs}
    if len(said) == 1 and 0 not in said:
        return said.pop()
    text = "the sheet is cut from both faces, and the programs' heads do not name one set-up"
    gathering.problem(Place("--job"), text, "the programs of one set-up at a time")
    return 2


def _of_job(prepared: Prepared, sheet: Sheet, machine: Machine, side: int) -> tuple[Sheet, Target, CuttingLimits]:
    """The sheet with its screws, what `make` would have its programs make, and what it would ask of the tools."""
    if side == 1:
        plans, reverse, settings = prepared.plans, prepared.reverse, prepared.read.job.settings
        (under, holes), _ = set_ups(sheet, plans, reverse, machine, settings, Gathering())
        assert under.side is not None, "a sheet before its turn has a side"
        spots = tuple(spot for plan in reverse for spot in plan.spots)
        first = wanted.turned_target(prepared.read, sheet, under.side.axis, spots)
        return sheet, first, cutting_limits(sheet.stock.material, machine, holes.cuts)
    by_panel = {plan.panel.index: plan for plan in prepared.plans}
    runs = sheet_runs(sheet, by_panel, machine, prepared.read.job.settings, Gathering())
    sheet = with_screws(sheet, runs.screws)
    target = target_of(sheet, runs, prepared.plans, machine, prepared.read)
    return sheet, target, cutting_limits(sheet.stock.material, machine, runs.cuts)


def _blank(known: _Known) -> Target:
    """The sheet alone: as given, or as far as the programs reach."""
    machine = known.machine
    if known.stock is not None:
        x, y, thickness = known.stock
        return blank((x, y), thickness, machine)
    setup = Setup(machine, 0.0, known.origin)
    moves = (move for one in read_programs(known.programs, setup) for move in one.reading.moves)
    x, y, thickness = rough_size(moves, setup)
    return blank((x, y), thickness, machine)


def _not_judged(known: _Known, question: Question) -> Iterator[NotJudged]:
    """What nobody said and nothing shows. A job says it all, but for where clamps stand that it does not name."""
    clamped = known.holding is None and known.machine.table.hold != "vacuum"
    if known.wanted is not None:
        if clamped:
            yield UNNAMED_CLAMPS
        return
    yield NotJudged("the wanted shape", "no --job: gouges and what is left standing are not told", safety=False)
    yield NotJudged("load and power", "the material is not known without --job", safety=False)
    if known.stock is None:
        yield NotJudged("the stock", "no --stock: its rims and its underside are not known", safety=True)
    if known.origin is None:
        yield NotJudged("the zero", "no --origin: taken as the machine file has it, the sheet's corner", safety=True)
    if question.tools is None:
        rack = f"no --tools: taken by number from the rack of {known.machine.name} (--tools {question.machine} says so)"
        yield NotJudged("the tools", rack, safety=True)
    if clamped:
        yield NotJudged("clamps and screws", "no --holding: where they stand is not known", safety=True)
