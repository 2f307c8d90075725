"""Panels that were resolved before: a job that is read again and again has only its changed panels resolved anew."""

from collections.abc import Callable, Hashable
from dataclasses import dataclass, field

from cncpanel.errors import Gathering, Problem
from cncpanel.job.read import ReadJob
from cncpanel.panel.panel import Panel

Outcome = tuple[Panel | None, tuple[Problem, ...]]


@dataclass(slots=True)
class Kept:
    """What the last round resolved, by all that it depends on; `begun` anew for every round."""

    _last: dict[Hashable, Outcome] = field(default_factory=dict)
    _now: dict[Hashable, Outcome] = field(default_factory=dict)

    def begun(self) -> None:
        """A new round: what the last one did not ask for is forgotten."""
        self._last, self._now = self._now, {}

    def outcome(
        self, key: Hashable | None, work: Callable[[Gathering], Panel | None], gathering: Gathering
    ) -> Panel | None:
        """The work's panel, its problems told to `gathering` either way; a key of None is worked out always."""
        found = None if key is None else self._last.get(key)
        if found is None:
            own = Gathering()
            found = work(own), tuple(own.found)
        if key is not None:
            self._now[key] = found
        gathering.found += found[1]
        return found[0]


def panel_keys(read: ReadJob) -> list[Hashable | None]:
    """For each panel all that its resolving depends on: itself, the job's settings, stocks and units, its lines."""
    lines: dict[object, list[object]] = {}
    for path, line in read.file.lines.items():
        lines.setdefault(path[1] if len(path) > 1 and path[0] == "panel" else None, []).append((path, line))
    drawn = {path[1] for path in read.shapes if len(path) > 1 and path[0] == "panel"}
    job = read.job
    shared = (job.settings, job.stock, job.job, read.file.shown, tuple(lines.get(None, ())))
    return [
        None if index in drawn or read.orders else (index, panel, shared, tuple(lines.get(index, ())))
        for index, panel in enumerate(job.panel)
    ]
