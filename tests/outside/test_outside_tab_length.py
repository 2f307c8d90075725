"""How far the tool stays up over a tab, against geometry.

A round tool that lifts for a tab takes its radius at each end, so its middle stays up over tab width + D: plane
geometry, also the usual shop rule (common practice, no source beyond the geometry). Over a tab with sloped flanks it is
off the ground for two slopes more, each as long as the tab is high over the tangent of its angle.
"""

from itertools import pairwise
from math import hypot, radians, tan

import pytest

from cncpanel.errors import Gathering, Place
from cncpanel.geometry.contour import polygon
from cncpanel.job.model import Settings, Stock
from cncpanel.layout.layout import Part, Sheet
from cncpanel.machine.read import read_machine
from cncpanel.operation.operation import PanelPlan, Profile
from cncpanel.panel.panel import Panel
from cncpanel.passes.run import SheetRuns
from cncpanel.passes.sheet import sheet_runs

STOCK = Stock(name="MDF 18", material="mdf", thickness=18, sheet=(1000, 600), count=1, margin=3)
SQUARE = polygon([(0, 0), (300, 0), (300, 300), (0, 300)])


def cut(width: float, shape: str = "flat") -> SheetRuns:
    machine = read_machine("shop-router")
    panel = Panel(
        index=0, name="lid", stock=STOCK, face="show", copies=1, mirrored=0, turn="right-angles", outline=SQUARE,
        openings=(), recesses=(), holes=(), marks=(), grilles=(), bench=(), place=Place("a"),
    )  # fmt: skip
    last = Profile(panel="lid", feature="outline", side="outside", contour=SQUARE, tool=machine.tool[0])
    plans = {0: PanelPlan(panel=panel, operations=(last,), spots=())}
    part = Part(panel=0, name="lid", copy=1, mirrored_copy=False, x=100, y=100, angle_deg=0)
    sheet, settings = (
        Sheet(number=1, stock=STOCK, parts=(part,)),
        Settings.model_validate({"tab_width": width, "tab_shape": shape}),
    )
    return sheet_runs(sheet, plans, machine, settings, Gathering())


@pytest.mark.parametrize("width", [4.8, 6.0, 10.0])
def test_the_tool_stays_up_over_a_tab_for_its_width_and_the_tools_diameter(width: float) -> None:
    runs = cut(width)
    (run,) = runs.runs
    top = runs.tabs[0].top
    lengths, up = [], 0.0
    bottom = min(step.z for step in run.steps)
    last = [(step.x, step.y, step.z) for step in run.steps]
    reached = next(n for n, step in enumerate(last) if step[2] == bottom)
    for (x0, y0, z0), (x1, y1, z1) in pairwise(last[reached:]):
        if z0 == z1 == top:
            up += hypot(x1 - x0, y1 - y0)
        elif up:
            lengths.append(up)
            up = 0.0
    assert len(lengths) >= len(runs.tabs)
    whole = [one for one in lengths if one > width]
    assert whole
    assert max(whole) == pytest.approx(width + run.tool.cut_diameter, abs=0.01)
    assert sum(abs(one - width - run.tool.cut_diameter) < 0.01 for one in whole) >= len(runs.tabs)


@pytest.mark.parametrize("width", [4.8, 10.0])
def test_over_a_sloped_tab_it_is_off_the_ground_for_two_slopes_more_and_never_goes_straight_up_or_down(
    width: float,
) -> None:
    runs, ramp = cut(width, "sloped"), tan(radians(5))
    (run,) = runs.runs
    top, bottom = runs.tabs[0].top, min(step.z for step in run.steps)
    places = [(step.x, step.y, step.z) for step in run.steps]
    reached = next(n for n, step in enumerate(places) if step[2] == bottom)
    lengths, up = [], 0.0
    for (x0, y0, z0), (x1, y1, z1) in pairwise(places[reached:-1]):
        across = hypot(x1 - x0, y1 - y0)
        assert abs(z1 - z0) <= across * ramp + 1e-4, "no steeper than the machine's slopes"
        if max(z0, z1) > bottom:
            up += across
        elif up:
            lengths.append(up)
            up = 0.0
    assert {tab.flank_deg for tab in runs.tabs} == {5}
    assert len(lengths) >= len(runs.tabs)
    slope = (top - bottom) / ramp
    assert lengths == pytest.approx([width + run.tool.cut_diameter + 2 * slope] * len(lengths), abs=0.02)
