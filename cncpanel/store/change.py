"""Changes of the store: read, changed and put back under its lock, in one step, on the disk before it is told.

The fresh text is written beside the file, flushed to the disk, then takes the file's name: whoever is killed, and
whenever, leaves the old whole file or the new one.
"""

import os
from collections.abc import Callable
from pathlib import Path

from cncpanel.errors import Place, Problem, ProblemsFound
from cncpanel.store.lock import locked
from cncpanel.store.offcut import Store
from cncpanel.store.text import read_store, store_text

Change = Callable[[Store], Store]


def changed(path: Path, change: Change) -> Store:
    """Put `change(store)` in place of the store at `path`; what was written. Raises ProblemsFound."""
    real = Path(os.path.realpath(path))
    if not real.exists():
        raise ProblemsFound([missing(path)])
    with locked(real):
        old = read_store(real)
        fresh = change(old)
        if fresh != old:
            _write(real, store_text(fresh))
    return fresh


def begun(path: Path, store: Store) -> None:
    """Write a store where none is; raises ProblemsFound."""
    real = Path(os.path.realpath(path))
    with locked(real):
        if os.path.lexists(real):
            raise ProblemsFound([Problem(Place(str(path)), "exists already and was left alone", "another name")])
        _write(real, store_text(store))


def missing(path: Path) -> Problem:
    """What is said where there is no store."""
    return Problem(Place(str(path)), "there is no store of offcuts", f"begin one: cncpanel offcuts new {path}")


def refuse_unwritable(path: Path) -> None:
    """Raise ProblemsFound now, before long work, where the store could not be changed later."""
    real = Path(os.path.realpath(path))
    if not os.access(real.parent, os.W_OK | os.X_OK) or not os.access(real, os.W_OK):
        text = "may be read but not changed: its pieces cannot be kept for a job"
        allowed = "a store that you may write to; or `check`, which keeps nothing"
        raise ProblemsFound([Problem(Place(str(path)), text, allowed)])


def _write(path: Path, text: str) -> None:
    """Under the lock, so that one name beside the file is enough: what a killed run left there is written over."""
    fresh = path.with_name(f".{path.name}.fresh")
    try:
        with fresh.open("w", encoding="utf-8", newline="\n") as stream:
            stream.write(text)
            stream.flush()
            os.fsync(stream.fileno())
        if path.exists():
            fresh.chmod(path.stat().st_mode & 0o777)
        os.replace(fresh, path)
        _sync_folder(path.parent)
    except OSError as error:
        text = f"cannot be written: {error.strerror or error}"
        raise ProblemsFound([Problem(Place(str(path)), text, "the store is as it was")]) from None


def _sync_folder(folder: Path) -> None:
    """The new name reaches the disk too, where the system lets a folder be opened."""
    if os.name == "nt":
        return
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)
