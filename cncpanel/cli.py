"""The command line: options, progress, exit codes. Everything heavy is imported by the command that needs it.

Exit codes: 0 made or in order; 1 a program failed its proof; 2 the input cannot be used, every mistake listed.
"""

import signal
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from functools import wraps
from pathlib import Path
from types import FrameType
from typing import TYPE_CHECKING, Any

import click

from cncpanel import __version__

if TYPE_CHECKING:
    from cncpanel.errors import Problem, ProblemsFound
    from cncpanel.job.model import Face
    from cncpanel.make.flow import Made
    from cncpanel.make.prove_flow import Proved
    from cncpanel.make.restart import Restarted

NOT_PROVEN, NOT_USABLE = 1, 2
STOPPED = 130  # 128 and the number of the signal, as shells tell it
ONLY_HELP = "Write only these, with commas between: programs, dxf, sheets, templates, artwork."
MACHINE_HELP = "Cut on this machine instead of the job's own: a shipped name or a .toml file."


def _told(command: Callable[..., None]) -> Callable[..., None]:
    """Every mistake in the input is printed, a line each, and ends with exit code 2; Ctrl-C ends with 130."""

    @wraps(command)
    def run(*args: Any, **kwargs: Any) -> None:
        with _noting_stops() as stops:
            try:
                _run(command, *args, **kwargs)
            except (KeyboardInterrupt, ImportError):  # a library stopped while it loads: "cannot be imported"
                if not stops:
                    raise
                click.echo("\nstopped; nothing is half-written", err=True)
                sys.exit(STOPPED)

    return run


@contextmanager
def _noting_stops() -> Iterator[list[int]]:
    """The list that every Ctrl-C is noted in; where somebody else handles or ignores it, that stays."""
    stops: list[int] = []

    def stop(number: int, frame: FrameType | None) -> None:
        stops.append(number)
        raise KeyboardInterrupt

    if signal.getsignal(signal.SIGINT) is not signal.default_int_handler:
        yield stops
        return
    signal.signal(signal.SIGINT, stop)
    try:
        yield stops
    finally:
        signal.signal(signal.SIGINT, signal.default_int_handler)


def _run(command: Callable[..., None], *args: Any, **kwargs: Any) -> None:
    from cncpanel.errors import ProblemsFound

    try:
        command(*args, **kwargs)
    except ProblemsFound as found:
        _tell_problems(found)
        sys.exit(NOT_USABLE)


def _tell_problems(found: "ProblemsFound") -> None:
    for problem in found.problems:
        click.echo(str(problem), err=True)
    mistakes = sum(not problem.warning for problem in found.problems)
    click.echo(f"{mistakes} mistake{'' if mistakes == 1 else 's'}; nothing was written", err=True)


@click.group(context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100})
@click.version_option(__version__, prog_name="cncpanel")
def main() -> None:
    """From a cabinet's job file to checked CNC programs, drawings and sheets.

    \b
    Start here:
      cncpanel new stand.toml                 a commented job file to edit
      cncpanel check stand.toml               read and judge it, write nothing
      cncpanel make stand.toml --out build    programs, DXF, sheets, report
    """


@main.command()
@click.argument("job", type=click.Path(path_type=Path))
@click.option("--out", type=click.Path(path_type=Path), required=True, help="Folder for everything that is made.")
@click.option("--machine", help=MACHINE_HELP)
@click.option("--allow-unmade", is_flag=True, help="Make the rest where a feature needs what is not made yet.")
@click.option("--only", help=ONLY_HELP)
@click.option("--quiet", is_flag=True, help="Only mistakes and failed proofs are printed.")
@_told
def make(job: Path, out: Path, machine: str | None, allow_unmade: bool, only: str | None, quiet: bool) -> None:
    """Make programs, DXF, sheets, templates, artwork and the report of JOB into a folder, all or nothing.

    Every program is read back and checked against the drawing before it is written. If one fails, no program is
    written, the report says why, and the exit code is 1. The folder is replaced as a whole; a folder with files that no
    earlier run wrote is refused.

    \b
    Examples:
      cncpanel make fixtures/jobs/millrace.toml --out build/millrace
      cncpanel make stand.toml --out build/stand --machine desktop-router
      cncpanel make stand.toml --out build/paper --only sheets,templates
    """
    from cncpanel.make.choice import Choice, chosen
    from cncpanel.make.folder import refuse_foreign, write_folder

    kinds = chosen(only)
    refuse_foreign(out)
    from cncpanel.make.files import files  # late: it loads what cannot start in a folder that is gone

    made = _made(job, machine, allow_unmade, quiet)
    tell = _teller(quiet)
    tell("writing drawings and sheets")
    write_folder(out, files(made, Choice(only=kinds)))
    _tell_result(made, quiet)
    if not made.passed:
        click.echo(f"NOT PROVEN: no program was written; see {out / 'index.html'}", err=True)
        sys.exit(NOT_PROVEN)
    if not quiet:
        click.echo(f"everything is in {out}; open {out / 'index.html'}")


