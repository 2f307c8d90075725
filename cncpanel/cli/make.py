"""The commands that take a whole job: make, check, layout."""

import sys
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

import click

from cncpanel.cli.saw import OFFCUTS_HELP, saw_into
from cncpanel.cli.told import NOT_PROVEN, NOT_USABLE, tell_warnings, teller, told

if TYPE_CHECKING:
    from cncpanel.make.choice import Choice
    from cncpanel.make.flow import Made
    from cncpanel.make.told_set import ToldSet

ONLY_HELP = "Write only these, with commas between: programs, dxf, sheets, templates, artwork, saw."
STEPS_HELP = "Tries to find a better layout; absent: the job's."
ALTERNATIVES_HELP = "So many searches over the cores, each from another seed; absent: the job's, else one."
MACHINE_HELP = "Cut on this machine instead of the job's own: a shipped name or a .toml file."


@click.command()
@click.argument("jobs", type=click.Path(path_type=Path), nargs=-1, required=True, metavar="JOB...")
@click.option("--out", type=click.Path(path_type=Path), required=True, help="Folder for everything that is made.")
@click.option("--machine", help=MACHINE_HELP)
@click.option("--only", help=ONLY_HELP)
@click.option("--offcuts", type=click.Path(path_type=Path), help=OFFCUTS_HELP)
@click.option("--together", is_flag=True, help="Several jobs as one set: their parts share sheets.")
@click.option("--name", help="What the jobs that are made together are called in programs and papers.")
@click.option("--jobs", "at_once", type=click.IntRange(1), default=1, help="So many of several jobs at once.")
@click.option("--cluster", metavar="ADDRESS", help="Make the jobs on a cluster: its scheduler's address.")
@click.option("--steps", type=click.IntRange(0), help=STEPS_HELP)
@click.option("--alternatives", type=click.IntRange(1, 1000), help=ALTERNATIVES_HELP)
@click.option("--quiet", is_flag=True, help="Only mistakes and failed proofs are printed.")
@told
def make(
    jobs: tuple[Path, ...],
    out: Path,
    machine: str | None,
    only: str | None,
    offcuts: Path | None,
    together: bool,
    name: str | None,
    at_once: int,
    cluster: str | None,
    steps: int | None,
    alternatives: int | None,
    quiet: bool,
) -> None:
    """Make programs, DXF, sheets, templates, artwork and the report of each JOB into a folder, all or nothing.

    Every program is read back and checked against the drawing before it is written. If one fails, no program is
    written, the report says why, and the exit code is 1. The folder is replaced as a whole; a folder with files that no
    earlier run wrote is refused.

    Several jobs get a folder each below --out, called as their files. With --together they are one set on common
    sheets, every part labelled with its own job.

    \b
    Examples:
      cncpanel make fixtures/jobs/millrace.toml --out build/millrace
      cncpanel make stand.toml --out build/stand --machine desktop-router
      cncpanel make stand.toml --out build/paper --only sheets,templates
      cncpanel make a.toml b.toml c.toml --together --name "Week 12" --out build/week12
      cncpanel make orders/*.toml --jobs 8 --out build
      cncpanel make orders/*.toml --cluster tcp://10.0.0.5:8786 --out build
    """
    from cncpanel.make.choice import Choice, chosen
    from cncpanel.make.folder import refuse_foreign

    kinds = chosen(only)
    if len(jobs) == 1 and _for_saw_only(jobs[0], machine):
        return saw_into(jobs[0], out, only, quiet, offcuts)
    refuse_foreign(out) if len(jobs) == 1 or together else None  # before what cannot be loaded in a folder that is gone
    choice = Choice(machine=machine, only=kinds, offcuts=offcuts, steps=steps, alternatives=alternatives)
    if together or (len(jobs) == 1 and cluster is None):
        _refuse_with_one(together=together, cluster=cluster)
        _make_one(jobs, out, replace(choice, together=jobs if together else (), name=name), quiet)
    else:
        _make_each(jobs, out, choice, at_once, cluster, quiet)


@click.command()
@click.argument("job", type=click.Path(path_type=Path))
@click.option("--machine", help=MACHINE_HELP)
@click.option("--offcuts", type=click.Path(path_type=Path), help=OFFCUTS_HELP)
@click.option("--quiet", is_flag=True, help="Only mistakes and failed proofs are printed.")
@told
def check(job: Path, machine: str | None, offcuts: Path | None, quiet: bool) -> None:
    """Read and judge JOB as `make` would, its programs proven too; write nothing.

    \b
    Example:
      cncpanel check stand.toml
    """
    from cncpanel.make.choice import Choice
    from cncpanel.make.flow import make as make_all

    if _for_saw_only(job, machine):
        return saw_into(job, None, None, quiet, offcuts)
    made = make_all(job, Choice(machine=machine, offcuts=offcuts), teller(quiet))
    _tell_result(made, quiet)
    if not made.passed:
        sys.exit(NOT_PROVEN)


