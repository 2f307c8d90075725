"""The command `prove`: any programs judged before they are cut."""

import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

from cncpanel.cli.told import NOT_PROVEN, teller, told

if TYPE_CHECKING:
    from cncpanel.make.prove_flow import Proved
    from cncpanel.proof.report import Report


@click.command()
@click.argument("programs", type=click.Path(path_type=Path), nargs=-1, required=True)
@click.option("--machine", required=True, help="The machine that is to run them: a shipped name or a .toml file.")
@click.option("--stock", help="The sheet's size along X and Y and its thickness, such as 1220x2440x18.")
@click.option("--tools", help="What is fitted: a file of [[tool]] tables, or a shipped machine's name for its rack.")
@click.option("--origin", help="X,Y,Z of the programs' zero from the sheet's lower left corner at its top, in mm.")
@click.option("--holding", type=click.Path(path_type=Path), help="A file of [[holding]] tables: clamps and screws.")
@click.option("--job", type=click.Path(path_type=Path), help="The job whose sheet they are to make.")
@click.option("--sheet", type=int, help="Which of the job's sheets, where the programs' heads do not say it.")
@click.option("--json", "as_json", is_flag=True, help="Print the answer as JSON.")
@click.option("--picture", type=click.Path(path_type=Path), help="Write a PNG of the depths.")
@click.option("--out", type=click.Path(path_type=Path), help="Write the picture to look into, one HTML file.")
@click.option("--quiet", is_flag=True, help="Print only what is wrong and the verdict.")
@told
def prove(
    programs: tuple[Path, ...],
    machine: str,
    stock: str | None,
    tools: str | None,
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
    bears on safety: stock, zero, tools and clamps must be said, or --job, which says them all. The exit code
    is 0 where they pass, 1 where they do not, 2 where something given cannot be used.

    \b
    Examples:
      cncpanel prove a.nc b.nc --machine shop-router --tools shop-router --stock 2440x1220x18 --origin 0,0,0 \\
        --holding clamps.toml
      cncpanel prove build/programs/*-sheet1-run*.nc --machine shop-router --job stand.toml --out proof.html
    """
    from cncpanel.make.one_file import refuse_unwritable
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
    given = (*programs, Path(machine), Path(tools) if tools else None, holding, job)
    refuse_unwritable(("--picture", picture), ("--out", out), read=given)
    proved = prove_programs(question, teller(quiet or as_json))
    _write_pictures(proved, picture, out)
    _tell_proved(proved, as_json, quiet)
    if not proved.report.passed:
        sys.exit(NOT_PROVEN)


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
    if not quiet:
        _tell_times(proved)
        for tolerance in report.tolerances:
            click.echo(f"compared: {tolerance}")
    click.echo(f"{report.verdict}{_because(report)}")


def _tell_times(proved: "Proved") -> None:
    from cncpanel.drawing.setup_tables import minutes

    for one, time in zip(proved.read, proved.times, strict=True):
        least, most = map(minutes, time.band_s)
        by_tool = ", ".join(f"{spent.name} {minutes(spent.cut_s + spent.rapid_s)}" for spent in time.tools)
        click.echo(f"{one.name}: about {minutes(time.total_s)}, {least} to {most} ({by_tool or 'no moves'})")
    if proved.times:
        click.echo(f"times assume: {'; '.join(proved.times[0].assumptions)}")


def _because(report: "Report") -> str:
    """Why a program that nothing is wrong with does not pass."""
    wrong = any(finding.severity != "remark" for finding in report.findings)
    return ": what bears on safety is not judged" if report.verdict == "fail" and not wrong else ""
