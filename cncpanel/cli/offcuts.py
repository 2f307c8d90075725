"""The commands of the shop's store of offcuts."""

from pathlib import Path

import click

from cncpanel.cli.told import told

FILE = click.argument("store", type=click.Path(path_type=Path))
NAMES = click.argument("names", nargs=-1, required=True)
MATERIALS = click.Choice(["mdf", "particleboard", "plywood", "softwood", "hardwood", "acrylic"])


@click.group()
def offcuts() -> None:
    """Keep what sheets leave in a small file that later jobs draw from.

    A job names the file under [settings.offcuts], or `make` with --offcuts. `make` keeps the pieces that it takes for
    its set; nothing else leaves or enters the file until `cut` says that a sheet was cut.

    \b
    Examples:
      cncpanel offcuts new offcuts.toml
      cncpanel make stand.toml --out build/stand --offcuts offcuts.toml
      cncpanel offcuts cut build/stand --sheet 1
      cncpanel offcuts list offcuts.toml
    """


@offcuts.command()
@FILE
@click.option("--least", help="The smallest piece worth keeping, such as 400x250 (the default).")
@told
def new(store: Path, least: str | None) -> None:
    """Begin an empty store; an existing file is left alone.

    \b
    Example:
      cncpanel offcuts new offcuts.toml --least 300x200
    """
    from cncpanel.make.piece_verbs import begin

    begin(store, least)
    click.echo(f"wrote {store}; name it in a job under [settings.offcuts], or with --offcuts")


@offcuts.command("list")
@FILE
@click.option("--json", "as_json", is_flag=True, help="Print the pieces as JSON.")
@told
def list_pieces(store: Path, as_json: bool) -> None:
    """List the pieces, the largest first: lengths in mm, what each is kept for, where it comes from.

    \b
    Example:
      cncpanel offcuts list offcuts.toml
    """
    import json

    from cncpanel.make.piece_verbs import HEAD, listed, rows

    found = listed(store)
    if as_json:
        click.echo(json.dumps([piece.model_dump(mode="json") for piece in found.offcut], indent=1, ensure_ascii=False))
        return
    table = [HEAD, *rows(found)]
    widths = [max(len(row[column]) for row in table) for column in range(len(HEAD))]
    for row in table if len(table) > 1 else ():
        click.echo("  ".join(text.ljust(width) for text, width in zip(row, widths, strict=True)).rstrip())
    count = len(found.offcut)
    area = sum(piece.size[0] * piece.size[1] for piece in found.offcut) / 1e6
    click.echo(f"{count} piece{'' if count == 1 else 's'}, {area:.2f} m2")


@offcuts.command("cut")
@click.argument("folder", type=click.Path(path_type=Path))
@click.option("--sheet", type=click.IntRange(1), required=True, help="Which sheet of the set was cut.")
@click.option(
    "--offcuts", "store", type=click.Path(path_type=Path), help="The store; absent: the one it was made with."
)
@click.option(
    "--leave-out", multiple=True, metavar="NAME", help="A piece that did not come out whole; may be repeated."
)
@click.option("--again", is_flag=True, help="The sheet was cut once more, from another board.")
@told
def cut_sheet(folder: Path, sheet: int, store: Path | None, leave_out: tuple[str, ...], again: bool) -> None:
    """Say that a sheet of the set in FOLDER was cut: its offcut leaves the store, what it leaves comes in.

    \b
    Examples:
      cncpanel offcuts cut build/stand --sheet 1
      cncpanel offcuts cut build/stand --sheet 2 --leave-out K7Q2M-2
    """
    from cncpanel.make.cut_sheet import cut

    done = cut(folder, sheet, store, again=again, leave_out=leave_out)
    if done.gone:
        click.echo(f"{done.gone} is used up")
    for piece in done.kept:
        click.echo(f"{piece.name}: {piece.size[0]:g} x {piece.size[1]:g} x {piece.thickness:g} mm of {piece.stock}")
    click.echo(f"{done.store}: {len(done.kept)} piece{'' if len(done.kept) == 1 else 's'} put in")


@offcuts.command()
@FILE
@click.argument("name")
@click.option("--size", required=True, help="Length x width, such as 600x400; along the grain first.")
@click.option("--thickness", required=True, help="As its sheet was sold.")
@click.option("--material", type=MATERIALS, required=True)
@click.option("--stock", default="", help="What jobs call such a sheet.")
@click.option("--grain", is_flag=True, help="It has a grain, along its length.")
@told
def add(store: Path, name: str, size: str, thickness: str, material: str, stock: str, grain: bool) -> None:
    """Put a piece in by hand; write its NAME on it.

    \b
    Example:
      cncpanel offcuts add offcuts.toml rack-7 --size 800x600 --thickness 18 --material mdf
    """
    from cncpanel.make.piece_verbs import put_in

    piece = put_in(store, name, size, thickness, material, stock, grain=grain)
    click.echo(f"{piece.name}: {piece.size[0]:g} x {piece.size[1]:g} x {piece.thickness:g} mm put in")


@offcuts.command()
@FILE
@NAMES
@told
def take(store: Path, names: tuple[str, ...]) -> None:
    """Take pieces out that were used by hand or thrown away.

    \b
    Example:
      cncpanel offcuts take offcuts.toml K7Q2M-1
    """
    from cncpanel.make.piece_verbs import take_out

    take_out(store, names)
    click.echo(f"{', '.join(names)} taken out")


@offcuts.command()
@FILE
@NAMES
@told
def free(store: Path, names: tuple[str, ...]) -> None:
    """Set pieces free that are kept for a set which will not be cut.

    \b
    Example:
      cncpanel offcuts free offcuts.toml K7Q2M-1
    """
    from cncpanel.make.piece_verbs import set_free

    set_free(store, names)
    click.echo(f"{', '.join(names)} free")
