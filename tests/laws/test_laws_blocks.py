"""How many motion blocks a pass costs: n lines and arcs with c corners that need a joining arc, at most n + c + 8.

Counted in the program's text, for outlines of any kind, outside and inside; tabs and ramps apart. An arc of
more than half a turn counts as two, which is how it is written. A finishing pass has one more before each inside
corner, where its feed falls. Arcs of more than 4 m radius are left out: they are written as chords, for controls of
seven digits.
"""

import sys
from collections import Counter
from math import atan, atan2, cos, pi, sin, tan
from pathlib import Path

import pytest
from geometry_shapes import LOOPS, length
from hypothesis import assume, example, given, settings
from hypothesis import strategies as st

sys.path.insert(0, str(Path(__file__).parents[1] / "passes"))
sys.path.insert(0, str(Path(__file__).parents[1]))

from law_examples import examples
from modal_reader import read
from passes_bench import STOCK, shop, shop_router, tool
from sequence_samples import JOB

from cncpanel.errors import Gathering
from cncpanel.geometry.area import Area
from cncpanel.geometry.check import crosses_itself
from cncpanel.geometry.contour import Contour, Vertex, circle, polygon
from cncpanel.geometry.region import region_of
from cncpanel.layout.layout import Sheet
from cncpanel.machine.model import Machine
from cncpanel.operation.operation import Profile
from cncpanel.output.rs274 import program_text
from cncpanel.passes.draft import Title
from cncpanel.passes.profile import profile, track
from cncpanel.passes.run import Run, SheetRuns
from cncpanel.sequence.sheet import sheet_programs

WIDEST = 3900.0  # mm; the writer's 4 m less what an offset adds
MORE = 8  # blocks a pass beside its lines, arcs and joining arcs: leads, overlap, a halved circle
HABITS = ({}, {"finish_allowance": 0.0}, {"direction": "conventional"})
SHEET = Sheet(number=1, stock=STOCK, parts=())
ROUNDISH = polygon([(30 * cos(2 * pi * i / 13), 30 * sin(2 * pi * i / 13)) for i in range(13)])
ROUND = Area.box((-100, -100, 1100, 700))


@st.composite
def flowers(draw: st.DrawFn) -> Contour:
    """Arcs all round that bend in, or out by up to more than half a turn."""
    count, reach = draw(st.integers(3, 14)), draw(length(30, 60))
    widest = tan((pi + 2 * pi / count) / 4)  # neighbours touch
    bulge = draw(st.floats(-0.4, 1.0).map(lambda share: 0.98 * share * widest))
    angles = [2 * pi * i / count for i in range(count)]
    flower = Contour(tuple(Vertex(reach * cos(a), reach * sin(a), round(bulge, 3)) for a in angles))
    assume(crosses_itself(flower) is None)
    return flower


def placed(contour: Contour) -> Contour:
    """Twice as large, in the middle of the sheet."""
    return Contour(tuple(Vertex(2 * v.x + 500, 2 * v.y + 300, v.bulge) for v in contour.vertices))


def runs(contour: Contour, side: str, machine: Machine) -> list[Run]:
    operation = Profile(panel="p", feature="wall", side=side, contour=contour, tool=tool())  # type: ignore[arg-type]
    inside, used = Area.of([region_of(contour)]), shop(machine)
    scrap = ROUND.minus(inside) if side == "outside" else inside
    way = track(operation, 99.0, used)
    if way is None:
        return []
    title = Title("outline" if side == "outside" else "opening", "p", "wall", tool())
    return [closed.entered(closed.first()).run for closed in profile(operation, way, scrap, title, used)]


def level_blocks(run: Run, machine: Machine) -> Counter[float]:
    """Motion blocks of the run's text at each height, of those that cut level."""
    gathering = Gathering()
    (program,) = sheet_programs(SHEET, SheetRuns(sheet=1, runs=(run,), tabs=()), machine, JOB, gathering)
    assert gathering.problems == ()
    moves = read(program_text(program, machine)).moves
    return Counter(move.end[2] for move in moves if move.word != "G0" and move.start[2] == move.end[2])


def turn_at(before: Vertex, corner: Vertex, after: Vertex) -> float:
    """The angle by which the tangent jumps at a corner, positive to the left."""
    arriving = atan2(corner.y - before.y, corner.x - before.x) + 2 * atan(before.bulge)
    leaving = atan2(after.y - corner.y, after.x - corner.x) - 2 * atan(corner.bulge)
    return (leaving - arriving + pi) % (2 * pi) - pi


def corners_of(contour: Contour, side: str) -> tuple[int, int]:
    """Those that stick out into the scrap, round which the tool's centre must go, and those that the tool goes into."""
    corners = contour.counter_clockwise.vertices
    sense = 1 if side == "outside" else -1
    triples = zip(corners[-1:] + corners[:-1], corners, corners[1:] + corners[:1], strict=True)
    turns = [sense * turn_at(*three) for three in triples]
    return sum(turn > 1e-6 for turn in turns), sum(turn < -1e-6 for turn in turns)


@pytest.mark.parametrize("side", ["outside", "inside"])
@settings(max_examples=examples(40))
@given(outline=(LOOPS | flowers()).map(placed), habit=st.sampled_from(HABITS))
@example(outline=placed(circle((0, 0), 40)), habit={})
@example(outline=placed(ROUNDISH), habit={})
def test_a_pass_costs_few_blocks(side: str, outline: Contour, habit: dict[str, object]) -> None:
    assume(all(segment.radius < WIDEST for segment in outline.segments if segment.is_arc))
    machine = shop_router(**habit)
    depths, finish = (shop(machine).step_depths(tool(), kind, -shop(machine).bottom) for kind in ("slot", "finish"))
    joined, slowed = corners_of(outline, side)
    most = sum(2 if abs(vertex.bulge) > 1 else 1 for vertex in outline.vertices) + joined + MORE
    for run in runs(outline, side, machine):
        cut = level_blocks(run, machine)
        for depth in depths:
            finished = depth in finish and habit != {"finish_allowance": 0.0}
            assert 0 < cut[round(-depth, 4)] <= most + finished * (most + slowed)
        assert set(cut) <= {round(-depth, 4) for depth in (*depths, *finish)}
