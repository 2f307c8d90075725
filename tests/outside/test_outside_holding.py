"""Forces and holds against published figures and formulas.

Power P = ap ae vf kc / 60e6 kW: Dijet catalogue p. 551. kc 32.0 and 37.6 N/mm2 on particleboard: B. Palubicki,
Materials 2021, 14, 2208; 35 lies between. Force is power over the rim's speed. Vacuum of 20 inches of mercury is 67.7
kPa (1 inHg = 3386.39 Pa, ISO 80000-4 by conversion); friction 0.3: common practice, no source.
"""

import pytest
import shapely

from cncpanel.machine.read import read_machine
from cncpanel.proof.holding import PANEL
from cncpanel.proof.load import Stretch
from cncpanel.proof.material import Placed
from cncpanel.proof.motion import Move
from cncpanel.proof.setup import Setup
from cncpanel.proof.suction import sucked


@pytest.mark.parametrize(
    ("diameter", "depth", "feed", "newtons"),
    [(6.35, 6.35, 11880, 46.7), (6.35, 18.3, 5940, 67.3), (12.7, 18.3, 14400, 163.1)],
)
def test_a_full_slot_pushes_as_hard_as_its_power_says(
    diameter: float, depth: float, feed: float, newtons: float
) -> None:
    """18000 rpm: 279, 403 and 1952 W at 5.98, 5.98 and 11.97 m/s."""
    tool = read_machine("shop-router").tool[0].model_copy(update={"diameter": diameter, "measured_diameter": None})
    move = Move(1, "feed", (0, 0, 0), (10, 0, 0), feed, 18000, True, tool.number)
    area = 10 * diameter
    stretch = Stretch(placed=Placed("a", move, 1), begun=0, volume=area * depth, area=area, length=10, across=10)
    assert stretch.force(tool, 18000, 35) == pytest.approx(newtons, rel=0.003)


def test_vacuum_and_force_are_those_of_the_sources() -> None:
    nesting = read_machine("nesting-router")
    assert pytest.approx(20 * 3386.39 / 1e3, rel=0.001) == nesting.table.pressure
    assert round(sucked(shapely.box(0, 0, 100, 100), Setup(nesting, 18.0))) == 203
    assert 32.0 < PANEL.specific_force < 37.6
