"""Which way form tools, cones and balls go round rims: measured in the written program, and proven whole."""

from functools import cache
from math import dist
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest

from cncpanel.geometry.point import Point
from cncpanel.layout.layout import placement
from cncpanel.make.choice import Choice
from cncpanel.make.flow import Prepared, make, prepare
from cncpanel.make.sheet_set import Written
from cncpanel.make.turned_set import cut_both
from cncpanel.operation.operation import EdgeCut

RADIUS, EYE = 36.0, 16.0  # of the disc and of its opening, mm
DISC = """
[job]
name = "Disc"
machine = "shop-router"
[settings]
packing = { steps = 0 }
direction = "ROUGH"
finish_direction = "LAST"
[[stock]]
name = "mdf"
material = "mdf"
thickness = 18
sheet = [120, 120]
count = 1
[[panel]]
name = "disc"
stock = "mdf"
outline = [
    { to = [36, 0], name = "A", through = [0, 36] }, { to = [72, 36], through = [57.6, 7.2] },
    { to = [36, 72], name = "B", through = [57.6, 64.8] },
]
edge = [OUTSIDE]
opening = [{ name = "eye", diameter = 32, centre = [36, 36], edge = [INSIDE] }]
"""
ROUND_OVER, CONE, BALL = "{ round = 3 }", "{ bevel_deg = 45, width = 3 }", "{ round = 5 }"
TAPERED = '{ between = ["A", "B"], round = 3, start = 15, stop = 95, run_out = 20 }'
WAYS = ("climb", "conventional")
PAIRS = [(rough, last) for rough in WAYS for last in WAYS]


def text(outside: str, inside: str, rough: str, last: str) -> str:
    return DISC.replace("OUTSIDE", outside).replace("INSIDE", inside).replace("ROUGH", rough).replace("LAST", last)


@cache
def cut(job: str) -> tuple[Prepared, tuple[Written, ...]]:
    """The job and its programs, not proven."""
    with TemporaryDirectory() as folder:
        path = Path(folder) / "disc.toml"
        path.write_text(job, encoding="utf-8")
        ready = prepare(path, Choice(), lambda _: None)
        (sheet,) = ready.layout.sheets
        return ready, cut_both(sheet, 1, ready.plans, ready.reverse, ready.machine, ready.read, ready.gathering)


def rounds(job: str, kind: str, *, inside: bool) -> set[tuple[float, str]]:
    """Level arcs of a kind of tool about the disc's middle: how far off the wall its centre goes, and which way.

    Round material climb is clockwise, in an opening counter-clockwise: the material lies on the tool's right.
    """
    ready, programs = cut(job)
    middle = placement(ready.panels[0], ready.layout.sheets[0].parts[0]).point(Point(RADIUS, RADIUS))
    numbers = {tool.number for tool in ready.machine.tool if tool.kind == kind}
    found = set()
    for move in [move for written in programs for move in written.read.reading.moves]:
        level = abs(move.end[2] - move.start[2]) < 1e-6 and move.end[2] < 0
        if move.tool in numbers and move.centre and level and dist(move.centre[:2], middle) < 0.01:
            off = EYE - move.radius if inside else move.radius - RADIUS
            if (move.radius < (RADIUS + EYE) / 2) == inside:
                found.add((round(off, 2), "climb" if (move.turn < 0) != inside else "conventional"))
    return found


def expected(job: str, rough: str, last: str, *, inside: bool) -> set[tuple[float, str]]:
    """How far off the wall the edge's levels lie, roughing's and the last one's, each with its way."""
    (plan,) = cut(job)[0].plans
    side = "inside" if inside else "outside"
    (edge,) = [one for one in plan.operations if isinstance(one, EdgeCut) and one.side == side]
    *roughing, finish = [round(layer.offset, 2) for layer in edge.layers]
    return {(off, rough) for off in roughing} | {(finish, last)}


@pytest.mark.parametrize(("rough", "last"), PAIRS)
@pytest.mark.parametrize("outside", [ROUND_OVER, TAPERED], ids=["all round", "tapered"])
def test_form_tools_rough_and_finish_the_ways_that_walls_are_cut(outside: str, rough: str, last: str) -> None:
    job = text(outside, CONE, rough, last)
    assert expected(job, rough, last, inside=False) == rounds(job, "round-over", inside=False)
    assert expected(job, rough, last, inside=True) == rounds(job, "v-bit", inside=True)


@pytest.mark.parametrize("last", WAYS)
def test_every_level_of_a_ball_is_a_last_pass(last: str) -> None:
    job = text(BALL, ROUND_OVER, "climb", last)
    assert expected(job, last, last, inside=False) == rounds(job, "ball", inside=False)


PROVEN = [(outside, *pair) for outside in (TAPERED, ROUND_OVER, BALL) for pair in PAIRS[1:]]


@pytest.mark.parametrize(
    ("outside", "rough", "last"), [PROVEN[0], *(pytest.param(*one, marks=pytest.mark.slow) for one in PROVEN[1:])]
)
def test_rims_that_are_cut_the_other_way_are_proven(outside: str, rough: str, last: str, tmp_path: Path) -> None:
    path = tmp_path / "disc.toml"
    path.write_text(text(outside, CONE, rough, last), encoding="utf-8")
    made = make(path, Choice(), lambda _: None)
    assert [] == [found for sheet in made.sheets for found in sheet.report.findings if found.severity != "remark"]
