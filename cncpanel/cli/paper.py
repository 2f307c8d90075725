"""The commands that draw one panel: template, artwork."""

from pathlib import Path
from typing import TYPE_CHECKING

import click

from cncpanel.cli.told import told

if TYPE_CHECKING:
    from cncpanel.job.model import Face


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
    from cncpanel.make.one_panel import one_panel, template_out, with_options, write_each

    read, found = one_panel(job, panel)
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
    from cncpanel.make.one_panel import artwork_out, one_panel, write_each

    files = artwork_out(*one_panel(job, panel), out)
    write_each(files)
    click.echo("\n".join(map(str, files)))
