"""A job written in a test, read and resolved."""

from pathlib import Path

import pytest
from resolving import HEAD, Resolve, Resolved

from cncpanel.errors import Gathering
from cncpanel.job.read import read_job
from cncpanel.panel.resolve import resolve


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
