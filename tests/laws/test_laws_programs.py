"""What is written is what is read: the witness's reader gives back the writer's moves to the last decimal.

The reader shares nothing with the writer. Arcs that the writer splits or writes as chords are followed in between:
every place that is read lies on the drawn move within the path tolerance.
"""

from collections.abc import Iterator
from math import atan, atan2, cos, hypot, pi, sin

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cncpanel.machine.model import Machine
from cncpanel.machine.read import read_machine
from cncpanel.output.rs274 import program_text
from cncpanel.proof.motion import Move
from cncpanel.proof.reader import read
from cncpanel.sequence.program import Cut, End, Preamble, Program, Rapid

PATH = 0.005  # mm; DESIGN's path tolerance: nothing that is emitted is further off
COUNT = {"mm": 1e-4, "inch": 25.4e-5}  # mm of the last decimal, as the promises have it: mm with 4, inch with 5
FEED = {"mm": 1.0, "inch": 2.54}  # mm/min of the last decimal of a feed
ON = {name: read_machine(name) for name in ("shop-router", "shop-router-inch")}
START = (5.0, 5.0, 20.0)

PLACE = st.integers(-200, 2_500_000).map(lambda n: n / 1000 + 0.000_03)
HEIGHT = st.integers(-20_000, 30_000).map(lambda n: n / 1000)
BULGE = st.just(0.0) | st.floats(-2.5, 2.5).filter(lambda b: abs(b) > 1e-3) | st.sampled_from((1.0, -1.0))
STEP = st.tuples(PLACE, PLACE, HEIGHT, st.sampled_from((300.0, 1460.0, 8000.0)), BULGE)
NEAR = st.tuples(st.floats(-0.3, 0.3), st.floats(-0.3, 0.3), HEIGHT, st.just(900.0), BULGE)


def without_arcs(machine: Machine) -> Machine:
    return machine.model_copy(update={"dialect": machine.dialect.model_copy(update={"arcs": False})})


def cuts_of(steps: list[tuple], near: list[tuple]) -> list[Cut]:
    """Steps across the whole sheet, then tiny ones from where they end."""
    found = [Cut(x=x, y=y, z=z, feed=feed, bulge=bulge) for x, y, z, feed, bulge in steps]
    x, y = found[-1].x, found[-1].y
    for dx, dy, z, feed, bulge in near:
        x, y = x + dx, y + dy
        found.append(Cut(x=x, y=y, z=z, feed=feed, bulge=bulge))
    return found


def places(move: Move) -> Iterator[tuple[float, float, float]]:
    """Along the move as the control runs it, from I and J alone."""
    (x0, y0, z0), (x1, y1, z1) = move.start, move.end
    for share in (0.0, 0.25, 0.5, 0.75, 1.0):
        z = z0 + (z1 - z0) * share
        if move.centre is None:
            yield x0 + (x1 - x0) * share, y0 + (y1 - y0) * share, z
            continue
        cx, cy = move.centre[:2]
        angle = atan2(y0 - cy, x0 - cx) + move.turn * move.sweep * share
        radius = hypot(x0 - cx, y0 - cy) * (1 - share) + hypot(x1 - cx, y1 - cy) * share
        yield cx + radius * cos(angle), cy + radius * sin(angle), z


def beside(place: tuple[float, float, float], start: tuple[float, float, float], cut: Cut) -> float:
    """How far the place lies from the drawn move, seen from above: closed forms of a segment and of an arc."""
    x, y = place[:2]
    dx, dy = cut.x - start[0], cut.y - start[1]
    chord = hypot(dx, dy)
    ends = min(hypot(x - start[0], y - start[1]), hypot(x - cut.x, y - cut.y))
    if chord < 1e-9:
        return ends
    if not cut.bulge:
        along = ((x - start[0]) * dx + (y - start[1]) * dy) / chord
        return abs((x - start[0]) * dy - (y - start[1]) * dx) / chord if 0 <= along <= chord else ends
    sweep = 4 * atan(cut.bulge)
    radius = chord / 2 / abs(sin(sweep / 2))
    aside = chord / 2 * cos(sweep / 2) / sin(sweep / 2)
    cx, cy = (start[0] + cut.x) / 2 - dy / chord * aside, (start[1] + cut.y) / 2 + dx / chord * aside
    turned = atan2(y - cy, x - cx) - atan2(start[1] - cy, start[0] - cx)
    turned = turned % (2 * pi) if sweep > 0 else -turned % (2 * pi)
    return abs(hypot(x - cx, y - cy) - radius) if turned <= abs(sweep) else ends


def same(place: tuple[float, float, float], goal: tuple[float, float, float], count: float) -> bool:
    return all(abs(a - b) <= 0.5001 * count for a, b in zip(place, goal, strict=True))


@pytest.mark.parametrize("arcs", [True, False])
@pytest.mark.parametrize("name", ON)
@given(steps=st.lists(STEP, min_size=1, max_size=8), near=st.lists(NEAR, max_size=6))
def test_the_reader_gives_back_the_writers_moves(name: str, arcs: bool, steps: list[tuple], near: list[tuple]) -> None:
    machine = ON[name] if arcs else without_arcs(ON[name])
    cuts, count = cuts_of(steps, near), COUNT[machine.dialect.unit]
    x, y, z = START
    blocks = (Preamble(), Rapid(z=z), Rapid(x=x, y=y), *cuts, Rapid(z=z), End())
    text = program_text(Program(name="p", sheet=1, run=1, of=1, tools=(), blocks=blocks), machine)
    moves = list(read(text).moves)
    assert ("rapid", START[2]) == (moves[-1].kind, pytest.approx(moves[-1].end[2], abs=count))
    left, here = [move for move in moves if move.kind != "rapid"], START
    for cut in cuts:
        goal = (cut.x, cut.y, cut.z)
        while left and not same(left[0].start, goal, count):
            move = left.pop(0)
            assert cut.feed - FEED[machine.dialect.unit] < move.feed <= cut.feed + 1e-6
            assert max(beside(place, here, cut) for place in places(move)) <= PATH + count
            assert min(here[2], cut.z) - count <= move.end[2] <= max(here[2], cut.z) + count
            if same(move.end, goal, count):
                break
        else:
            assert same(here, goal, 2 * count), "a move was lost"
        here = goal
    assert [] == left
