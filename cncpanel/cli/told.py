"""What every command tells alike: progress, warnings, mistakes in the input, and the exit code each ends with.

Exit codes: 0 made or in order; 1 a program failed its proof; 2 the input cannot be used, every mistake listed.
"""

import signal
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from functools import wraps
from types import FrameType
from typing import TYPE_CHECKING, Any

import click

if TYPE_CHECKING:
    from cncpanel.errors import Problem, ProblemsFound

NOT_PROVEN, NOT_USABLE = 1, 2
STOPPED = 130  # 128 and the number of the signal, as shells tell it


def told(command: Callable[..., None]) -> Callable[..., None]:
    """Every mistake in the input is printed, a line each, and ends with exit code 2; Ctrl-C ends with 130."""

    @wraps(command)
    def run(*args: Any, **kwargs: Any) -> None:
        with _noting_stops() as stops:
            try:
                _run(command, *args, **kwargs)
            except (KeyboardInterrupt, ImportError):  # a library stopped while it loads: "cannot be imported"
                if not stops:
                    raise
                click.echo("\nstopped; nothing is half-written", err=True)
                sys.exit(STOPPED)

    return run


@contextmanager
def _noting_stops() -> Iterator[list[int]]:
    """The list that every Ctrl-C is noted in; where somebody else handles or ignores it, that stays."""
    stops: list[int] = []

    def stop(number: int, frame: FrameType | None) -> None:
        stops.append(number)
        raise KeyboardInterrupt

    if signal.getsignal(signal.SIGINT) is not signal.default_int_handler:
        yield stops
        return
    signal.signal(signal.SIGINT, stop)
    try:
        yield stops
    finally:
        signal.signal(signal.SIGINT, signal.default_int_handler)


def _run(command: Callable[..., None], *args: Any, **kwargs: Any) -> None:
    from cncpanel.errors import ProblemsFound

    try:
        command(*args, **kwargs)
    except ProblemsFound as found:
        _tell_problems(found)
        sys.exit(NOT_USABLE)


def _tell_problems(found: "ProblemsFound") -> None:
    for problem in found.problems:
        click.echo(str(problem), err=True)
    mistakes = sum(not problem.warning for problem in found.problems)
    click.echo(f"{mistakes} mistake{'' if mistakes == 1 else 's'}; nothing was written", err=True)


def teller(quiet: bool) -> Callable[[str], None]:
    """Progress goes to standard error, a line a step."""
    return (lambda text: None) if quiet else (lambda text: click.echo(f"{text} ...", err=True))


def tell_warnings(warnings: "tuple[Problem, ...]") -> None:
    for warning in dict.fromkeys(warnings):
        click.echo(str(warning), err=True)
