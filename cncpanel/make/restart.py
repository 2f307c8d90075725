"""A program taken up after a broken bit: what is asked, the checks that refuse, the new text, and its proof.

The proof runs the new program twice: on the sheet as it was where the program is taken up, and on the sheet with
everything cut up to the line that broke the bit. Nobody knows how far the bit still cut.
"""

import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from pathlib import Path

from cncpanel.errors import Gathering, Place, Problem, ProblemsFound
from cncpanel.make.one_file import refuse_unwritable
from cncpanel.make.program_file import program_texts
from cncpanel.make.prove_flow import Proved, prove_programs
from cncpanel.make.question import Question
from cncpanel.make.restart_head import Head, head_of, runs_of_sheet
from cncpanel.make.restart_text import broken_text, restart_text, unlike_restart
from cncpanel.proof.cuts import Cut, cuts_of
from cncpanel.proof.finding import Finding
from cncpanel.proof.prove import prove
from cncpanel.proof.reader import Reading, lines_of, read
from cncpanel.proof.report import Report
from cncpanel.proof.resumed import Resumption, cutting_moves, freed_by, resumption, way_findings

Tell = Callable[[str], None]
Text = tuple[str, str]
AGAIN = re.compile(r"^\(RESTART OF ", re.MULTILINE)


@dataclass(frozen=True, slots=True, kw_only=True)
class Broken:
    """The program, the line of its file at which the bit broke, and what is known of the machine's table."""

    program: Path
    line: int
    machine: str | None = None
    out: Path | None = None
    stock: str | None = None
    tools: Path | None = None
    holding: Path | None = None
    origin: str | None = None
    job: Path | None = None
    sheet: int | None = None

    @property
    def target(self) -> Path:
        """The file that is written."""
        return self.out or self.program.with_name(f"{self.program.stem}-restart{self.line}.nc")


@dataclass(frozen=True, slots=True, kw_only=True)
class Restarted:
    """The new program and what the witness says of it; `first_line` is the old line from which all is run again."""

    text: str
    first_line: int
    reports: tuple[tuple[str, Report], ...]

    @property
    def passed(self) -> bool:
        """Whether it may be handed out: what nobody could judge of the old program does not count against it."""
        return not any(finding.severity != "remark" for _, report in self.reports for finding in report.findings)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Case:
    """Everything that is known of the old program."""

    broken: Broken
    name: str
    text: str
    head: Head
    proved: Proved
    reading: Reading
    before: tuple[Text, ...]
    after: tuple[Text, ...]
    plan: Resumption

    @property
    def cuts_before(self) -> list[Cut]:
        """The cuts of the programs that were run on the sheet before this one."""
        setup, found = self.proved.setup, list[Cut]()
        for name, text in self.before:
            found += cuts_of(name, read(text, setup.control).moves, setup.tools, setup.top)
        return found


def restart(broken: Broken, tell: Tell) -> Restarted:
    """The program that takes up a broken one; raises ProblemsFound where that cannot be done."""
    _refuse_targets(broken)
    name, text = _read_one(broken)
    head = head_of(text)
    paths = runs_of_sheet(broken.program)
    proved = prove_programs(_question(broken, name, head, paths), tell)
    case = _case(broken, head, proved, paths.index(broken.program))
    _refuse_free(case)
    as_it_is = Restarted(text="", first_line=0, reports=((f"under {name} as it is", proved.report),))
    return _taken_up(case, tell) if as_it_is.passed else as_it_is


def _refuse_targets(broken: Broken) -> None:
    if broken.target.absolute() == broken.program.absolute():
        raise ProblemsFound([Problem(Place("--out"), "is the program itself", "another file")])
    machine = Path(broken.machine) if broken.machine else None
    refuse_unwritable(("--out", broken.target), read=(machine, broken.tools, broken.holding, broken.job))


def _read_one(broken: Broken) -> Text:
    gathering = Gathering()
    name, text = program_texts((broken.program,), gathering)[0]
    gathering.stop_if_any()
    if AGAIN.search(text):
        gathering.problem(Place(name), "is a restart itself, and does not say all that was cut", "the program it names")
    lines = len(lines_of(text.removesuffix("\n")))
    if not 1 <= broken.line <= lines:
        gathering.problem(Place("--at"), f"{name} has no line {broken.line}", f"1 to {lines}")
    gathering.stop_if_any()
    return name, text


