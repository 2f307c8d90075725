"""Two clearings of a recess: weighed against the change of tools, forced or forbidden by the job."""

from pathlib import Path

import pytest

from cncpanel.errors import Gathering
from cncpanel.job.read import read_job
from cncpanel.machine.model import Machine
from cncpanel.machine.read import read_machine
from cncpanel.operation.operation import Clear
from cncpanel.operation.plan import plan
from cncpanel.panel.resolve import resolve

TRAY = "counter_tray.toml"


def clearings(path: Path, mode: str, change_s: float | None = None) -> list[tuple[str, str | None]]:
    """(tool, the tool that cleared before) of every recess; the machine's change of tools takes `change_s`."""
    gathering = Gathering()
    read = read_job(path, gathering)
    assert read.job.job.machine is not None
    settings = read.job.settings.model_copy(update={"second_clearing": mode})
    machine = _changing(read_machine(read.job.job.machine), change_s)
    plans = plan(resolve(read, gathering), machine, settings, gathering)
    assert gathering.problems == ()
    operations = [one for each in plans for one in each.operations if isinstance(one, Clear)]
    return [(one.tool.name, one.after.tool.name if one.after else None) for one in operations]


def _changing(machine: Machine, change_s: float | None) -> Machine:
    motion = machine.motion if change_s is None else machine.motion.model_copy(update={"tool_change_s": change_s})
    return machine.model_copy(update={"motion": motion})


BOTH = [("12 mm compression", None), ("6 mm up-cut", "12 mm compression")]
ONE = [("6 mm up-cut", None)]


@pytest.mark.parametrize(
    ("mode", "change_s", "expected"),
    [
        ("weighed", None, BOTH),
        ("weighed", 600.0, ONE),
        ("always", 600.0, BOTH),
        ("never", None, ONE),
    ],
    ids=["a quick change is worth it", "a slow one is not", "forced", "forbidden"],
)
def test_the_change_of_tools_is_weighed_unless_the_job_says(
    fixtures: Path, mode: str, change_s: float | None, expected: list[tuple[str, str | None]]
) -> None:
    assert clearings(fixtures / "jobs" / TRAY, mode, change_s) == expected


def test_a_recess_that_the_larger_tool_reaches_all_of_is_cleared_once(fixtures: Path) -> None:
    found = clearings(fixtures / "jobs" / "rounded_tray.toml", "always")
    assert {after for _, after in found} == {None}
