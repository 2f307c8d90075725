"""The command `restart`: a program taken up again after its bit broke."""

import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

from cncpanel.cli.told import NOT_PROVEN, teller, told

if TYPE_CHECKING:
    from cncpanel.make.restart import Restarted


@click.command()
@click.argument("program", type=click.Path(path_type=Path))
@click.option("--at", "line", type=int, required=True, help="The line of the file at which the bit broke.")
@click.option("--machine", help="The machine that runs it: a shipped name or a .toml file; absent: the head's.")
@click.option("--out", type=click.Path(path_type=Path), help="The file to write; absent: beside PROGRAM.")
@click.option("--stock", help="The sheet's size along X and Y and its thickness; absent: the head's.")
@click.option("--tools", type=click.Path(path_type=Path), help="A file of [[tool]] tables: the new bit as measured.")
@click.option("--origin", help="X,Y,Z of the program's zero from the sheet's lower left corner at its top, in mm.")
@click.option("--holding", type=click.Path(path_type=Path), help="A file of [[holding]] tables: clamps and screws.")
@click.option("--job", type=click.Path(path_type=Path), help="The job whose sheet it makes: the result is compared.")
@click.option("--sheet", type=int, help="Which of the job's sheets, where the program's head does not say it.")
@click.option("--quiet", is_flag=True, help="Only mistakes and failed proofs are printed.")
@told
def restart(
    program: Path,
    line: int,
    machine: str | None,
    out: Path | None,
    stock: str | None,
    tools: Path | None,
    origin: str | None,
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
        origin=origin,
        holding=holding,
        job=job,
        sheet=sheet,
    )
    restarted = take_up(broken, teller(quiet))
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