@main.command()
@click.argument("job", type=click.Path(path_type=Path))
@click.option("--machine", help=MACHINE_HELP)
@click.option("--allow-unmade", is_flag=True, help="Judge the rest where a feature needs what is not made yet.")
@click.option("--quiet", is_flag=True, help="Only mistakes and failed proofs are printed.")
@_told
def check(job: Path, machine: str | None, allow_unmade: bool, quiet: bool) -> None:
    """Read and judge JOB as `make` would, its programs proven too; write nothing.

    \b
    Example:
      cncpanel check stand.toml
    """
    made = _made(job, machine, allow_unmade, quiet)
    _tell_result(made, quiet)
    if not made.passed:
        sys.exit(NOT_PROVEN)


@main.command()
@click.argument("job", type=click.Path(path_type=Path))
@click.option("--machine", help=MACHINE_HELP)
@click.option("--steps", type=click.IntRange(0), help="Tries to find a better layout; absent: the job's.")
@click.option("--seed", type=click.IntRange(0), help="Another seed looks elsewhere; absent: the job's.")
@click.option("--seconds", type=click.FloatRange(0, min_open=True), help="Cap on the search; it is then recorded.")
@click.option("--keep", is_flag=True, help="Keep the layout beside the job; make and check then use it.")
@click.option("--quiet", is_flag=True, help="Only mistakes are printed.")
@_told
def layout(
    job: Path,
    machine: str | None,
    steps: int | None,
    seed: int | None,
    seconds: float | None,
    keep: bool,
    quiet: bool,
) -> None:
    """Lay JOB's parts out on sheets anew and say how many are needed; write nothing without --keep.

    The same seed and steps give the same layout, unless --seconds cut them short.

    \b
    Examples:
      cncpanel layout stand.toml
      cncpanel layout stand.toml --steps 400 --keep
    """
    from cncpanel.make.arrange import keep_layout, packing_lines
    from cncpanel.make.choice import Choice
    from cncpanel.make.flow import prepare

    choice = Choice(machine=machine, allow_unmade=True, steps=steps, seed=seed, seconds=seconds, anew=True)
    prepared = prepare(job, choice, _teller(quiet))
    if not quiet:
        _tell_warnings(prepared.gathering.warnings)
        for line in packing_lines(prepared.layout, prepared.panels):
            click.echo(line)
    if keep:
        kept = keep_layout(job, prepared.layout, prepared.read, prepared.panels, prepared.plans)
        if not quiet:
            click.echo(f"kept in {kept}")


def _made(job: Path, machine: str | None, allow_unmade: bool, quiet: bool) -> "Made":
    from cncpanel.make.choice import Choice
    from cncpanel.make.flow import make as make_all

    return make_all(job, Choice(machine=machine, allow_unmade=allow_unmade), _teller(quiet))


def _teller(quiet: bool) -> Callable[[str], None]:
    """Progress goes to standard error, a line a step."""
    return (lambda text: None) if quiet else (lambda text: click.echo(f"{text} ...", err=True))


def _tell_result(made: "Made", quiet: bool) -> None:
    for sheet in made.sheets:
        for finding in sheet.report.findings:
            if finding.severity != "remark" or not quiet:
                click.echo(str(finding), err=True)
    if quiet:
        return
    _tell_warnings(made.gathering.warnings)
    for sheet in made.sheets:
        minutes = sum(written.time.total_s for written in sheet.programs) / 60
        click.echo(
            f"sheet {sheet.sheet.number}: {len(sheet.sheet.parts)} parts, {len(sheet.programs)} "
            f"program{'' if len(sheet.programs) == 1 else 's'}, about {minutes:.0f} min, {sheet.report.verdict}"
        )


