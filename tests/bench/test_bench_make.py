"""The whole command: the most memory it holds, and how it grows with the cabinets in a batch."""

import os
from collections.abc import Callable
from pathlib import Path

import pytest

from cncpanel.make.choice import Choice
from cncpanel.make.make_into import make_into

TIMES = 10  # cabinets in one job
MOST_MB = 1500  # less than half of a small workshop computer's 4 GB
GROWTH = 1.2  # times linear
SHELF = """\
[job]
name = "Shelf {number}"
machine = "nesting-router"

[settings.packing]
steps = 0

[[stock]]
name = "ply 12"
material = "plywood"
thickness = 12
sheet = [760, 480]
count = {sheets}

[[panel]]
name = "side {number}"
stock = "ply 12"
size = [300, 200]
radius = 12
mirrored = 1
groove = [{{ path = [[0, 100], [300, 100]], width = 12.2, depth = 4, ends = "open" }}]

[[panel]]
name = "back {number}"
stock = "ply 12"
size = [380, 280]
opening = [{{ centre = [190, 140], size = [200, 90], radius = 6 }}]
hole = [{{ centre = [20, 20], diameter = 6, row = {{ count = 8, pitch = 30 }} }}]
"""


def spent(work: Callable[[], object]) -> tuple[float, float]:
    """CPU seconds and MB at most of a process of its own that does the work."""
    child = os.fork()
    if child == 0:
        work()
        os._exit(0)
    _, status, used = os.wait4(child, 0)
    assert status == 0
    return used.ru_utime + used.ru_stime, used.ru_maxrss / 1024


def quiet(_: str) -> None:
    """Progress nobody sees."""


def test_the_most_memory_that_ten_consoles_take(fixtures: Path, tmp_path: Path, tabled: Callable[..., None]) -> None:
    one = (fixtures / "jobs" / "millrace.toml").read_text(encoding="utf-8")
    job = tmp_path / "ten.toml"
    job.write_text(many_copies(one), encoding="utf-8")
    _, one_mb = spent(lambda: make_into(fixtures / "jobs" / "millrace.toml", tmp_path / "one", Choice(), quiet))
    _, ten_mb = spent(lambda: make_into(job, tmp_path / "ten", Choice(), quiet))
    tabled("make of millrace x 10 holds", ten_mb, limit=MOST_MB, unit="MB")
    tabled("memory: millrace x 10 / millrace", ten_mb / one_mb, limit=TIMES)


def many_copies(job: str) -> str:
    """The job with ten times its parts and its sheets."""
    lines = []
    for line in job.splitlines():
        key, _, value = line.partition(" = ")
        if key in ("copies", "mirrored"):
            line = f"{key} = {int(value.split('#')[0]) * TIMES}"
        if key == "count":
            line = f"count = {int(value.split('#')[0]) * TIMES * (2 if lines[-1].startswith('sheet') else 1)}"
        lines.append(line)
        if line.startswith("[settings]"):
            lines += ["packing = { steps = 0 }"]
    return "\n".join(with_copies(lines)) + "\n"


def with_copies(lines: list[str]) -> list[str]:
    """Panels that say no copies get ten."""
    blocks = "\n".join(lines).split("[[panel]]")
    told = [block if "\ncopies = " in block else f"\ncopies = {TIMES}{block}" for block in blocks[1:]]
    return "[[panel]]".join([blocks[0], *told]).split("\n")


@pytest.mark.parametrize("together", [False, True], ids=["apart", "together"])
def test_a_hundred_cabinets_take_a_hundred_times_as_long(
    together: bool, tmp_path: Path, tabled: Callable[..., None]
) -> None:
    jobs = []
    for number in range(100):
        jobs.append(tmp_path / f"shelf{number}.toml")
        jobs[-1].write_text(SHELF.format(number=number, sheets=100))

    def batch(count: int) -> Callable[[], object]:
        out = tmp_path / f"out{count}"
        if together:
            choice = Choice(together=tuple(jobs[:count]), name="Batch")
            return lambda: make_into(tmp_path / "Batch", out, choice, quiet)
        return lambda: [make_into(job, out / job.stem, Choice(), quiet) for job in jobs[:count]]

    batch(1)()  # imports and caches are warm in all; a cabinet fills a sheet, so that one has whole sheets' work too
    one, ten, hundred = (spent(batch(count))[0] for count in (1, 10, 100))
    how = "together" if together else "a folder each"
    tabled(f"10 cabinets {how} / 10 x 1", ten / (10 * one), limit=GROWTH)
    tabled(f"100 cabinets {how} / 10 x 10", hundred / (10 * ten), limit=GROWTH)
