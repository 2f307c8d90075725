"""A lock that one process holds at a time: the system gives it up when its holder ends, however it ends."""

import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from time import monotonic, sleep

from cncpanel.errors import Place, Problem, ProblemsFound

PATIENCE = 30.0  # s; whoever holds it needs it for milliseconds
PAUSE = 0.02  # s between two tries


@contextmanager
def locked(path: Path, patience: float = PATIENCE) -> Iterator[None]:
    """Hold the lock of the file at `path`, a hidden file beside it; raises ProblemsFound where it cannot be had."""
    beside = path.with_name(f".{path.name}.lock")
    try:
        handle = os.open(beside, os.O_RDWR | os.O_CREAT, 0o666)
    except OSError as error:
        text = f"cannot be changed: {beside.name} beside it: {error.strerror or error}"
        raise ProblemsFound([Problem(Place(str(path)), text, "a folder that you may write to")]) from None
    try:
        _wait(handle, path, patience)
        yield
    finally:
        os.close(handle)


def _wait(handle: int, path: Path, patience: float) -> None:
    until = monotonic() + patience
    while not _taken(handle):
        if monotonic() > until:
            text = f"another run has held it for {patience:g} s"
            raise ProblemsFound([Problem(Place(str(path)), text, "try again when that run is done")])
        sleep(PAUSE)


if sys.platform == "win32":
    import msvcrt

    def _taken(handle: int) -> bool:
        try:
            msvcrt.locking(handle, msvcrt.LK_NBLCK, 1)
        except OSError:
            return False
        return True

else:
    import fcntl

    def _taken(handle: int) -> bool:
        try:
            fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError:
            return False
        return True
