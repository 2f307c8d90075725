"""What holds of the witness for every program and every move."""

from math import atan2, cos, dist, hypot, pi, sin

import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from law_examples import examples

from cncpanel.machine.tool import Tool
from cncpanel.proof.cuts import Cut
from cncpanel.proof.expression import value_at
from cncpanel.proof.footprint import Footprints
from cncpanel.proof.motion import Move
from cncpanel.proof.reader import read
from cncpanel.proof.sweep import CHORD, extent

TEXT = st.text(alphabet="GgMXYZIJKRFSTPQLNO#[]()=/*+-. \t%0123456789;eabsqrtin\r\né", max_size=120)
SIZE = st.floats(-50, 50, allow_nan=False)
TOOL = Tool(
    number=1,
    name="6 mm",
    kind="up-cut",
    diameter=6,
    flutes=2,
    cutting_length=20,
    stick_out=25,
    nut_diameter=30,
    shank_diameter=6,
    plunges=True,
)


@given(TEXT)
def test_no_text_breaks_the_reader(text: str) -> None:
    reading = read(text, start=(0.0, 0.0, 0.0))
    lines = text.replace("\r\n", "\n").replace("\r", "\n").count("\n") + 1
    assert all(0 <= finding.line <= lines for finding in reading.findings)


@given(
    st.recursive(
        st.integers(1, 9).map(str),
        lambda inner: st.tuples(inner, st.sampled_from("+-*"), inner).map(
            lambda parts: f"[{parts[0]}{parts[1]}{parts[2]}]"
        ),
        max_leaves=12,
    )
)
def test_an_expression_in_full_brackets_is_worth_what_python_says(text: str) -> None:
    plain = text.replace("[", "(").replace("]", ")")
    assert value_at(text, 0, {})[0] == _worth(plain)


def _worth(plain: str) -> float:
    """Python's own arithmetic on digits, brackets and + - * only."""
    assert set(plain) <= set("0123456789()+-*")
    return float(eval(plain))


def line(ax: float, ay: float, bx: float, by: float) -> Move:
    return Move(1, "feed", (ax, ay, -5.0), (bx, by, -5.0), 600, 9000, True, 1)


def arc(cx: float, cy: float, radius: float, begin: float, sweep: float, turn: int) -> Move:
    def point(angle: float) -> tuple[float, float, float]:
        return cx + radius * cos(angle), cy + radius * sin(angle), -5.0

    end = begin + turn * sweep
    return Move(1, "arc", point(begin), point(end), 600, 9000, True, 1, (cx, cy, -5.0), turn, sweep)


MOVES = st.one_of(
    st.builds(line, SIZE, SIZE, SIZE, SIZE),
    st.builds(
        arc, SIZE, SIZE, st.floats(0.2, 40), st.floats(-3, 3), st.floats(0.05, 2 * pi - 0.01), st.sampled_from((-1, 1))
    ),
)


def distance(move: Move, x: float, y: float) -> float:
    """From a point to the path of the tool's centre, by angles and projections."""
    (ax, ay, _), (bx, by, _) = move.start, move.end
    if move.centre is None:
        length = (bx - ax) ** 2 + (by - ay) ** 2
        share = 0.0 if length == 0 else min(max(((x - ax) * (bx - ax) + (y - ay) * (by - ay)) / length, 0.0), 1.0)
        return hypot(x - ax - share * (bx - ax), y - ay - share * (by - ay))
    cx, cy, _ = move.centre
    turned = move.turn * (atan2(y - cy, x - cx) - atan2(ay - cy, ax - cx)) % (2 * pi)
    if turned <= move.sweep:
        return abs(hypot(x - cx, y - cy) - move.radius)
    return min(dist((x, y), (ax, ay)), dist((x, y), (bx, by)))


@settings(max_examples=examples(200))
@given(MOVES, SIZE, SIZE)
def test_a_footprint_is_what_lies_within_the_tools_radius(move: Move, x: float, y: float) -> None:
    cut = Cut("p", move, TOOL, 5.0, 5.0)
    shape = shapely.union_all(Footprints().covered([cut], 3.0).shapes)
    far = distance(move, x, y)
    if far < TOOL.radius - CHORD - 1e-6:
        assert shape.contains(shapely.Point(x, y))
    if far > TOOL.radius + CHORD + 1e-6:
        assert not shape.intersects(shapely.Point(x, y))


@given(MOVES, st.floats(0, 1))
def test_a_moves_box_holds_every_point_of_it(move: Move, share: float) -> None:
    x, y, _ = move.at(share)
    xmin, ymin, xmax, ymax = extent(move)
    assert xmin - 1e-6 <= x <= xmax + 1e-6
    assert ymin - 1e-6 <= y <= ymax + 1e-6