def _tell_warnings(warnings: "tuple[Problem, ...]") -> None:
    for warning in dict.fromkeys(warnings):
        click.echo(str(warning), err=True)


@main.command()
@click.argument("programs", type=click.Path(path_type=Path), nargs=-1, required=True)
@click.option("--machine", required=True, help="The machine that is to run them: a shipped name or a .toml file.")
@click.option("--stock", help="The sheet's size along X and Y and its thickness, such as 1220x2440x18.")
@click.option(
    "--tools", type=click.Path(path_type=Path), help="A file of [[tool]] tables instead of the machine's rack."
)
@click.option("--origin", help="X,Y,Z of the programs' zero from the sheet's lower left corner at its top, in mm.")
@click.option("--holding", type=click.Path(path_type=Path), help="A file of [[holding]] tables: clamps and screws.")
@click.option("--job", type=click.Path(path_type=Path), help="The job whose sheet they are to make.")
@click.option("--sheet", type=int, help="Which of the job's sheets, where the programs' heads do not say it.")
@click.option("--json", "as_json", is_flag=True, help="Print the answer as JSON.")
@click.option("--picture", type=click.Path(path_type=Path), help="Write a PNG of the depths.")
@click.option("--out", type=click.Path(path_type=Path), help="Write the picture to look into, one HTML file.")
@click.option("--quiet", is_flag=True, help="Print only what is wrong and the verdict.")
@_told
def prove(
    programs: tuple[Path, ...],
    machine: str,
    stock: str | None,
    tools: Path | None,
    origin: str | None,
    holding: Path | None,
    job: Path | None,
    sheet: int | None,
    as_json: bool,
    picture: Path | None,
    out: Path | None,
    quiet: bool,
) -> None:
    """Read PROGRAMS back in their order on one sheet and judge what they would do; write nothing to a machine.

    Any RS-274 program, ours or another's. What is not known is listed as not judged, and nothing passes while that
    bears on safety. The exit code is 0 where they pass, 1 where they do not, 2 where something given cannot be used.

    \b
    Examples:
      cncpanel prove a.nc b.nc --machine shop-router --stock 2440x1220x18 --origin 0,0,0 --holding clamps.toml
      cncpanel prove build/programs/*-sheet1-run*.nc --machine shop-router --job stand.toml --out proof.html
    """
    from cncpanel.make.prove_flow import prove_programs
    from cncpanel.make.question import Question

    question = Question(
        programs=programs,
        machine=machine,
        stock=stock,
        tools=tools,
        origin=origin,
        holding=holding,
        job=job,
        sheet=sheet,
    )
    _refuse_pictures(picture, out)
    proved = prove_programs(question, _teller(quiet or as_json))
    _write_pictures(proved, picture, out)
    _tell_proved(proved, as_json, quiet)
    if not proved.report.passed:
        sys.exit(NOT_PROVEN)


def _refuse_pictures(picture: Path | None, out: Path | None) -> None:
    from cncpanel.make.one_file import refuse_unwritable

    refuse_unwritable(("--picture", picture), ("--out", out))


def _write_pictures(proved: "Proved", picture: Path | None, out: Path | None) -> None:
    if picture is None and out is None:
        return
    from cncpanel.make.one_file import write
    from cncpanel.make.prove_files import depth_png, page

    if picture is not None:
        write(picture, depth_png(proved))
    if out is not None:
        write(out, page(proved))


def _tell_proved(proved: "Proved", as_json: bool, quiet: bool) -> None:
    from cncpanel.make.report_data import proved_data

    report = proved.report
    if as_json:
        import json

        click.echo(json.dumps(proved_data(proved), indent=1, ensure_ascii=False, allow_nan=False))
        return
    for finding in report.findings:
        if finding.severity != "remark" or not quiet:
            click.echo(str(finding))
    if report.dropped:
        click.echo(f"{report.dropped} more of the same kinds")
    for open_point in report.not_judged:
        if open_point.safety or not quiet:
            click.echo(str(open_point))
    click.echo(report.verdict)


