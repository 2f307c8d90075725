"""Hand-made runs, sheets and jobs for the tests of sequence and output."""

from math import pi, tan

from cncpanel.geometry.point import Point
from cncpanel.job.model import JobHead, Stock
from cncpanel.layout.layout import Sheet
from cncpanel.machine.model import Machine
from cncpanel.machine.read import read_machine, shipped_machines
from cncpanel.machine.tool import Tool
from cncpanel.passes.run import Run, SheetRuns, Step

QUARTER = tan(pi / 8)
SHIPPED = tuple(sorted(shipped_machines()))
JOB = JobHead(name="Sample (board)", machine="shop-router", revision="B")


def machine(name: str) -> Machine:
    return read_machine(name)


def tool(number: int, diameter: float = 6.0, kind: str = "up-cut") -> Tool:
    return Tool(
        number=number,
        name=f"{diameter:g} mm {kind}",
        kind=kind,
        diameter=diameter,
        flutes=2,
        cutting_length=25,
        stick_out=32,
        nut_diameter=30,
        shank_diameter=6,
        plunges=True,
        rpm_max=24000,
    )


def stock(size=(700.0, 500.0)) -> Stock:
    return Stock(name="board", material="mdf", thickness=18, measured=(18.1, 17.9), sheet=size, count=1)


def sheet(size=(700.0, 500.0), number=1) -> Sheet:
    return Sheet(number=number, stock=stock(size), parts=())


def run(kind, part, cutter, at, *, feature="", to=None, rpm=18000.0, z=-5.0) -> Run:
    """A plunge at `at` and a straight cut to `to`."""
    end = to or (at[0] + 10.0, at[1])
    steps = (Step(*at, z, 600.0), Step(*end, z, 3000.0))
    return Run(
        kind=kind,
        part=part,
        feature=feature,
        tool=cutter,
        rpm=rpm,
        start=Point(*at),
        approach=2.0,
        steps=steps,
    )


def sheet_runs(*runs: Run, number=1) -> SheetRuns:
    return SheetRuns(sheet=number, runs=runs, tabs=())


def hole_run(part, cutter, centre, radius, *, rpm=18000.0, depth=-18.6) -> Run:
    """A bored hole: half turns of a helix down, a level circle at the bottom, in to the middle."""
    x, y = centre
    left, right = (x - radius, y), (x + radius, y)
    steps = [Step(*(left if i % 2 == 0 else right), depth * (i + 1) / 6, 900.0, 1.0) for i in range(6)]
    steps += [Step(*left, depth, 1800.0, 1.0), Step(*right, depth, 1800.0, 1.0), Step(x, y, depth, 1800.0)]
    return Run(
        kind="hole",
        part=part,
        feature="hole",
        tool=cutter,
        rpm=rpm,
        start=Point(*right),
        approach=1.5,
        steps=tuple(steps),
    )


def outline_run(part, cutter, corner, size, *, rpm=18000.0, depth=-18.6) -> Run:
    """Round a rectangle, outside, clockwise, corners rolled round; down a ramp along the first side, twice."""
    (x, y), (width, height), r = corner, size, cutter.radius
    right, top = x + width, y + height
    ring = (
        (x - r, top, 0.0),
        (x, top + r, -QUARTER),
        (right, top + r, 0.0),
        (right + r, top, -QUARTER),
        (right + r, y, 0.0),
        (right, y - r, -QUARTER),
        (x, y - r, 0.0),
        (x - r, y, -QUARTER),
    )
    steps: list[Step] = []
    for level in (depth / 2, depth):
        steps += [Step(x - r, y + height / 2, level, 1200.0), Step(x - r, y, level, 2400.0)]
        steps += [Step(px, py, level, 2400.0, bulge) for px, py, bulge in ring]
    return Run(
        kind="outline",
        part=part,
        feature="outline",
        tool=cutter,
        rpm=rpm,
        start=Point(x - r, y),
        approach=2.0,
        steps=tuple(steps),
        frees=True,
    )


def door(machine: Machine) -> SheetRuns:
    """A rectangle with a hole: the hole with the rack's second tool, the outline with its first."""
    first, second = machine.tool[:2]
    return sheet_runs(
        outline_run("Left door", first, (60, 60), (300, 200)), hole_run("Left door", second, (150, 150), 8.5)
    )
