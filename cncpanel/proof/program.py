"""A program as text and as what was read of it: read once, then judged, timed and shown from the same reading."""

from collections.abc import Iterable
from dataclasses import dataclass

from cncpanel.proof.reader import MOST_MOVES, Reading, read
from cncpanel.proof.setup import Setup


@dataclass(frozen=True, slots=True)
class ReadProgram:
    """One program of a sheet."""

    name: str
    text: str
    reading: Reading


def read_programs(programs: Iterable[tuple[str, str]], setup: Setup) -> tuple[ReadProgram, ...]:
    """Name and text of each, as this machine's control reads them; MOST_MOVES at most of all of them."""
    found: list[ReadProgram] = []
    left = MOST_MOVES
    for name, text in programs:
        reading = read(text, setup.control, most=left)
        found.append(ReadProgram(name, text, reading))
        left = max(left - len(reading.moves) - len(reading.events), 0)
    return tuple(found)
