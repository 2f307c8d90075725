"""The command for a shop without a router: saw."""

from pathlib import Path

import click

from cncpanel.cli.told import tell_warnings, teller, told

OFFCUTS_HELP = "Draw on this store of offcuts instead of the one that the job names."
ONLY_HELP = "Write only these besides the plan, with commas between: dxf, sheets, templates, artwork."


@click.command()
@click.argument("job", type=click.Path(path_type=Path))
@click.option("--out", type=click.Path(path_type=Path), help="Folder for the whole set; absent: only tell the plan.")
@click.option("--only", help=ONLY_HELP)
@click.option("--offcuts", type=click.Path(path_type=Path), help=OFFCUTS_HELP)
@click.option("--quiet", is_flag=True, help="Only mistakes are printed.")
@told
def saw(job: Path, out: Path | None, only: str | None, offcuts: Path | None, quiet: bool) -> None:
    """Plan JOB's cuts on a table saw: the whole set of papers without programs.

    Each sheet is drawn with its cuts in order and the setting of fence or stop; every plan is sawn once on paper by a
    checker before it is handed out. The job needs no machine; its table [saw] says what the saw does.

    \b
    Examples:
      cncpanel saw stand.toml
      cncpanel saw stand.toml --out build/stand
      cncpanel saw fixtures/jobs/trestle_bench.toml --out build/bench
      cncpanel saw stand.toml --out build/stand --offcuts offcuts.toml
    """
    saw_into(job, out, only, quiet, offcuts)


def saw_into(job: Path, out: Path | None, only: str | None, quiet: bool, offcuts: Path | None = None) -> None:
    """Plan, tell, and write where a folder is given."""
    from cncpanel.make.choice import Choice, chosen
    from cncpanel.make.folder import refuse_foreign

    kinds = chosen(only)
    if out is not None:
        refuse_foreign(out)  # before what cannot be loaded in a folder that is gone
    from cncpanel.make.saw_set import plan_lines, refuse_programs, sawn
    from cncpanel.make.saw_set import saw_into as write_into

    refuse_programs(kinds)
    tell = teller(quiet)
    choice = Choice(only=kinds, offcuts=offcuts)
    made = sawn(job, tell, choice) if out is None else write_into(job, out, choice, tell)
    if quiet:
        return
    tell_warnings(made.gathering.warnings)
    click.echo("\n".join(plan_lines(made.plan)))
    if out is not None:
        click.echo(f"everything is in {out}; open {out / 'index.html'}")
