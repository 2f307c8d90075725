"""The commands that show or begin something: schema, machines, new."""

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
@told
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
