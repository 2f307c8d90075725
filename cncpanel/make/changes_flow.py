"""Two revisions of a job beside each other: what to cut again."""

from dataclasses import dataclass
from pathlib import Path

from cncpanel.cabinet.derive import read_cabinet
from cncpanel.cabinet.revision import Change, bought, changes
from cncpanel.errors import Gathering, ProblemsFound
from cncpanel.job.read import ReadJob
from cncpanel.panel.panel import Panel
from cncpanel.panel.resolve import resolve


@dataclass(frozen=True, slots=True, kw_only=True)
class Compared:
    """What differs, panel by panel, and in what is bought and cut to length."""

    changes: tuple[Change, ...]
    bought: tuple[str, ...]


def compare(old: Path, new: Path) -> Compared:
    """Compare two job files; raises ProblemsFound with the mistakes of both."""
    gathering = Gathering()
    (before, first), (after, second) = (_panels(path, gathering) for path in (old, new))
    gathering.stop_if_any()
    assert before is not None
    assert after is not None
    return Compared(changes=changes(first, second), bought=bought(before.job, after.job))


def _panels(path: Path, gathering: Gathering) -> tuple[ReadJob | None, tuple[Panel, ...]]:
    try:
        read = read_cabinet(path).read
    except ProblemsFound as found:
        gathering.found += found.problems
        return None, ()
    return read, resolve(read, gathering)
