"""How high the tool travels between cuts."""

import pytest

from cncpanel.job.model import Stock
from cncpanel.machine.model import Machine
from cncpanel.machine.read import read_machine
from cncpanel.sequence.frame import clearance_height, top_of_sheet

STOCK = Stock(name="ply", material="plywood", thickness=9, sheet=(500, 300), count=1)


def nesting(flatness: float) -> Machine:
    machine = read_machine("nesting-router")
    return machine.model_copy(update={"table": machine.table.model_copy(update={"flatness": flatness})})


@pytest.mark.parametrize("flatness", [0.1, 2.0, 6.0])
def test_the_tool_travels_three_mm_over_the_highest_that_the_sheet_may_lie(flatness: float) -> None:
    machine = nesting(flatness)
    table = machine.table
    over = clearance_height(STOCK, machine) - top_of_sheet(STOCK, machine)
    bow = flatness + table.z_error + table.thickness_spread
    assert over == pytest.approx(table.clamp_height + max(5.0, bow + 3.0))
