"""A file that a command writes where the person said: told early where it cannot be, written whole or not at all."""

import os
import tempfile
from collections.abc import Iterable, Iterator
from contextlib import suppress
from pathlib import Path

from cncpanel.errors import Place, Problem, ProblemsFound
from cncpanel.errors.real_path import real_path


def refuse_unwritable(*options: tuple[str, Path | None], read: Iterable[Path | None] = ()) -> None:
    """Raise ProblemsFound now, before long work, for every file that surely cannot be written.

    Nor is a file written over that was `read`, or one that another option writes.
    """
    kept = {real_path(path) for path in read if path is not None}
    found = list(_written_over(options, kept))
    found += [
        Problem(Place(option), f"{path}: {wrong}", "a file in a folder that exists")
        for option, path in options
        if path is not None and (wrong := _unwritable(path))
    ]
    if found:
        raise ProblemsFound(found)


def _written_over(options: Iterable[tuple[str, Path | None]], kept: set[Path]) -> Iterator[Problem]:
    written = set[Path]()
    for option, path in options:
        if path is None:
            continue
        place = real_path(path)
        if place in kept:
            yield Problem(Place(option), f"{path}: is one of the files that are read", "another file")
        elif place in written:
            yield Problem(Place(option), f"{path}: is written by another option", "another file")
        written.add(place)


def _unwritable(path: Path) -> str:
    if path.is_dir():
        return "is a folder"
    return "" if path.absolute().parent.is_dir() else "its folder does not exist"


def write(path: Path, data: bytes, allowed: str = "a folder with room") -> None:
    """The whole file in one step, or ProblemsFound and nothing, not even what was written aside."""
    try:
        handle, fresh = tempfile.mkstemp(prefix=f".{path.name}.", dir=path.absolute().parent)
        try:
            with os.fdopen(handle, "wb") as stream:
                stream.write(data)
            Path(fresh).chmod(0o644)
            Path(fresh).replace(path)
        finally:
            with suppress(OSError):
                os.unlink(fresh)
    except OSError as error:
        problem = Problem(Place(str(path)), f"cannot be written: {error.strerror or error}", allowed)
        raise ProblemsFound([problem]) from None
