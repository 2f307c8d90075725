"""The command for a shop without a router: saw."""

from pathlib import Path
from typing import TYPE_CHECKING

import click

from cncpanel.cli.told import tell_warnings, teller, told

if TYPE_CHECKING:
    from cncpanel.make.saw_set import Sawn

ONLY_HELP = "Write only these besides the plan, with commas between: dxf, sheets, templates, artwork."


@click.command()
@click.argument("job", type=click.Path(path_type=Path))
@click.option("--out", type=click.Path(path_type=Path), help="Folder for the whole set; absent: only tell the plan.")
@click.option("--only", help=ONLY_HELP)
@click.option("--quiet", is_flag=True, help="Only mistakes are printed.")
@told
def saw(job: Path, out: Path | None, only: str | None, quiet: bool) -> None:
    """Plan JOB's cuts on a table saw: the whole set of papers without programs.

    Each sheet is drawn with its cuts in order and the setting of fence or stop; every plan is sawn once on paper by a
    checker before it is handed out. The job needs no machine; its table [saw] says what the saw does.

    \b
    Examples:
      cncpanel saw stand.toml
      cncpanel saw stand.toml --out build/stand
      cncpanel saw fixtures/jobs/trestle_bench.toml --out build/bench
    """
    saw_into(job, out, only, quiet)


def saw_into(job: Path, out: Path | None, only: str | None, quiet: bool) -> None:
    """Plan, tell, and write where a folder is given."""
    from cncpanel.make.choice import Choice, chosen
    from cncpanel.make.folder import refuse_foreign, write_folder

    kinds = chosen(only)
    if out is not None:
        refuse_foreign(out)
    from cncpanel.make.saw_set import sawn, set_files  # late: it loads what cannot start in a folder that is gone

    tell = teller(quiet)
    made = sawn(job, tell)
    if out is not None:
        tell("writing drawings and sheets")
        write_folder(out, set_files(made, Choice(only=kinds)))
    if not quiet:
        _tell(made)
        if out is not None:
            click.echo(f"everything is in {out}; open {out / 'index.html'}")


def _tell(made: "Sawn") -> None:
    tell_warnings(made.gathering.warnings)
    for one in made.plan.sawn:
        fewer = "no plan needs fewer" if one.sheets <= one.least else f"by area at least {one.least}"
        share = f"{100 * one.part_m2 / one.board_m2:.1f} % used"
        click.echo(f"{one.stock}: {one.sheets} sheet{'' if one.sheets == 1 else 's'}, {share}; {fewer}")
    for sheet in made.plan.sheets:
        click.echo(
            f"saw sheet {sheet.number}: {len(sheet.parts)} part{'' if len(sheet.parts) == 1 else 's'}, "
            f"{len(sheet.cuts)} cuts, {sheet.settings} settings"
        )
