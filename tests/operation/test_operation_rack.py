"""What a tool of the rack is too short for."""

from cncpanel.job.model import Settings, Stock
from cncpanel.machine.read import read_machine
from cncpanel.operation.rack import Bench

MACHINE = read_machine("shop-router-inch")  # Z is set on the sheet's top, to 0.1 mm
BENCH = Bench(
    machine=MACHINE,
    stock=Stock(name="board", material="acrylic", thickness=12.0, sheet=(700.0, 500.0), count=1),
    settings=Settings(),
)
THIN = next(tool for tool in MACHINE.tool if tool.number == 3)  # 3.175 mm, under a shank of 6.35


def test_a_wider_shank_stays_over_a_sheet_that_stands_as_high_as_it_may() -> None:
    assert THIN.shank_diameter > THIN.cut_diameter
    enough = THIN.model_copy(update={"cutting_length": BENCH.through + MACHINE.table.z_error})
    short = THIN.model_copy(update={"cutting_length": BENCH.through + MACHINE.table.z_error - 0.05})
    assert BENCH.refused(enough, None) is None
    assert "under a wider shank" in (BENCH.refused(short, None) or "")


def test_a_shank_no_wider_than_the_cut_may_enter_it() -> None:
    even = THIN.model_copy(update={"cutting_length": BENCH.through, "shank_diameter": THIN.cut_diameter})
    assert BENCH.refused(even, None) is None
