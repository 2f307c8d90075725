"""The commands that take a whole job: make, check, layout."""

import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

from cncpanel.cli.told import NOT_PROVEN, tell_warnings, teller, told

if TYPE_CHECKING:
    from cncpanel.make.flow import Made

ONLY_HELP = "Write only these, with commas between: programs, dxf, sheets, templates, artwork."
OFFCUTS_HELP = "Draw on this store of offcuts instead of the one that the job names."
MACHINE_HELP = "Cut on this machine instead of the job's own: a shipped name or a .toml file."


@click.command()
@click.argument("job", type=click.Path(path_type=Path))
@click.option("--out", type=click.Path(path_type=Path), required=True, help="Folder for everything that is made.")
@click.option("--machine", help=MACHINE_HELP)
@click.option("--allow-unmade", is_flag=True, help="Make the rest where a feature needs what is not made yet.")
@click.option("--only", help=ONLY_HELP)
@click.option("--offcuts", type=click.Path(path_type=Path), help=OFFCUTS_HELP)
@click.option("--quiet", is_flag=True, help="Only mistakes and failed proofs are printed.")
@told
def make(
    job: Path,
    out: Path,
    machine: str | None,
    allow_unmade: bool,
    only: str | None,
    offcuts: Path | None,
    quiet: bool,
) -> None:
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
    from cncpanel.make.folder import refuse_foreign

    kinds = chosen(only)
    refuse_foreign(out)  # before what cannot be loaded in a folder that is gone
    from cncpanel.make.make_into import make_into

    choice = Choice(machine=machine, allow_unmade=allow_unmade, only=kinds, offcuts=offcuts)
    made = make_into(job, out, choice, teller(quiet))
    _tell_result(made, quiet)
    if not made.passed:
        click.echo(f"NOT PROVEN: no program was written; see {out / 'index.html'}", err=True)
        sys.exit(NOT_PROVEN)
    if not quiet:
        click.echo(f"everything is in {out}; open {out / 'index.html'}")


@click.command()
@click.argument("job", type=click.Path(path_type=Path))
@click.option("--machine", help=MACHINE_HELP)
@click.option("--allow-unmade", is_flag=True, help="Judge the rest where a feature needs what is not made yet.")
@click.option("--offcuts", type=click.Path(path_type=Path), help=OFFCUTS_HELP)
@click.option("--quiet", is_flag=True, help="Only mistakes and failed proofs are printed.")
@told
def check(job: Path, machine: str | None, allow_unmade: bool, offcuts: Path | None, quiet: bool) -> None:
    """Read and judge JOB as `make` would, its programs proven too; write nothing.

    \b
    Example:
      cncpanel check stand.toml
    """
    from cncpanel.make.choice import Choice
    from cncpanel.make.flow import make as make_all

    made = make_all(job, Choice(machine=machine, allow_unmade=allow_unmade, offcuts=offcuts), teller(quiet))
    _tell_result(made, quiet)
    if not made.passed:
        sys.exit(NOT_PROVEN)


@click.command()
@click.argument("job", type=click.Path(path_type=Path))
@click.option("--machine", help=MACHINE_HELP)
@click.option("--steps", type=click.IntRange(0), help="Tries to find a better layout; absent: the job's.")
@click.option("--seed", type=click.IntRange(0), help="Another seed looks elsewhere; absent: the job's.")
@click.option("--offcuts", type=click.Path(path_type=Path), help=OFFCUTS_HELP)
@click.option("--seconds", type=click.FloatRange(0, min_open=True), help="Cap on the search; it is then recorded.")
@click.option("--keep", is_flag=True, help="Keep the layout beside the job; make and check then use it.")
@click.option("--quiet", is_flag=True, help="Only mistakes are printed.")
@told
def layout(
    job: Path,
    machine: str | None,
    steps: int | None,
    seed: int | None,
    offcuts: Path | None,
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

    choice = Choice(
        machine=machine, allow_unmade=True, steps=steps, seed=seed, seconds=seconds, anew=True, offcuts=offcuts
    )
    prepared = prepare(job, choice, teller(quiet))
    if not quiet:
        tell_warnings(prepared.gathering.warnings)
        for line in packing_lines(prepared.layout, prepared.panels):
            click.echo(line)
    if keep:
        kept = keep_layout(job, prepared.layout, prepared.read, prepared.panels, prepared.plans)
        if not quiet:
            click.echo(f"kept in {kept}")


def _tell_result(made: "Made", quiet: bool) -> None:
    for sheet in made.sheets:
        for finding in sheet.report.findings:
            if finding.severity != "remark" or not quiet:
                click.echo(str(finding), err=True)
    if quiet:
        return
    tell_warnings(made.gathering.warnings)
    for sheet in made.sheets:
        minutes = sum(written.time.total_s for written in sheet.programs) / 60
        click.echo(
            f"sheet {sheet.sheet.number}: {len(sheet.sheet.parts)} parts, {len(sheet.programs)} "
            f"program{'' if len(sheet.programs) == 1 else 's'}, about {minutes:.0f} min, {sheet.report.verdict}"
        )