@main.command()
@click.argument("program", type=click.Path(path_type=Path))
@click.option("--at", "line", type=int, required=True, help="The line of the file at which the bit broke.")
@click.option("--machine", help="The machine that runs it: a shipped name or a .toml file; absent: the head's.")
@click.option("--out", type=click.Path(path_type=Path), help="The file to write; absent: beside PROGRAM.")
@click.option("--stock", help="The sheet's size along X and Y and its thickness; absent: the head's.")
@click.option("--tools", type=click.Path(path_type=Path), help="A file of [[tool]] tables: the new bit as measured.")
@click.option("--holding", type=click.Path(path_type=Path), help="A file of [[holding]] tables: clamps and screws.")
@click.option("--job", type=click.Path(path_type=Path), help="The job whose sheet it makes: the result is compared.")
@click.option("--sheet", type=int, help="Which of the job's sheets, where the program's head does not say it.")
@click.option("--quiet", is_flag=True, help="Only mistakes and failed proofs are printed.")
@_told
def restart(
    program: Path,
    line: int,
    machine: str | None,
    out: Path | None,
    stock: str | None,
    tools: Path | None,
    holding: Path | None,
    job: Path | None,
    sheet: int | None,
    quiet: bool,
) -> None:
    """Write a program that takes PROGRAM up again after its bit broke at a line of the file.

    It stops first: the new bit is fitted and measured, X and Y are confirmed, Z is set anew. Then it goes back to the
    start of that pass, or ten seconds where that is earlier, comes down where the sheet is cut already, and runs the
    rest. It is proven with that stretch cut and uncut, and refused where a piece is free by then. The other runs of the
    sheet must lie beside PROGRAM.

    \b
    Examples:
      cncpanel restart build/programs/stand-sheet1-run1of1.nc --at 812
      cncpanel restart a.nc --at 812 --machine shop-router --stock 2440x1220x18 --out a-again.nc
    """
    from cncpanel.make.one_file import write
    from cncpanel.make.restart import Broken
    from cncpanel.make.restart import restart as take_up

    broken = Broken(
        program=program,
        line=line,
        machine=machine,
        out=out,
        stock=stock,
        tools=tools,
        holding=holding,
        job=job,
        sheet=sheet,
    )
    restarted = take_up(broken, _teller(quiet))
    _tell_restarted(restarted, quiet)
    if not restarted.passed:
        click.echo("NOT PROVEN: nothing was written", err=True)
        sys.exit(NOT_PROVEN)
    write(broken.target, restarted.text.encode("latin-1"))
    if not quiet:
        click.echo(f"{broken.target}: runs again from line {restarted.first_line}")


def _tell_restarted(restarted: "Restarted", quiet: bool) -> None:
    for said, report in restarted.reports:
        for finding in report.findings:
            if finding.severity != "remark" or not quiet:
                click.echo(f"the sheet {said}: {finding}", err=True)
    if not quiet:
        for open_point in restarted.reports[0][1].not_judged:
            click.echo(str(open_point), err=True)


