"""The demo jobs of holding, whole: screws in the waste, a skin on a vacuum table."""

from pathlib import Path

import pytest

from cncpanel.make.choice import Choice
from cncpanel.make.flow import make

JOBS = Path(__file__).parents[2] / "fixtures" / "jobs"


@pytest.mark.slow
@pytest.mark.parametrize("name", ["seed_station", "reading_bench"])
def test_a_demo_of_holding_is_proven(name: str) -> None:
    made = make(JOBS / f"{name}.toml", Choice(), lambda _: None)
    assert made.passed
    runs = made.sheets[0].runs
    if name == "seed_station":
        assert len(runs.screws) >= 4
    else:
        assert {one.part.split()[0]: one.alone for one in runs.freed} == {"seat": True, "end": True, "book": False}
        assert {tab.part.split(" stop")[0] for tab in runs.tabs} == {"book"}
