"""The command line: options, progress, exit codes. Everything heavy is imported by the command that needs it."""

import click

from cncpanel import __version__
from cncpanel.cli.cabinet import changes, fit, model, parts, quote
from cncpanel.cli.completion import completion
from cncpanel.cli.make import check, layout, make
from cncpanel.cli.offcuts import offcuts
from cncpanel.cli.paper import artwork, cut_list, drawing, labels, template
from cncpanel.cli.printing import Commands
from cncpanel.cli.prove import prove
from cncpanel.cli.restart import restart
from cncpanel.cli.saw import saw
from cncpanel.cli.shown import coupon, guide, keys, machines, new, schema


@click.group(cls=Commands, context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100})
@click.version_option(__version__, prog_name="cncpanel")
def main() -> None:
    """From a cabinet's job file to checked CNC programs, drawings and sheets.

    \b
    Start here:
      cncpanel new stand.toml                 a commented job file to edit
      cncpanel check stand.toml               read and judge it, write nothing
      cncpanel make stand.toml --out build    programs, DXF, sheets, report
      cncpanel saw stand.toml --out build     the same for a table saw: papers, no programs
    """


for command in (
    make,
    check,
    layout,
    prove,
    restart,
    saw,
    template,
    drawing,
    artwork,
    cut_list,
    labels,
    offcuts,
    guide,
    keys,
    schema,
    machines,
    new,
    coupon,
    completion,
    fit,
    parts,
    model,
    changes,
    quote,
):
    main.add_command(command)
