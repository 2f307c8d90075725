"""Reading job files: a small multiple of reading plain TOML, and no worse for a long file."""

import time
import tomllib
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from cncpanel.errors import Gathering
from cncpanel.job.read import read_job
from cncpanel.panel.resolve import resolve

HEAD = """
[job]
name = "bench"
machine = "shop-router"

[values]
width = 300

[[stock]]
name = "board"
material = "mdf"
thickness = 18
sheet = [2440, 1220]
count = 99
"""
PANEL = """
[[panel]]
name = "door {0}"
stock = "board"
size = ["width", 200]

[[panel.hole]]
centre = [40, "width / 6"]
diameter = 5

[[panel.opening]]
name = "window"
at = [150, 100]
size = ["width / 3", 60]
radius = 8
"""


def reading(path: Path) -> Callable[[], object]:
    def read() -> None:
        gathering = Gathering()
        read_job(path, gathering)
        assert gathering.problems == ()

    return read


def resolving(path: Path) -> Callable[[], object]:
    def read() -> None:
        gathering = Gathering()
        resolve(read_job(path, gathering), gathering)
        assert gathering.problems == ()

    return read


@pytest.mark.benchmark(timer=time.process_time)
def test_reading_a_job_against_reading_toml(millrace: Any, race: Callable[..., float]) -> None:
    text = millrace.path.read_text(encoding="utf-8")
    race(
        "reading millrace.toml / tomllib alone", reading(millrace.path), lambda: tomllib.loads(text), limit=8, rounds=25
    )


@pytest.mark.benchmark(timer=time.process_time)
def test_four_times_the_panels_take_four_times_as_long(tmp_path: Path, race: Callable[..., float]) -> None:
    short, long = tmp_path / "short.toml", tmp_path / "long.toml"
    for path, count in ((short, 100), (long, 400)):
        path.write_text(HEAD + "".join(PANEL.format(number) for number in range(count)), encoding="utf-8")
    race("panels of 400 / panels of 100", resolving(long), resolving(short), limit=6)
