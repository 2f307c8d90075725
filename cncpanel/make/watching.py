"""Files that are looked at until one of them changes: what stands in an editor while its job is judged again."""

import time
from collections.abc import Callable, Iterator
from pathlib import Path

EVERY = 0.25  # s between looks


def beside(job: Path) -> list[Path]:
    """The job and what it may draw on: the other tables and drawings in its folder."""
    return sorted({job, *job.parent.glob("*.toml"), *job.parent.glob("*.dxf")})


def stamps(job: Path) -> tuple[tuple[str, int, int], ...]:
    """Names, times and sizes of those files; one that is gone for a moment (an editor saves so) is left out."""
    found = []
    for path in beside(job):
        try:
            state = path.stat()
        except OSError:
            continue
        found.append((path.name, state.st_mtime_ns, state.st_size))
    return tuple(found)


def changes_of(job: Path, wait: Callable[[float], object] = time.sleep) -> Iterator[None]:
    """Yields at once, and again each time that a file has changed; without end."""
    seen = None
    while True:
        now = stamps(job)
        if now != seen:
            seen = now
            yield
        else:
            wait(EVERY)
