"""Completion of commands and options in the shell."""

import click


@click.command()
@click.argument("shell", type=click.Choice(["bash", "zsh", "fish"]))
def completion(shell: str) -> None:
    """Print a script that completes commands and options in SHELL.

    \b
    Examples:
      cncpanel completion bash > ~/.local/share/bash-completion/completions/cncpanel
      cncpanel completion fish > ~/.config/fish/completions/cncpanel.fish
    """
    from click.shell_completion import get_completion_class

    from cncpanel.cli import main

    written = get_completion_class(shell)
    assert written is not None, "the choices are those that click knows"
    click.echo(written(main, {}, "cncpanel", "_CNCPANEL_COMPLETE").source())
