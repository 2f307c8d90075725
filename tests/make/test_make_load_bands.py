"""The load of every demo job with a recess: chip and power never past their limits, engagement within its band.

The witness reckons them from the programs read back, cell by cell; as the report says, cells may add a tenth: light
passes of form tools and bores come out 0.02 to 0.04 too wide.
"""

from pathlib import Path

import pytest

from cncpanel.make.choice import Choice
from cncpanel.make.flow import make

JOBS = Path(__file__).parents[2] / "fixtures" / "jobs"
WITH_RECESS = sorted(
    path.stem
    for path in JOBS.glob("*.toml")
    if any(f"{key}{sign}" in path.read_text(encoding="utf-8") for key in ("recess", "groove") for sign in ("]]", " = "))
)
CELLS = 0.1  # of the limit: what cells may say too much, as the report has it
MOST_OVER = 0.05  # of a tool's time in a program: corners, and what roughing left beside tabs


def test_there_are_such_jobs() -> None:
    assert len(WITH_RECESS) >= 5


@pytest.mark.slow
@pytest.mark.parametrize("name", WITH_RECESS)
def test_the_load_stays_within_its_band(name: str) -> None:
    made = make(JOBS / f"{name}.toml", Choice(), lambda _: None)
    loads = [load for sheet in made.sheets for one in sheet.set_ups for load in one.loads]
    assert {"chip", "power", "engagement"} == {load.measure for load in loads}
    for load in loads:
        told = (load.program, load.tool, load.measure, load.high, load.most)
        if load.measure == "engagement":
            assert load.high <= 1 + CELLS, told
            over = load.seconds[-1] if load.most > 1 + CELLS else 0.0
            assert over <= MOST_OVER * sum(load.seconds), told
        else:
            assert load.seconds[-1] == 0, told
        assert all(spent >= 0 for spent in load.seconds)
