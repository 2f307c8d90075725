"""The commands that show or begin something: schema, keys, guide, machines, new, coupon."""

from pathlib import Path

import click

from cncpanel.cli.told import told


@click.command()
def schema() -> None:
    """Print the job file's JSON Schema, for an editor that completes and checks TOML.

    \b
    Example:
      cncpanel schema > job.schema.json
    """
    import json

    from cncpanel.job.schema import job_schema

    click.echo(json.dumps(job_schema(), indent=2))


@click.command()
@click.argument("table", required=False)
@told
def keys(table: str | None) -> None:
    """List what a job file may say: every table, or with TABLE the keys of that one.

    \b
    Examples:
      cncpanel keys
      cncpanel keys panel.groove
      cncpanel keys groove
    """
    from cncpanel.job.keys import named_tables

    found = named_tables(table)
    for one in found:
        click.echo(f"{one.head:32} {' '.join(one.about.split())}")
        for key in one.keys if table else ():
            told = [key.takes, "needed" if key.needed else f"absent: {key.default}" if key.default else ""]
            click.echo(f"    {key.name:28} {'; '.join(filter(None, told))}")
            if key.about:
                click.echo(f"    {'':28} {key.about}")


@click.command()
def guide() -> None:
    """Print the guide to the job file (Markdown): every kind of table with an example that runs.

    \b
    Example:
      cncpanel guide > guide.md
    """
    from importlib.resources import files

    click.echo((files("cncpanel.job") / "guide.md").read_text(encoding="utf-8"), nl=False)


@click.command()
@click.argument("name", required=False)
@told
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


@click.command()
@click.argument("job", type=click.Path(path_type=Path))
@click.option("--example", help="Copy this example job instead: millrace, lit_sign ...; a wrong name lists them.")
@click.option("--from", "brief", type=click.Path(path_type=Path), help="A client's brief: a cabinet made to it.")
@click.option("--ask", is_flag=True, help="Ask for the client's wishes instead of reading a brief.")
@told
def new(job: Path, example: str | None, brief: Path | None, ask: bool) -> None:
    """Write a commented job file to JOB, to be edited; an existing file is left alone.

    With a brief it is a whole cabinet: upright, pedestal, table-top or wall box, every check of it green, or the wish
    that cannot be met is told and nothing is written.

    \b
    Examples:
      cncpanel new stand.toml
      cncpanel new mill.toml --example millrace
      cncpanel new kiosk.toml --from brief.toml
      cncpanel new kiosk.toml --ask
    """
    if brief is not None or ask:
        _from_brief(job, brief)
        return
    from cncpanel.make.new_job import write_new

    for path in write_new(job, example):
        click.echo(f"wrote {path}")
    click.echo(f"next: cncpanel check {job}")


@click.command()
@click.argument("job", type=click.Path(path_type=Path))
@click.argument("coupon", type=click.Path(path_type=Path))
@click.option("--stock", help="Which of JOB's stocks; absent: the first.")
@told
def coupon(job: Path, coupon: Path, stock: str | None) -> None:
    """Write to COUPON a job file that cuts a test coupon from a stock of JOB.

    Grooves in steps of 0.1 mm and a short tongue find the clearance on the real board; two check cuts tell where Z zero
    and the thickness really are. An existing file is left alone.

    \b
    Example:
      cncpanel coupon stand.toml coupon.toml
      cncpanel make coupon.toml --out build/coupon
    """
    from cncpanel.make.new_job import write_coupon

    click.echo(f"wrote {write_coupon(job, stock, coupon)}")
    click.echo(f"next: cncpanel make {coupon} --out {coupon.with_suffix('')}")


def _from_brief(job: Path, brief: Path | None) -> None:
    from cncpanel.make.brief_flow import write_asked, write_from_brief

    paths, judged = write_asked(_asked(), job) if brief is None else write_from_brief(brief, job)
    for finding in judged.findings:
        if finding.verdict == "look":
            click.echo(str(finding), err=True)
    for path in paths:
        click.echo(f"wrote {path}")
    click.echo(f"next: cncpanel fit {job}")


def _asked() -> dict[str, object]:
    """The client's wishes, answered at a prompt."""
    uses = click.Choice(["standing", "seated", "wall", "table"])
    aspects = click.Choice(["16:9", "16:10", "4:3", "5:4", "21:9"])
    wishes: dict[str, object] = {
        "name": click.prompt("What is it called"),
        "use": click.prompt("How is it used", type=uses, default="standing"),
        "screen": click.prompt(
            "Screen's diagonal in inches", type=click.FloatRange(6, 60, min_open=True), default=21.5
        ),
        "aspect": click.prompt("Its aspect", type=aspects, default="16:9"),
        "players": click.prompt("How many play at once", type=click.IntRange(1, 4), default=1),
        "buttons": click.prompt("Buttons for each", type=click.IntRange(0, 12), default=4),
    }
    if wishes["use"] == "standing":
        wishes["sticks"] = click.confirm("A stick for each", default=False)
    length = click.FloatRange(0, 10_000)
    doorway = click.prompt("Clear width of the narrowest doorway, mm (0: not known)", type=length, default=0.0)
    if doorway:
        wishes["doorway"] = doorway
    thickness = click.prompt("Thickness of the board at hand, mm", type=click.FloatRange(1, 100), default=18.0)
    wishes["board"] = {"thickness": thickness}
    return wishes