@click.command()
@click.argument("jobs", type=click.Path(path_type=Path), nargs=-1, required=True, metavar="JOB...")
@click.option("--together", is_flag=True, help="Several jobs on common sheets, as `make --together` has them.")
@click.option("--name", help="What the jobs are called together; `make` then needs the same name.")
@click.option("--machine", help=MACHINE_HELP)
@click.option("--steps", type=click.IntRange(0), help=STEPS_HELP)
@click.option("--seed", type=click.IntRange(0, 2**31 - 1), help="Another seed looks elsewhere; absent: the job's.")
@click.option("--alternatives", type=click.IntRange(1, 1000), help=ALTERNATIVES_HELP)
@click.option("--offcuts", type=click.Path(path_type=Path), help=OFFCUTS_HELP)
@click.option("--seconds", type=click.FloatRange(0, min_open=True), help="Cap on the search; it is then recorded.")
@click.option("--keep", is_flag=True, help="Keep the layout beside the job; make and check then use it.")
@click.option("--quiet", is_flag=True, help="Only mistakes are printed.")
@told
def layout(
    jobs: tuple[Path, ...],
    together: bool,
    name: str | None,
    machine: str | None,
    steps: int | None,
    seed: int | None,
    alternatives: int | None,
    offcuts: Path | None,
    seconds: float | None,
    keep: bool,
    quiet: bool,
) -> None:
    """Lay JOB's parts out on sheets anew and say how many are needed; write nothing without --keep.

    The same seed, steps and alternatives give the same layout on any number of cores, unless --seconds cut them short.

    \b
    Examples:
      cncpanel layout stand.toml
      cncpanel layout stand.toml --steps 400 --keep
      cncpanel layout stand.toml --steps 100 --alternatives 8 --keep
      cncpanel layout a.toml b.toml --together --name "Week 12" --keep
    """
    from cncpanel.make.arrange import keep_layout, packing_lines
    from cncpanel.make.choice import Choice
    from cncpanel.make.flow import prepare

    job = _laid_out(jobs, name, together=together)
    choice = Choice(
        machine=machine,
        steps=steps,
        seed=seed,
        alternatives=alternatives,
        seconds=seconds,
        anew=True,
        offcuts=offcuts,
        together=jobs if together else (),
        name=name,
    )
    prepared = prepare(job, choice, teller(quiet))
    if not quiet:
        tell_warnings(prepared.gathering.warnings)
        for line in packing_lines(prepared.layout, prepared.panels, prepared.read.job.dimension_unit):
            click.echo(line)
    if keep:
        kept = keep_layout(job, prepared.layout, prepared.read, prepared.panels, prepared.plans)
        if not quiet:
            click.echo(f"kept in {kept}")


def _laid_out(jobs: tuple[Path, ...], name: str | None, *, together: bool) -> Path:
    """The job's file, or what stands for the file of several."""
    from cncpanel.errors import Place, Problem, ProblemsFound
    from cncpanel.make.batch import batch_path

    if together:
        return batch_path(jobs, name)
    if len(jobs) > 1:
        text = f"{len(jobs)} jobs, and sheets are laid out of one, or of several together"
        raise ProblemsFound([Problem(Place("layout"), text, "one job, or --together")])
    return jobs[0]


def _for_saw_only(job: Path, machine: str | None) -> bool:
    """Whether only a saw makes the job: then it has papers and no programs."""
    from cncpanel.job.saw_only import is_for_saw_only

    return machine is None and is_for_saw_only(job)


def _refuse_with_one(*, together: bool, cluster: str | None) -> None:
    from cncpanel.errors import Place, Problem, ProblemsFound

    if together and cluster is not None:
        text = "jobs that are made together are one set, which is made here"
        raise ProblemsFound([Problem(Place("--cluster"), text, "leave out --cluster or --together")])


def _make_one(jobs: tuple[Path, ...], out: Path, choice: "Choice", quiet: bool) -> None:
    from cncpanel.make.batch import batch_path
    from cncpanel.make.make_into import make_into

    path = batch_path(jobs, choice.name) if choice.together else jobs[0]
    made = make_into(path, out, choice, teller(quiet))
    _tell_result(made, quiet)
    if not made.passed:
        click.echo(f"NOT PROVEN: no program was written; see {out / 'index.html'}", err=True)
        sys.exit(NOT_PROVEN)
    if not quiet:
        click.echo(f"everything is in {out}; open {out / 'index.html'}")


def _make_each(
    jobs: tuple[Path, ...], out: Path, choice: "Choice", at_once: int, cluster: str | None, quiet: bool
) -> None:
    """Each job is told with its name before every line; the exit code is the worst of all."""
    from cncpanel.make.many import each, tasks

    given = tasks(jobs, out)
    if cluster is None:
        outcomes = each(given, choice, at_once)
    else:
        from cncpanel.make.cluster import on_cluster

        outcomes = on_cluster(given, choice, cluster)
    codes = []
    for outcome in outcomes:
        codes.append(outcome.code)
        _tell_set(outcome, quiet)
    if not quiet:
        whole, failed, unusable = (codes.count(code) for code in (0, NOT_PROVEN, NOT_USABLE))
        click.echo(f"{whole} of {len(given)} sets made in {out}; {failed} not proven, {unusable} not usable")
    if any(codes):
        sys.exit(max(codes))


def _tell_set(outcome: "ToldSet", quiet: bool) -> None:
    for line in outcome.errors if quiet else (*outcome.errors, *outcome.warnings):
        click.echo(f"{outcome.job}: {line}", err=True)
    for line in () if quiet else outcome.sheets:
        click.echo(f"{outcome.job}: {line}")
    if outcome.code == NOT_PROVEN:
        click.echo(f"{outcome.job}: NOT PROVEN: no program was written", err=True)
    elif outcome.code:
        click.echo(f"{outcome.job}: nothing was written", err=True)


def _tell_result(made: "Made", quiet: bool) -> None:
    from cncpanel.make.told_set import sheet_lines

    for sheet in made.sheets:
        for finding in sheet.report.findings:
            if finding.severity != "remark" or not quiet:
                click.echo(str(finding), err=True)
    if quiet:
        return
    tell_warnings(made.gathering.warnings)
    for line in sheet_lines(made):
        click.echo(line)