def _question(broken: Broken, name: str, head: Head, paths: tuple[Path, ...]) -> Question:
    gathering = Gathering()
    machine = broken.machine or head.machine
    if machine is None:
        gathering.problem(Place(name), "its head names no machine that is shipped", "--machine")
    stock = broken.stock or (None if broken.job else head.stock)
    if stock is None and broken.job is None:
        gathering.problem(Place(name), "its head does not say how large and thick the sheet is", "--stock or --job")
    gathering.stop_if_any()
    assert machine is not None, "a machine without problems is a machine"
    return Question(
        programs=paths,
        machine=machine,
        stock=stock,
        tools=str(broken.tools) if broken.tools else None,
        holding=broken.holding,
        origin=broken.origin,
        job=broken.job,
        sheet=broken.sheet,
    )


def _case(broken: Broken, head: Head, proved: Proved, number: int) -> _Case:
    name, text = proved.programs[number]
    reading = read(text, proved.setup.control)
    found = _unlike_cut(broken, reading, proved, name)
    plan = None if found else resumption(reading, broken.line, proved.setup)
    if plan is not None:
        first_line = reading.moves[plan.first].line
        found = list(unlike_restart(name, text, first_line, broken.line, proved.machine))
    elif not found:
        text = "the cut it belongs to does not begin over the sheet's top: where the tool comes from is not known"
        found = [Problem(Place(name, broken.line), text, "a cut that begins over the sheet; is --origin right?")]
    if plan is None or found:
        raise ProblemsFound(found)
    return _Case(
        broken=broken,
        name=name,
        text=text,
        head=head,
        proved=proved,
        reading=reading,
        before=proved.programs[:number],
        after=proved.programs[number + 1 :],
        plan=plan,
    )


def _unlike_cut(broken: Broken, reading: Reading, proved: Proved, name: str) -> list[Problem]:
    """Why nothing can break on the line."""
    found = cutting_moves(reading, broken.line, proved.setup)
    place = Place(name, broken.line)
    if len(found) > 1:
        return [Problem(place, "a canned cycle cannot be taken up in its middle", "a line that cuts once")]
    if found:
        return []
    lines = {
        move.line
        for move in reading.moves
        if move.kind != "rapid" and min(move.start[2], move.end[2]) < proved.setup.top
    }
    near = [str(line) for line in _nearest(lines, broken.line)]
    return [Problem(place, "cuts nothing", f"a line that cuts, such as {' or '.join(near)}" if near else "")]


def _nearest(lines: set[int], line: int) -> Iterator[int]:
    below, above = [n for n in lines if n < line], [n for n in lines if n > line]
    if below:
        yield max(below)
    if above:
        yield min(above)


def _refuse_free(case: _Case) -> None:
    proved = case.proved
    held_at = [held.moved(*proved.setup.corner).shape for held in proved.circumstances.holding]
    target = proved.target or proved.sheet
    free = list(freed_by(case.cuts_before, case.reading, case.plan.broken, target, proved.setup, held_at))
    if free:
        piece = free[0]
        x, y = piece.shape.representative_point().coords[0]
        where = f"{piece.by.program or case.name} line {piece.by.move.line}"
        text = f"a piece of {piece.shape.area:.0f} mm2 at X{x:.1f} Y{y:.1f} is free by then (since {where})"
        hint = "nobody knows where it lies now; cut what is missing anew"
        raise ProblemsFound([Problem(Place(case.name, case.broken.line), text, hint)])


def _taken_up(case: _Case, tell: Tell) -> Restarted:
    plan, proved = case.plan, case.proved
    name = case.broken.target.name
    text = restart_text(case.name, case.text, case.reading, plan, case.broken.line, case.head, proved)
    first_line = case.reading.moves[plan.first].line
    reports = []
    for number, (said, last) in enumerate(
        (("cut as far as it goes back", first_line - 1), (f"cut up to line {case.broken.line}", case.broken.line))
    ):
        tell(f"proving the restart, the sheet {said}")
        report = _proof(case, (name, text), last)
        if number == 0:
            report = replace(report, findings=(*report.findings, *_way(case, name, text)))
        reports.append((said, report))
    return Restarted(text=text, first_line=first_line, reports=tuple(reports))


def _proof(case: _Case, new: Text, last: int) -> Report:
    """The new program on the sheet with the old one's lines up to `last` cut.

    How the old one ends after that line is made up here: what is wrong with that no machine ever runs.
    """
    old = (f"{case.name} up to line {last}", broken_text(case.text, last, case.head, case.proved))
    programs = (*case.before, old, new, *case.after)
    report = prove(programs, case.proved.machine, case.proved.given, circumstances=case.proved.circumstances)
    run = (one for one in report.findings if one.program != old[0] or one.line <= last)
    return replace(report, findings=tuple(run))


def _way(case: _Case, name: str, text: str) -> list[Finding]:
    proved = case.proved
    new = read(text, proved.setup.control)
    found = way_findings(case.cuts_before, case.reading, new, case.plan, proved.target or proved.sheet, proved.setup)
    return [finding.of_program(name) for finding in found]
