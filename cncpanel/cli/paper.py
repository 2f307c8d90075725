"""The commands that make one kind of paper: template, artwork, drawing, cut-list, labels."""

from pathlib import Path
from typing import TYPE_CHECKING

import click

from cncpanel.cli.told import tell_warnings, teller, told

if TYPE_CHECKING:
    from collections.abc import Callable

    from cncpanel.drawing.paper import PaperSize
    from cncpanel.errors import Gathering
    from cncpanel.job.model import Face
    from cncpanel.job.read import ReadJob
    from cncpanel.make.labels import LabelChoice
    from cncpanel.panel.panel import Panel
    from cncpanel.units import DimensionUnit

    Tell = Callable[[str], None]


@click.command()
@click.argument("job", type=click.Path(path_type=Path))
@click.argument("panel")
@click.option("--out", type=click.Path(path_type=Path), required=True, help="A .pdf, .svg or .dxf file, or a folder.")
@click.option("--paper", help="A4, A3, Letter, Tabloid ..., with ' landscape', or 300x500; roll: in one piece.")
@click.option("--margin", help="White round each page, 10 mm or more: the check bars stand in it.")
@click.option("--overlap", help="What neighbouring tiles both show, 6 to 50 mm.")
@click.option("--correct", metavar="X,Y", help="True length over printed length of a printer known to be off.")
@click.option("--saw", help="A line this far outside the finished edge.")
@click.option("--bush", help="A router template's line for a guide bush of this diameter, with --bit.")
@click.option("--bit", help="The cutter that runs in the guide bush, its diameter.")
@click.option("--face", type=click.Choice(["show", "back"]), default="show", help="The face that is looked at.")
@click.option("--mirrored", is_flag=True, help="The mirrored copy, where --out is a file.")
@click.option("--r12", is_flag=True, help="A .dxf file for old readers.")
@told
def template(job: Path, panel: str, out: Path, face: "Face", mirrored: bool, r12: bool, **options: str | None) -> None:
    """Draw PANEL of JOB at full size, to trace or to glue on: PDF in tiles or in one piece, SVG, DXF.

    Lengths are in the job's unit unless they carry their own.

    \b
    Examples:
      cncpanel template stand.toml front --out front.pdf --paper A4
      cncpanel template stand.toml front --out front.pdf --paper roll
      cncpanel template stand.toml front --out templates --bush 17 --bit 8
      cncpanel template stand.toml front --out front.pdf --correct 1.005,1
    """
    from cncpanel.make.one_panel import template_out, with_options, write_each

    read, found = _one_panel(job, panel)
    roll = (options["paper"] or "").strip().lower() == "roll"
    settings = with_options(read, {**options, "paper": None if roll else options["paper"]})
    files = template_out(read, found, settings, out, face=face, mirrored_copy=mirrored, roll=roll, r12=r12)
    write_each(files)
    click.echo("\n".join(map(str, files)))


@click.command()
@click.argument("job", type=click.Path(path_type=Path))
@click.argument("panel")
@click.option("--out", type=click.Path(path_type=Path), required=True, help="A .pdf, .svg or .dxf file, or a folder.")
@told
def artwork(job: Path, panel: str, out: Path) -> None:
    """Draw the printed faces of PANEL of JOB for a large-format printer: PDF, SVG, DXF.

    \b
    Example:
      cncpanel artwork fixtures/jobs/lit_sign.toml face --out artwork
    """
    from cncpanel.make.one_panel import artwork_out, write_each

    files = artwork_out(*_one_panel(job, panel), out)
    write_each(files)
    click.echo("\n".join(map(str, files)))


