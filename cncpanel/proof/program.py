"""A program as text and as what was read of it: read once, then judged, timed and shown from the same reading."""

from collections.abc import Iterable
from dataclasses import dataclass

from cncpanel.proof.reader import Reading, read
from cncpanel.proof.setup import Setup


@dataclass(frozen=True, slots=True)
class ReadProgram:
    """One program of a sheet."""

    name: str
    text: str
    reading: Reading


def read_programs(programs: Iterable[tuple[str, str]], setup: Setup) -> tuple[ReadProgram, ...]:
    """Name and text of each, as this machine's control reads them."""
    return tuple(ReadProgram(name, text, read(text, setup.control)) for name, text in programs)
