"""What is printed may go to a file on a full disk: that is told, as for a file that a command writes."""

import errno
import os
import sys
from typing import Any

import click

FULL = (errno.ENOSPC, errno.EDQUOT, errno.EFBIG, errno.EIO)
NOT_PRINTED = 2


class Commands(click.Group):
    """The group of all commands."""

    def invoke(self, ctx: click.Context) -> Any:
        """Run the command that was asked for."""
        try:
            return super().invoke(ctx)
        except OSError as error:
            if error.filename is not None or error.errno not in FULL:
                raise
            click.echo(f"what is printed cannot be written: {error.strerror} (a place with room)", err=True)
            os.dup2(os.open(os.devnull, os.O_WRONLY), 1)  # what still waits to be printed has nowhere to go
            sys.exit(NOT_PRINTED)
