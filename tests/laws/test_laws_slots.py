"""The law of slots as wide as the tool, or hardly wider: no move takes more than tool and spindle bear.

What a move takes is the area that its disc newly sweeps, by GEOS, times the step's depth; power is that volume by the
material's cutting force (P = k Q, as in tests/outside/test_outside_cutting_formulas.py).
"""

import sys
from itertools import pairwise
from pathlib import Path

import pytest
import shapely

sys.path.insert(0, str(Path(__file__).parents[1] / "passes"))

from passes_bench import moves, points

from cncpanel.geometry.contour import polygon
from cncpanel.geometry.region import region_of
from cncpanel.job.model import Settings, Stock
from cncpanel.machine.read import read_machine
from cncpanel.machine.tool import Tool
from cncpanel.operation.operation import Clear
from cncpanel.passes.clear import clear
from cncpanel.passes.draft import Title
from cncpanel.passes.run import Run
from cncpanel.passes.shop import Shop
from cncpanel.tooling.force import tool_deflection
from cncpanel.tooling.materials import MATERIALS
from cncpanel.tooling.spindle_speed import usable_speeds

MACHINES = ("shop-router", "nesting-router", "desktop-router")
LENGTH = 60.0
WIDER = (0.0, 0.4)  # mm over the tool's width
MARGIN = 1.15


def shops() -> list[tuple[str, str]]:
    return [(machine, material) for machine in MACHINES for material in MATERIALS]


def heaviest(run: Run) -> float:
    """The most mm3 a second of any level move: what its disc newly sweeps at that height, over its time."""
    radius, most = run.tool.radius, 0.0
    gone: dict[float, shapely.Geometry] = {0.0: shapely.Polygon()}
    heights = sorted({move[1][2] for move in moves(run) if move[0][2] == move[1][2] < 0}, reverse=True)
    step = dict(zip(heights, (a - b for a, b in pairwise((0.0, *heights))), strict=True))
    for move in moves(run):
        (_, _, z0), (_, _, z1), _, feed = move
        way = shapely.LineString([p[:2] for p in points(move)])
        if z0 != z1 or way.length < 0.2 * radius or z1 not in step:
            continue
        disc = way.buffer(radius, quad_segs=32)
        begin = shapely.Point(way.coords[0]).buffer(radius, quad_segs=32)
        before = gone.get(z1, begin)
        taken = disc.difference(shapely.union(before, begin)).area
        gone[z1] = shapely.union(before, disc)
        most = max(most, taken * step[z1] / (60 * way.length / feed))
    return most


def slotted(machine: str, material: str, tool: Tool, depth: float, wider: float) -> tuple[Run, ...]:
    across = tool.cut_diameter + wider
    region = region_of(polygon([(0, 0), (LENGTH, 0), (LENGTH, across), (0, across)]))
    stock = Stock(name="s", material=material, thickness=25, sheet=(1000, 600), count=1)
    operation = Clear(panel="p", feature="f", region=region, open_region=region, depth=depth, tool=tool)
    shop = Shop(read_machine(machine), stock, Settings())
    return tuple(one.run for one in clear(operation, Title("recess", "p", "f", tool), shop))


@pytest.mark.parametrize(("machine", "material"), [pytest.param(*one, marks=pytest.mark.slow) for one in shops()])
def test_no_slot_asks_for_more_than_tool_and_spindle_bear(machine: str, material: str) -> None:
    check(machine, material, (2.0, 5.0, 9.0, 14.0))


def test_the_deepest_slots_in_the_hardest_board_stay_within_bounds() -> None:
    check("desktop-router", max(MATERIALS, key=lambda name: MATERIALS[name].cutting_force), (9.0,))


def check(machine: str, material: str, depths: tuple[float, ...]) -> None:
    made = read_machine(machine)
    tools = [tool for tool in made.tool if tool.is_flat and usable_speeds(tool, made) is not None]
    tried = 0
    for tool in tools:
        for depth, wider in ((d, w) for d in depths if d <= tool.reach for w in WIDER):
            for run in slotted(machine, material, tool, depth, wider):
                tried += 1
                power = heaviest(run) * MATERIALS[material].cutting_force / 1000
                rim_speed = 3.14159 * tool.cut_diameter * run.rpm / 60000
                bend = tool_deflection(
                    power / rim_speed, diameter=tool.diameter, fluted=tool.cutting_length,
                    stick_out=tool.stick_out, shank_diameter=tool.shank_diameter,
                )  # fmt: skip
                assert 0 < power <= MARGIN * made.spindle.power_at(run.rpm), (tool.name, depth, wider)
                assert bend <= MARGIN * made.cutting.deflection_max, (tool.name, depth, wider)
    assert tried