@click.command()
@click.argument("job", type=click.Path(path_type=Path))
@click.argument("panel")
@click.option("--out", type=click.Path(path_type=Path), required=True, help="A .pdf file, or a folder.")
@click.option("--dimensions", type=click.Choice(["mm", "inch", "fraction"]), help="Absent: as the job says.")
@click.option("--paper", type=click.Choice(["A4", "Letter"]), help="Absent: Letter for a job in inches, else A4.")
@told
def drawing(job: Path, panel: str, out: Path, dimensions: "DimensionUnit | None", paper: "PaperSize | None") -> None:
    """Draw PANEL of JOB to a standard scale with its dimensions, tables and title block.

    \b
    Examples:
      cncpanel drawing stand.toml front --out front.pdf
      cncpanel drawing stand.toml front --out front.pdf --dimensions fraction --paper Letter
    """
    from cncpanel.make.one_panel import drawing_out, write_each

    files = drawing_out(*_one_panel(job, panel, dimensions), out, paper)
    write_each(files)
    click.echo("\n".join(map(str, files)))


@click.command(name="cut-list")
@click.argument("job", type=click.Path(path_type=Path))
@click.argument("panel", required=False)
@click.option("--out", type=click.Path(path_type=Path), required=True, help="A .csv or .md file.")
@told
def cut_list(job: Path, panel: str | None, out: Path) -> None:
    """List what JOB is cut from, finished and rough, in both units; with PANEL, that one and its cleats.

    \b
    Example:
      cncpanel cut-list stand.toml --out cut-list.csv
    """
    from cncpanel.errors import Gathering
    from cncpanel.make.cut_list import cut_list_out
    from cncpanel.make.one_panel import write_each

    gathering = Gathering()
    files = cut_list_out(job, panel, out, gathering)
    tell_warnings(gathering.warnings)
    write_each(files)
    click.echo("\n".join(map(str, files)))


@click.command()
@click.argument("job", type=click.Path(path_type=Path))
@click.argument("panel", required=False)
@click.option("--out", type=click.Path(path_type=Path), required=True, help="A .pdf file.")
@click.option("--sheet", "stock", help="The sheet of labels, such as 'A4 3x8'; absent: as the job says.")
@click.option("--skip", type=click.IntRange(0), default=0, help="Labels that are gone from the first sheet.")
@click.option("--quiet", is_flag=True, help="Only mistakes are printed.")
@told
def labels(job: Path, panel: str | None, out: Path, stock: str | None, skip: int, quiet: bool) -> None:
    """Print a label for every part of JOB, or of PANEL alone, with its place on the sheet it is cut from.

    \b
    Examples:
      cncpanel labels stand.toml --out labels.pdf
      cncpanel labels stand.toml front --out front.pdf --sheet "Letter 3x10" --skip 4
    """
    from cncpanel.job.saw_only import is_for_saw_only
    from cncpanel.make.labels import LabelChoice
    from cncpanel.make.one_panel import write_each

    of = _saw_labels if is_for_saw_only(job) else _labels
    files, gathering = of(job, out, LabelChoice(panel, stock, skip), teller(quiet))
    if not quiet:
        tell_warnings(gathering.warnings)
    write_each(files)
    click.echo("\n".join(map(str, files)))


def _labels(job: Path, out: Path, choice: "LabelChoice", tell: "Tell") -> "tuple[dict[Path, bytes], Gathering]":
    """Placed by the router's layout."""
    from cncpanel.make.choice import Choice
    from cncpanel.make.flow import prepare
    from cncpanel.make.labels import labels_out

    prepared = prepare(job, Choice(), tell)
    return labels_out(prepared, out, choice), prepared.gathering


def _saw_labels(job: Path, out: Path, choice: "LabelChoice", tell: "Tell") -> "tuple[dict[Path, bytes], Gathering]":
    """Placed by the saw's plan."""
    from cncpanel.make.labels import saw_labels_out
    from cncpanel.make.saw_set import sawn

    made = sawn(job, tell)
    return saw_labels_out(made.read, made.panels, made.plan, out, choice), made.gathering


def _one_panel(job: Path, panel: str, dimensions: "DimensionUnit | None" = None) -> "tuple[ReadJob, Panel]":
    """The panel of that name, what was warned of told."""
    from cncpanel.errors import Gathering
    from cncpanel.make.one_panel import one_panel

    gathering = Gathering()
    found = one_panel(job, panel, gathering, dimensions)
    tell_warnings(gathering.warnings)
    return found
