"""Reading programs: the whole language against the barest tokeniser, and memory that does not grow with the lines."""

import re
import time
import tracemalloc
from collections.abc import Callable, Iterator
from math import cos, sin

import pytest

from cncpanel.proof.reader import read, walk

LINES = 20_000
MANY = 50_000
MOST_BYTES = 2_000_000  # held while any number of lines is walked
WORD = re.compile(r"([A-Z])\s*([-+]?\d*\.?\d+)")


def lines(count: int) -> Iterator[str]:
    """A program of lines and arcs as a maker of curved panels writes it."""
    yield from ("G17 G21 G90 G94 G61", "M3 S18000", "G0 X0 Y0 Z5", "G1 Z-3 F900")
    for number in range(count):
        x, y = 500 + 300 * cos(number / 50), 400 + 300 * sin(number / 50)
        if number % 5 == 1:
            before = number - 1
            i, j = -300 * cos(before / 50), -300 * sin(before / 50)
            yield f"G3 X{x:.4f} Y{y:.4f} I{i:.4f} J{j:.4f}"
        elif number % 10:
            yield f"G1 X{x:.4f} Y{y:.4f} F{2400 + number % 7}"
        else:
            yield f"G1 X{x:.4f} Y{y:.4f} Z{-3 - number % 5:.4f}"
    yield from ("G0 Z5", "M5", "M2")


def tokenised(text: str) -> int:
    """Every letter with its number, and nothing more."""
    return sum(len([(letter, float(number)) for letter, number in WORD.findall(line)]) for line in text.split("\n"))


@pytest.mark.benchmark(timer=time.process_time)
def test_reading_against_tokenising(race: Callable[..., float]) -> None:
    text = "\n".join(lines(LINES))
    assert len(read(text).moves) == LINES + 3
    race("reading / a bare tokeniser", lambda: read(text), lambda: tokenised(text), limit=8)


def test_memory_does_not_grow_with_the_lines(tabled: Callable[..., None]) -> None:
    few, many = (_held(count) for count in (MANY // 10, MANY))
    tabled(f"reading {MANY} lines holds", max(few, many) / 1e6, limit=MOST_BYTES / 1e6, unit="MB")
    tabled(f"memory: {MANY} lines / {MANY // 10} lines", many / few, limit=1.5)


def _held(count: int) -> int:
    """The most bytes that are held while so many lines are walked."""
    tracemalloc.start()
    try:
        moves = sum(1 for _ in walk(lines(count)))
        _, most = tracemalloc.get_traced_memory()
    finally:
        tracemalloc.stop()
    assert moves > count
    return most
