"""The commands about the whole cabinet: fit, parts, model, changes, quote."""

import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

from cncpanel.cli.told import NOT_PROVEN, tell_warnings, teller, told

if TYPE_CHECKING:
    from cncpanel.make.fit_flow import Judged


@click.command()
@click.argument("job", type=click.Path(path_type=Path))
@click.option("--quiet", is_flag=True, help="Only what fails or wants a look is printed.")
@click.option("--watch", is_flag=True, help="Judge again whenever the file is saved, until Ctrl-C.")
@told
def fit(job: Path, quiet: bool, watch: bool) -> None:
    """Judge the whole cabinet of JOB: whether its panels fit, and whether it suits its place and its people.

    JOB has a [cabinet] table and panels with positions. Each check tells its numbers, the panel to change and where its
    limit comes from, in millimetres; they are designed towards, not a certificate. The exit code is 1 where something
    fails; `make` refuses what does not fit and warns of the rest.

    \b
    Example:
      cncpanel fit fixtures/cabinets/millrace.toml
      cncpanel fit kiosk.toml --quiet --watch
    """
    from cncpanel.make.fit_flow import judge

    if watch:
        _watched(job, quiet)
    elif not _tell_findings(judge(job), quiet):
        sys.exit(NOT_PROVEN)


def _watched(job: Path, quiet: bool) -> None:
    """Judge it, and again at each change; mistakes are told and waited out."""
    from cncpanel.errors import ProblemsFound
    from cncpanel.make.fit_flow import judge
    from cncpanel.make.watching import changes_of
    from cncpanel.panel.kept import Kept

    kept = Kept()
    try:
        for _ in changes_of(job):
            try:
                _tell_findings(judge(job, kept), quiet)
            except ProblemsFound as found:
                for problem in found.problems:
                    click.echo(str(problem))
                click.echo("not judged; waiting for the next change")
    except KeyboardInterrupt:
        click.echo("ended")


def _tell_findings(judged: "Judged", quiet: bool) -> bool:
    """Print what was found; whether the cabinet fits."""
    tell_warnings(judged.gathering.warnings)
    for finding in judged.findings:
        if finding.verdict != "ok" or not quiet:
            click.echo(str(finding))
    failed = sum(finding.verdict == "fails" for finding in judged.findings)
    click.echo(f"{failed} of {len(judged.findings)} checks fail" if failed else "it fits")
    return not failed


@click.command()
@click.argument("name", required=False)
@click.option("--file", "own", type=click.Path(path_type=Path), help="The shop's own file instead of what is shipped.")
@told
def parts(name: str | None, own: Path | None) -> None:
    """List the bought-in parts that fittings can name; with NAME, show that part's figures and where they come from.

    \b
    Examples:
      cncpanel parts
      cncpanel parts "button 30"
    """
    from cncpanel.cabinet.catalogue import read_parts, shipped_parts
    from cncpanel.errors import Place, Problem, ProblemsFound
    from cncpanel.errors.validation import nearest

    known = {part.name: part for part in read_parts(own)} if own else dict(shipped_parts())
    if name is None:
        for part in known.values():
            click.echo(f"{part.name:20} {part.title or part.kind}{'  (measure yours)' if part.measure else ''}")
        return
    if name not in known:
        raise ProblemsFound([Problem(Place("parts"), f'no part is named "{name}"', nearest(name, known))])
    for key, value in known[name].model_dump(exclude_defaults=True, mode="json").items():
        click.echo(f"{key} = {value}")


@click.command()
@click.argument("job", type=click.Path(path_type=Path))
@click.option(
    "--out", type=click.Path(path_type=Path), required=True, help="A .glb (3D), .html (a page) or .dxf (section)."
)
@click.option("--apart", type=click.FloatRange(1, 5), default=1.0, help="So many times as far from the middle.")
@told
def model(job: Path, out: Path, apart: float) -> None:
    """Write the whole cabinet of JOB in space: glTF for other programs, a page to turn, take apart and cut, or its side
    section as DXF.

    \b
    Examples:
      cncpanel model kiosk.toml --out kiosk.glb
      cncpanel model kiosk.toml --out exploded.glb --apart 1.8
      cncpanel model kiosk.toml --out kiosk.html
      cncpanel model kiosk.toml --out section.dxf
    """
    from cncpanel.make.model_flow import model_bytes
    from cncpanel.make.one_file import refuse_unwritable, write

    refuse_unwritable(("--out", out))
    write(out, model_bytes(job, out, apart))
    click.echo(f"wrote {out}")


@click.command()
@click.argument("old", type=click.Path(path_type=Path))
@click.argument("new", type=click.Path(path_type=Path))
@click.option("--all", "everything", is_flag=True, help="Tell what stays the same too.")
@told
def changes(old: Path, new: Path, everything: bool) -> None:
    """List what changed from job OLD to job NEW: what to cut again, what to work on, what is new or gone.

    recut: the old part cannot become the new one; rework: what is missing can still be cut into it.

    \b
    Example:
      cncpanel changes kiosk-a.toml kiosk-b.toml
    """
    from cncpanel.make.changes_flow import compare

    found = compare(old, new)
    told_of = [change for change in found.changes if everything or change.deed != "same" or change.why]
    for line in (*map(str, told_of), *found.bought):
        click.echo(line)
    recut = sum(change.copies for change in found.changes if change.deed in ("recut", "new"))
    click.echo(f"{recut} part{'' if recut == 1 else 's'} to cut")


@click.command()
@click.argument("job", type=click.Path(path_type=Path))
@click.option("--rates", type=click.Path(path_type=Path), required=True, help="The shop's file: hours, boards, parts.")
@click.option("--out", type=click.Path(path_type=Path), required=True, help="The offer, a .pdf of one page.")
@click.option("--quiet", is_flag=True, help="Only mistakes are printed.")
@told
def quote(job: Path, rates: Path, out: Path, quiet: bool) -> None:
    """Write an offer for JOB: boards, bought-in parts, what is used up, machine and bench time at the shop's rates.

    What the shop's file has no price for is listed as open and is not in the sum.

    \b
    Example:
      cncpanel quote kiosk.toml --rates fixtures/cabinets/rates.toml --out offer.pdf
    """
    from cncpanel.make.one_file import refuse_unwritable, write
    from cncpanel.make.quote_flow import offered

    refuse_unwritable(("--out", out))
    found = offered(job, rates, teller(quiet))
    write(out, found.page)
    if not quiet:
        for line in found.quote.open_lines:
            click.echo(f"no price: {line.what}", err=True)
        click.echo(f"wrote {out}: {found.quote.total:.2f} {found.rates.currency}")
