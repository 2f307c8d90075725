"""Places and lengths that findings and reports carry, reckoned by hand from moves written by hand."""

from dataclasses import replace
from math import hypot, pi

import pytest
import shapely
from proof_scene import TOOLS, machine, scene_target
from removal_moves import arc, line

from cncpanel.machine.tool import Tool
from cncpanel.proof import map_findings as map_findings_module
from cncpanel.proof.both_sides import Turn, both_sides_findings
from cncpanel.proof.carved import Carved, carved
from cncpanel.proof.compare_map import MapComparison
from cncpanel.proof.control import Control
from cncpanel.proof.cuts import cuts_of
from cncpanel.proof.map_findings import MapFindings, map_findings
from cncpanel.proof.material import Placed
from cncpanel.proof.motion import Move
from cncpanel.proof.prove import prove
from cncpanel.proof.reader import read
from cncpanel.proof.rim import _level_ways
from cncpanel.proof.setup import Setup
from cncpanel.proof.target import Target

SETUP = Setup(machine(), 18.0)
CELL = 0.5  # mm; at most: half of it on either side of a cell's middle


def cut(*moves: Move, target: Target | None = None) -> Carved:
    wanted = target or scene_target(recess=(), hole=(), tabs=())
    return carved([Placed("plate", move, 0) for move in moves], wanted.sheet, SETUP)


def at(x: float, y: float, deep: float, number: int) -> Move:
    """Straight down with the 6 mm tool."""
    return line((x, y, 1.0), (x, y, -deep), number)


def test_a_sloped_way_counts_in_pieces_of_a_millimetre_at_their_higher_ends() -> None:
    """13 mm of way seen from above, down from 0 to 7 mm deep: 14 pieces, each half a millimetre deeper."""
    tool = Tool.model_validate(TOOLS[0])
    for start, end in (((1.0, 2.0, 0.0), (13.0, 7.0, -7.0)), ((13.0, 7.0, -7.0), (1.0, 2.0, 0.0))):
        (one,) = cuts_of("", [line(start, end)], {1: tool}, 0.0)
        found = sorted(_level_ways(one), key=lambda way: way[0])
        assert [depth for depth, _ in found] == pytest.approx([number / 2 for number in range(1, 14)])
        assert [way.length for _, way in found] == pytest.approx([13 / 14] * 13)


def test_a_sloped_arc_counts_in_pieces_of_its_length_seen_from_above() -> None:
    """Half a circle of 4 mm, 12.57 mm of way: 13 pieces, each a thirteenth deeper."""
    tool = Tool.model_validate(TOOLS[0])
    (one,) = cuts_of("", [arc((4.0, 0.0, 0.0), (0.0, 0.0), pi, -13.0)], {1: tool}, 0.0)
    found = sorted(_level_ways(one), key=lambda way: way[0])
    assert [depth for depth, _ in found] == pytest.approx(range(1, 13))
    assert [way.length for _, way in found] == pytest.approx([4 * pi / 13] * 12, rel=1e-3)


def test_the_report_counts_what_is_cut_and_what_is_not() -> None:
    """Once round a square of 40 mm at a feed, between rapids."""
    text = (
        "G17 G21 G40 G54 G80 G90 G94\nG61\nG53 G0 Z0\nM3 S18000\nG4 P3\nT1\nG0 X0 Y0\nG0 Z3\nG0 X60\nG0 X90 Y40\n"
        "G1 X130 F900\nY80\nX90\nY40\nG53 G0 Z0\nM5\nM30\n"
    )
    numbers = dict(prove([("plate", text)], machine(), scene_target()).numbers)
    assert numbers["cut_mm"] == pytest.approx(4 * 40)
    assert numbers["programs"] == 1


def test_what_goes_through_before_the_turn_is_told_at_its_own_place() -> None:
    turn = Turn(axis="x", error=0.5, thinnest=17.8, least=4.0, tab=3.0)
    first = cut(at(20, 140, 17.5, 8), at(60, 30, 5.0, 9))
    (found,) = both_sides_findings(first, None, scene_target(tabs=()), SETUP, turn)
    assert ("frees-before-turn", 8) == (found.kind, found.line)
    assert found.x is not None
    assert found.y is not None
    # the first of the deepest cells: in the disc's lowest row, near its middle
    assert abs(hypot(found.x - 20, found.y - 140) - 3) <= CELL / 2
    assert abs(found.y - 137) <= CELL


def test_a_gouge_is_told_in_the_middle_of_its_cell() -> None:
    """A plunge that no cell sees but those of its disc: the place lies within it, in the cell's very middle."""
    target = scene_target(recess=(), hole=(), tabs=())
    measured = cut(at(120, 64, 3.0, 8), target=target).measured
    (found,) = [one for one in MapComparison(measured, target).differences() if one.kind == "gouge"]
    grid = measured.heights.grid
    assert hypot(found.x - 120, found.y - 64) <= 3
    for place, origin in ((found.x, grid.origin[0]), (found.y, grid.origin[1])):
        assert ((place - origin) / grid.cell) % 1 == pytest.approx(0.5)
    assert measured.heights.depth_at(found.x, found.y) == pytest.approx(3)
    assert measured.heights.depth_at(found.x, found.y - grid.cell) == 0  # told at the first of its cells


def looked(monkeypatch: pytest.MonkeyPatch, most: int) -> MapFindings:
    """A point's way between two rows of coarse cells, looked at anew so many times at most."""
    monkeypatch.setattr(map_findings_module, "MOST_FINER", most)
    target = scene_target(recess=(), hole=(), tabs=())
    across = line((60.0, 105.0, -3.0), (140.0, 105.0, -3.0), 7)._replace(tool=4)
    return map_findings(cut(across), target, SETUP, (), shapely.Polygon())


def test_one_difference_takes_one_look(monkeypatch: pytest.MonkeyPatch) -> None:
    assert looked(monkeypatch, 0).gouge < looked(monkeypatch, 1).gouge == looked(monkeypatch, 100).gouge


@pytest.mark.parametrize(
    ("arc_line", "word"), [("G3 X26 Y4 I0 J4", "I"), ("G3 X26 Y4 R4", "R"), ("  G3 J4 X26 Y4", "J")]
)
def test_an_arc_that_the_tool_does_not_go_into_is_told_at_its_first_arc_word(arc_line: str, word: str) -> None:
    """Compensation to the left of an arc to the left of 4 mm with a tool of 5 mm radius: NIST RS274NGC, appendix B."""
    text = f"G17 G21 G40 G49 G54 G80 G90 G94 F600\nG41 D1\nG1 X12 Y0\nG1 X22\n{arc_line}\nG40\nM2\n"
    control = Control(machine_zero=(100.0, 50.0, -80.0), radii={1: 5.0})
    (found,) = [one for one in read(text, control, (0.0, 0.0, 0.0)).findings if one.kind == "compensation"]
    assert (5, arc_line.index(word) + 1) == (found.line, found.column)
    assert (4.0, 5.0) == (found.measure, found.limit)
    wider = replace(control, radii={1: 3.9})
    assert [] == [one for one in read(text, wider, (0.0, 0.0, 0.0)).findings if one.kind == "compensation"]
