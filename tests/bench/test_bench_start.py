"""Starting: help must be there before one has let go of the key."""

import subprocess
import sys
import time
from collections.abc import Callable

import pytest


def started(*arguments: str) -> Callable[[], object]:
    return lambda: subprocess.run([sys.executable, *arguments], check=True, capture_output=True)


@pytest.mark.benchmark(timer=time.perf_counter)
def test_help_against_importing_its_library(race: Callable[..., float]) -> None:
    shown = subprocess.run([sys.executable, "-m", "cncpanel", "--help"], check=True, capture_output=True, text=True)
    assert "cncpanel make" in shown.stdout
    help_text, library = started("-m", "cncpanel", "--help"), started("-c", "import click")
    race("cncpanel --help / python -c 'import click'", help_text, library, limit=3, rounds=15)
