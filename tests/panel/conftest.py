"""A job written in a test, read and resolved."""

from collections.abc import Callable
from pathlib import Path
from typing import NamedTuple

import pytest

from cncpanel.errors import Gathering
from cncpanel.job.read import read_job
from cncpanel.panel.panel import Panel
from cncpanel.panel.resolve import resolve

HEAD = """
[job]
name = "test"
machine = "shop"
[[stock]]
name = "mdf"
material = "mdf"
thickness = 18
measured = [17.8, 18.2]
sheet = [2440, 1220]
count = 1
"""


class Resolved(NamedTuple):
    """What came out: panels, problem and warning texts without the file's name."""

    panels: tuple[Panel, ...]
    problems: list[str]
    warnings: list[str]

    @property
    def panel(self) -> Panel:
        """The only panel, of a job without problems."""
        assert self.problems == []
        (panel,) = self.panels
        return panel


Resolve = Callable[[str], Resolved]


@pytest.fixture
def resolved(tmp_path: Path) -> Resolve:
    """Resolves the panels of a job whose head and stock "mdf" (18, measured 17.8 and 18.2) are given."""

    def run(panels: str, head: str = HEAD) -> Resolved:
        path = tmp_path / "job.toml"
        path.write_text(head + panels, encoding="utf-8")
        gathering = Gathering()
        made = resolve(read_job(path), gathering)
        told = [[f"{p.place.key}: {p.text}" for p in found] for found in (gathering.problems, gathering.warnings)]
        return Resolved(made, *told)

    return run