@main.command()
@click.argument("job", type=click.Path(path_type=Path))
@click.argument("panel")
@click.option("--out", type=click.Path(path_type=Path), required=True, help="A .pdf, .svg or .dxf file, or a folder.")
@click.option("--paper", help="A4, A3, Letter, Tabloid ..., with ' landscape', or 300x500; roll: in one piece.")
@click.option("--margin", help="White round each page, 10 mm or more: the check bars stand in it.")
@click.option("--overlap", help="What neighbouring tiles both show, 6 to 50 mm.")
@click.option("--correct", metavar="X,Y", help="True length over printed length of a printer known to be off.")
@click.option("--saw", help="A line this far outside the finished edge.")
@click.option("--bush", help="A router template's line for a guide bush of this diameter, with --bit.")
@click.option("--bit", help="The cutter that runs in the guide bush, its diameter.")
@click.option("--face", type=click.Choice(["show", "back"]), default="show", help="The face that is looked at.")
@click.option("--mirrored", is_flag=True, help="The mirrored copy, where --out is a file.")
@click.option("--r12", is_flag=True, help="A .dxf file for old readers.")
@_told
def template(job: Path, panel: str, out: Path, face: "Face", mirrored: bool, r12: bool, **options: str | None) -> None:
    """Draw PANEL of JOB at full size, to trace or to glue on: PDF in tiles or in one piece, SVG, DXF.

    Lengths are in the job's unit unless they carry their own.

    \b
    Examples:
      cncpanel template stand.toml front --out front.pdf --paper A4
      cncpanel template stand.toml front --out front.pdf --paper roll
      cncpanel template stand.toml front --out templates --bush 17 --bit 8
      cncpanel template stand.toml front --out front.pdf --correct 1.005,1
    """
    from cncpanel.make.one_panel import one_panel, template_out, with_options, write_each

    read, found = one_panel(job, panel)
    roll = (options["paper"] or "").strip().lower() == "roll"
    settings = with_options(read, {**options, "paper": None if roll else options["paper"]})
    files = template_out(read, found, settings, out, face=face, mirrored_copy=mirrored, roll=roll, r12=r12)
    write_each(files)
    click.echo("\n".join(map(str, files)))


@main.command()
@click.argument("job", type=click.Path(path_type=Path))
@click.argument("panel")
@click.option("--out", type=click.Path(path_type=Path), required=True, help="A .pdf, .svg or .dxf file, or a folder.")
@_told
def artwork(job: Path, panel: str, out: Path) -> None:
    """Draw the printed faces of PANEL of JOB for a large-format printer: PDF, SVG, DXF.

    \b
    Example:
      cncpanel artwork fixtures/jobs/lit_sign.toml face --out artwork
    """
    from cncpanel.make.one_panel import artwork_out, one_panel, write_each

    files = artwork_out(*one_panel(job, panel), out)
    write_each(files)
    click.echo("\n".join(map(str, files)))


@main.command()
def schema() -> None:
    """Print the job file's JSON Schema, for an editor that completes and checks TOML.

    \b
    Example:
      cncpanel schema > job.schema.json
    """
    import json

    from cncpanel.job.schema import job_schema

    click.echo(json.dumps(job_schema(), indent=2))


@main.command()
@click.argument("name", required=False)
@_told
def machines(name: str | None) -> None:
    """List the machines that come with the program; with NAME, show that machine and its tools.

    \b
    Examples:
      cncpanel machines
      cncpanel machines shop-router
    """
    from cncpanel.machine.read import read_machine, shipped_machines

    if name is None:
        for shipped in shipped_machines():
            click.echo(f"{shipped:18} {read_machine(shipped).title}")
        return
    machine = read_machine(name, beside=Path())
    x, y = (high - low for low, high in (machine.travel.x, machine.travel.y))
    click.echo(f"{machine.name}: {machine.title}")
    click.echo(f"travel {x:g} x {y:g} mm; {machine.spindle.rpm_min:g} to {machine.spindle.rpm_max:g} rpm")
    for tool in machine.tool:
        click.echo(
            f"  T{tool.number:<3} {tool.name:24} {tool.cut_diameter:g} mm, cuts {tool.cutting_length:g} mm deep, "
            f"sticks out {tool.stick_out:g} mm"
        )
    if name in shipped_machines():
        click.echo(f"file: {shipped_machines()[name]}")


@main.command()
@click.argument("job", type=click.Path(path_type=Path))
@_told
def new(job: Path) -> None:
    """Write a commented job file to JOB, to be edited; an existing file is left alone.

    \b
    Example:
      cncpanel new stand.toml
    """
    from cncpanel.errors import Place, Problem, ProblemsFound
    from cncpanel.job.starter import starter_job

    try:
        with job.open("x", encoding="utf-8", newline="\n") as stream:
            stream.write(starter_job(job.stem))
    except FileExistsError:
        problem = Problem(Place(str(job)), "exists already and was left alone", "another name")
        raise ProblemsFound([problem]) from None
    except OSError as error:
        problem = Problem(Place(str(job)), f"cannot be written: {error.strerror}", "a folder that exists")
        raise ProblemsFound([problem]) from None
    click.echo(f"wrote {job}; next: cncpanel check {job}")
