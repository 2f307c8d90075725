"""Programs' files read; one that holds more than a proof takes is told before anything of it is run."""

from dataclasses import dataclass
from pathlib import Path
from typing import BinaryIO

from cncpanel.errors import Gathering, Place
from cncpanel.proof.reader import MOST_MOVES

LARGEST = 500_000_000  # bytes of a program; a million lines take 30
AT_ONCE = 1 << 20  # bytes


@dataclass(slots=True)
class _Lines:
    """How many lines that are not blank the programs of a sheet may still hold."""

    left: int
    told: bool = False


def program_texts(paths: tuple[Path, ...], gathering: Gathering) -> tuple[tuple[str, str], ...]:
    """Name and text of every program; a byte beyond ASCII stays one strange character, for the witness to tell.

    Of files that are too large or too long no more is read than shows it, and their texts stay empty.
    """
    lines = _Lines(MOST_MOVES)
    found = [(str(path), _program(path, lines, gathering)) for path in paths]
    names = [path.name for path in paths]
    if len(set(names)) == len(names):
        found = [(name, text) for name, (_, text) in zip(names, found, strict=True)]
    for name in {name for name, _ in found if [n for n, _ in found].count(name) > 1}:
        gathering.problem(Place(name), "is given twice", "each program once, in the order in which they are run")
    return tuple(found)


def _program(path: Path, lines: _Lines, gathering: Gathering) -> str:
    place = Place(str(path))
    try:
        if path.is_dir():
            gathering.problem(place, "a folder, not a file")
            return ""
        with path.open("rb") as stream:
            return _text(stream, place, lines, gathering)
    except FileNotFoundError:
        gathering.problem(place, "no such file")
    except OSError as error:
        gathering.problem(place, f"cannot be read: {error.strerror or error}", "a program's file")
    return ""


def _text(stream: BinaryIO, place: Place, lines: _Lines, gathering: Gathering) -> str:
    pieces, size = list[bytes](), 0
    while piece := stream.read(AT_ONCE) + stream.readline(AT_ONCE):
        pieces.append(piece)
        size += len(piece)
        lines.left -= sum(1 for line in piece.splitlines() if line.strip(b" \t"))
        if size > LARGEST:
            gathering.problem(place, f"larger than {LARGEST // 1_000_000} MB")
            return ""
        if lines.left < 0:
            return _told_as_too_long(place, lines, gathering)
    return b"".join(pieces).decode("latin-1")


def _told_as_too_long(place: Place, lines: _Lines, gathering: Gathering) -> str:
    if not lines.told:
        text = f"more than {MOST_MOVES} lines, the programs before it on the sheet counted"
        gathering.problem(place, text, f"at most {MOST_MOVES}: longer steps along curves, or arcs")
    lines.told = True
    return ""
