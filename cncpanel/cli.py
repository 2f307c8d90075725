"""The command line: options, progress, exit codes. Everything heavy is imported by the command that needs it.

Exit codes: 0 made or in order; 1 a program failed its proof; 2 the input cannot be used, every mistake listed.
"""

import sys
from collections.abc import Callable
from functools import wraps
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from cncpanel import __version__

if TYPE_CHECKING:
    from cncpanel.errors import Problem, ProblemsFound
    from cncpanel.make.flow import Made

NOT_PROVEN, NOT_USABLE = 1, 2
MACHINE_HELP = "Cut on this machine instead of the job's own: a shipped name or a .toml file."


def _told(command: Callable[..., None]) -> Callable[..., None]:
    """Every mistake in the input is printed, a line each, and ends with exit code 2."""

    @wraps(command)
    def run(*args: Any, **kwargs: Any) -> None:
        from cncpanel.errors import ProblemsFound

        try:
            command(*args, **kwargs)
        except ProblemsFound as found:
            _tell_problems(found)
            sys.exit(NOT_USABLE)
        except KeyboardInterrupt:
            click.echo("\nstopped; nothing was changed", err=True)
            sys.exit(130)

    return run


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
@click.option("--quiet", is_flag=True, help="Only mistakes and failed proofs are printed.")
@_told
def make(job: Path, out: Path, machine: str | None, allow_unmade: bool, quiet: bool) -> None:
    """Make programs, DXF, sheets and the report of JOB into a folder, all or nothing.

    Every program is read back and checked against the drawing before it is written. If one fails, no program is
    written, the report says why, and the exit code is 1. The folder is replaced as a whole; a folder with files that no
    earlier run wrote is refused.

    \b
    Examples:
      cncpanel make fixtures/jobs/millrace.toml --out build/millrace
      cncpanel make stand.toml --out build/stand --machine desktop-router
    """
    from cncpanel.make.files import files
    from cncpanel.make.folder import refuse_foreign, write_folder

    refuse_foreign(out)
    made = _made(job, machine, allow_unmade, quiet)
    tell = _teller(quiet)
    tell("writing drawings and sheets")
    write_folder(out, files(made))
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
