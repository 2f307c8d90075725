"""Making passes: a small multiple of the raw offset calls that they need."""

import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from types import SimpleNamespace
from typing import Any

import pyclipper
import pytest

from cncpanel.errors import Gathering
from cncpanel.geometry import offset
from cncpanel.passes.run import SheetRuns
from cncpanel.passes.sheet import sheet_runs

Added = tuple[tuple[tuple[int, ...], ...], int, int]


@dataclass
class Recorded:
    """The kernels that were asked, each once: (settings, paths) with the distances asked of it."""

    calls: dict[tuple[tuple[float, ...], tuple[Added, ...]], set[float]] = field(default_factory=dict)

    def replay(self) -> None:
        """The raw calls alone."""
        for (settings, added), distances in self.calls.items():
            kernel = pyclipper.PyclipperOffset(*settings)
            for path, join, end in added:
                kernel.AddPath(path, join, end)
            for distance in distances:
                kernel.Execute2(distance)

    def kernel(self, *settings: float) -> "_Kernel":
        return _Kernel(self, settings)


class _Kernel:
    """A kernel that notes what it is asked."""

    def __init__(self, record: Recorded, settings: tuple[float, ...]) -> None:
        self._record, self._settings = record, settings
        self._added: list[Added] = []
        self._raw = pyclipper.PyclipperOffset(*settings)

    def AddPath(self, path: list[list[int]], join: int, end: int) -> None:  # noqa: N802 (the library's name)
        self._added.append((tuple(map(tuple, path)), join, end))
        self._raw.AddPath(path, join, end)

    def Execute2(self, distance: float) -> Any:  # noqa: N802 (the library's name)
        self._record.calls.setdefault((self._settings, tuple(self._added)), set()).add(distance)
        return self._raw.Execute2(distance)


@contextmanager
def recording(monkeypatch: pytest.MonkeyPatch) -> Iterator[Recorded]:
    """What the one door to the kernel asks while this lasts."""
    record = Recorded()
    names = {name: getattr(pyclipper, name) for name in ("JT_ROUND", "ET_CLOSEDPOLYGON")}
    with monkeypatch.context() as patch:
        patch.setattr(offset, "pyclipper", SimpleNamespace(PyclipperOffset=record.kernel, **names))
        yield record


@pytest.mark.benchmark(timer=time.process_time)
def test_passes_against_the_offsets_they_need(
    millrace: Any, race: Callable[..., float], monkeypatch: pytest.MonkeyPatch
) -> None:
    """The baseline is the strictest there is: no call twice, not even one that differs only by its place."""

    def passes() -> list[SheetRuns]:
        gathering = Gathering()
        made = [
            sheet_runs(sheet, millrace.by_panel, millrace.machine, millrace.read.job.settings, gathering)
            for sheet in millrace.layout.sheets
        ]
        assert gathering.problems == ()
        return made

    with recording(monkeypatch) as needed:
        assert sum(len(sheet.runs) for sheet in passes()) > 200
    assert sum(len(distances) for distances in needed.calls.values()) > 100
    race("all passes of millrace / the raw offsets they need", passes, needed.replay, limit=15)
