"""A slot cutter as a whole program: down in a channel, sideways in, along, sideways out; and what is asked of each."""

from math import pi

import numpy as np
import pytest
import shapely
from proof_scene import PROGRAMS, SceneTab, good_text, judge, scene_target
from removal_moves import line

from cncpanel.machine.contradiction import Contradiction
from cncpanel.machine.model import Machine
from cncpanel.machine.read import read_machine
from cncpanel.machine.tool import Tool
from cncpanel.machine.tool_rules import tool_rules
from cncpanel.proof.both_sides import Turn, both_sides_findings
from cncpanel.proof.carved import Carved, carved
from cncpanel.proof.collision import layers
from cncpanel.proof.compare import Comparison
from cncpanel.proof.cuts import Cut, cuts_of
from cncpanel.proof.disc_map import with_discs
from cncpanel.proof.finding import Finding
from cncpanel.proof.footprint import Footprints
from cncpanel.proof.load import CuttingLimits
from cncpanel.proof.material import Placed, Stock
from cncpanel.proof.rim import Swept
from cncpanel.proof.setup import Setup
from cncpanel.proof.target import Floor, Piece, Target
from cncpanel.proof.touch_off import ROOM, touch_off_findings
from cncpanel.proof.undercut_load import undercut_stretches

CHANNEL = """(CHANNEL)
G0 X60 Y27
G0 Z1
G1 Z0.2 F1000
G1 X110 Z-4 F900
X60 F1800
Y30.5
X110
Y34
X60
Y27
X110 Z-8 F900
X60 F1800
Y30.5
X110
Y34
X60
Y27
X110 Z-11 F900
X60 F1800
Y30.5
X110
Y34
X60
Y27
G0 Z10
G53 G0 Z0
M5
G4 P5
G0 X0 Y190
(MSG,FIT T5 SLOT)
M0
G53 G0 Z0
M3 S12000
G4 P3
G0 X70 Y30.5
G0 Z1
G1 Z-10 F300
"""
SLOT = "G1 Y26 F600\nG1 X100\nG1 Y30.5\nG0 Z10\n"
END = "G53 G0 Z0\nM5\nG0 X0 Y190\nM30\n"
SHEET = shapely.box(0, 0, 100, 60)


def on() -> Machine:
    return read_machine("slot-cutter.toml", beside=PROGRAMS / "bad")


def slotted(slot: str = SLOT) -> str:
    """The good program, a channel in the frame beside the plate, and the slot."""
    before, end = good_text().split("G53 G0 Z0\nM5\nG0 X0 Y190\nM30")
    assert end.strip() == ""
    return before + CHANNEL + slot + END


def disc(**changes: object) -> Tool:
    return Tool.model_validate(on().tool[-1].model_dump() | changes)


def cut(start: tuple[float, float, float], end: tuple[float, float, float], tool: Tool) -> Cut:
    (one,) = cuts_of("a", [line(start, end)._replace(tool=tool.number)], {tool.number: tool}, 0.0)
    return one


def test_a_slot_from_a_channel_passes_without_a_word() -> None:
    report = judge(slotted(), on=on())
    assert list(map(str, report.findings)) == []
    assert report.verdict == "pass"


def test_a_rapid_back_out_of_the_finished_slot_is_free() -> None:
    report = judge(slotted("G1 Y26 F600\nX100\nG0 Y30.5\nZ10\n"), on=on())
    assert {one.kind for one in report.findings} & {"rapid-in-material", "holder-in-stock"} == set()


def test_chips_are_reckoned_of_what_a_disc_takes_under_the_face() -> None:
    """600 mm/min, 12000 rpm, two teeth: 0.025 of advance, 4 of 12 mm engaged: 0.025 x 2 sqrt(1/3 x 2/3) = 0.0236."""
    limits = CuttingLimits(specific_force=35.0, chip_most={5: 0.015})
    found = [one for one in judge(slotted(), on=on(), limits=limits).findings if one.kind == "chip-load"]
    assert any(one.measure == pytest.approx(0.0236, abs=2e-4) for one in found)
    assert {slotted().splitlines()[one.line - 1] for one in found} >= {"G1 X100"}


def test_a_touch_off_spot_over_a_slot_is_no_place_to_set_z() -> None:
    """A lip gives under a probe: the room round the spot ends over the slot, 2 mm from the neck, or beyond it."""
    way = [cut((20, 30, -10), (60, 30, -10), disc())]
    assert ["touch-off-cut"] == [one.kind for one in touch_off_findings({(40.0, 34.0 + ROOM)}, way)]
    assert [] == list(touch_off_findings({(40.0, 36.5 + ROOM)}, way))


@pytest.mark.parametrize(
    ("slot", "kind"),
    [
        ("G1 Y26 F600\nG0 Z10\n", "undercut-lift"),
        ("G1 Y26 F600\nG1 X100 Z-9\nG1 Y30.5\nG0 Z10\n", "undercut-slant"),
        ("G1 Y24.9 F600\nG1 Y30.5\nG0 Z10\n", "holder-in-stock"),
        ("G0 Y26\nG1 Y30.5 F600\nG0 Z10\n", "rapid-in-material"),
        (SLOT + "G0 X85 Y26\nG1 Z-9.5 F300\nG0 Z10\n", "plunge"),
        (SLOT + "G0 X85 Y26\nG0 Z-9.5\nG0 Z10\n", "rapid-in-material"),
    ],
)
def test_each_fault_is_found_and_none_is_found_with_it_that_is_not_of_its_moves(slot: str, kind: str) -> None:
    faulty = slotted(slot)
    found = [one for one in judge(faulty, on=on()).findings if one.severity != "remark"]
    assert kind in {one.kind for one in found}
    begins = faulty.splitlines().index("G1 Z-10 F300") + 1
    assert all(one.line > begins for one in found)


def told_of_shank(neck_length: float | None) -> list[Finding]:
    on_rack = on()
    rack = (*on_rack.tool[:-1], disc(neck_length=neck_length))
    report = judge(slotted(), on=on_rack.model_copy(update={"tool": rack}))
    return [one for one in report.findings if "shank" in one.text]


def test_a_shank_wider_than_the_neck_is_taken_to_follow_the_disc_unless_the_neck_has_a_length() -> None:
    """Neck of 4 at Y26 keeps to the channel, which ends at Y24; a shank of 6 does too, one of 6 at Y26 ends at Y23."""
    assert told_of_shank(20.0) == []
    assert {one.kind for one in told_of_shank(None)} == {"holder-in-stock"}
    assert {one.kind for one in told_of_shank(5.0)} == {"holder-in-stock"}  # the shank begins 8 over the tip, 2 deep


def test_the_layers_of_a_slot_cutter() -> None:
    assert layers(disc(neck_length=5.0))[1:3] == (("T5's neck", 2.0, 3.0), ("T5's shank", 3.0, 8.0))
    assert layers(disc(neck_length=None))[1:2] == (("T5's shank", 3.0, 3.0),)
    assert layers(disc(neck_diameter=6.0, neck_length=None))[1:2] == (("T5's neck", 3.0, 3.0),)


def test_disc_and_neck_do_not_reach_into_the_collet() -> None:
    assert [] == list(tool_rules(disc(neck_length=27.0)))
    tool = disc().model_copy(update={"neck_length": 27.5})
    text = "disc and neck reach into the collet: stick_out is 30"
    assert [Contradiction(("neck_length",), text, "at most 27")] == list(tool_rules(tool))


def test_other_tools_have_no_neck() -> None:
    flat = on().tool[0].model_copy(update={"neck_length": 5.0, "neck_diameter": 3.0})
    assert [("neck_diameter",), ("neck_length",)] == [one.key for one in tool_rules(flat)]


def test_over_its_disc_a_slot_cutter_takes_no_more_of_a_rims_form_than_its_neck() -> None:
    """The wall's sections ask what is gone 4 mm beside the way: in the slot it is, over it not."""
    way = cut((20, 30, -10), (60, 30, -10), disc())
    swept = Swept(disc(), 10.0, shapely.LineString([(20, 30), (60, 30)]), (way,), ())
    margins = swept.margin(np.full(3, 40.0), np.full(3, 34.0), np.array([5.0, 8.0, 9.9]))
    assert [-2.0, 2.0, 2.0] == pytest.approx(margins.tolist())


def test_a_disc_covers_its_band_and_its_neck_what_is_over_it() -> None:
    """A level way of 40: a capsule of 6 from 7 to 10 deep, of 2 over it; from above always the disc."""
    way = cut((20, 30, -10), (60, 30, -10), disc())
    areas = [sum(s.area for s in Footprints().covered([way], depth).shapes) for depth in (1.0, 6.9, 7.1, 9.9)]
    neck, whole = 40 * 4 + pi * 4, 40 * 12 + pi * 36
    assert [neck, neck, whole, whole] == pytest.approx(areas, rel=2e-3)
    assert whole == pytest.approx(sum(s.area for s in Footprints().from_above([way]).shapes), rel=2e-3)
    assert [] == Footprints().covered([way], 10.1).shapes


def test_a_disc_that_goes_straight_down_opens_all_that_it_passes() -> None:
    stay = cut((20, 30, 2), (20, 30, -10), disc())
    for depth in (0.5, 5.0, 9.9):
        (shape,) = Footprints().covered([stay], depth).shapes
        assert pi * 36 == pytest.approx(shape.area, rel=2e-3)
    lifted = cut((20, 30, -8), (20, 30, -10), disc())
    areas = [Footprints().covered([lifted], depth).shapes[0].area for depth in (4.9, 5.1, 9.9)]
    assert [pi * 4, pi * 36, pi * 36] == pytest.approx(areas, rel=2e-3)


def test_what_stands_over_a_slot_is_left_and_what_is_in_it_is_gone() -> None:
    stock = Stock(SHEET, [cut((-20, 30, -10), (120, 30, -10), disc())])
    lip = shapely.box(40, 33, 44, 35)
    assert lip.area == pytest.approx(stock.left_in(lip, 9.0, 1).area)  # all over it, up to the face
    assert stock.left_in(lip, 9.0, 1, above=7.5).is_empty  # within the slot alone
    assert lip.area == pytest.approx(stock.left_in(lip, 9.0, 0).area)  # before it was cut
    flat = on().tool[0]
    opened = Stock(SHEET, [cut((-20, 30, -10), (120, 30, -10), flat)])
    assert opened.left_in(shapely.box(40, 29, 44, 31), 9.0, 1).is_empty


def test_a_disc_passing_under_a_tab_is_told() -> None:
    """Tabs of 5, a disc of 3 that takes 14 to 17 deep from under a top at 13."""
    tabs = tuple(SceneTab("plate", at, along, top=-13.0) for at, along in (((80.0, 50.0), (1.0, 0.0)),))
    way = "G0 X60 Y45\nG1 Z-17 F300\nG1 X100 F600\nG0 Z10\n"
    program = slotted(SLOT + way)
    found = judge(program, scene_target(tabs=tabs), on=on()).findings
    line_of_it = program.splitlines().index("G1 X100 F600") + 1
    assert line_of_it in {one.line for one in found if one.kind == "tab-thin"}


def test_a_floor_reached_by_a_disc_alone_is_left_standing_over_it() -> None:
    """A recess 6 deep over which a disc of 3 went about 6 deep: what is over 3 deep is there yet."""
    floor = Floor(name="tray", kind="recess", shape=shapely.box(30, 20, 70, 40), depth=6.0)
    wanted = Target(sheet=SHEET, thickness=18.0, pieces=(Piece(name="a", shape=SHEET),), floors=(floor,))
    rows = [26.0, 30.0, 34.0]
    cuts = [cut((36, y, -6), (64, y, -6), disc()) for y in rows]
    found = [one for one in Comparison(wanted, cuts, Setup(on(), 18.0)).findings() if one.kind == "leftover"]
    assert "not cut to 3.00 below the top" in found[0].text
    sizes = {"cutting_length": 6.0}
    whole = [cut((36, y, -6), (64, y, -6), disc(**sizes)) for y in rows]
    left = [one for one in Comparison(wanted, whole, Setup(on(), 18.0)).findings() if one.kind == "leftover"]
    assert all("3.00" not in one.text for one in left)


def carved_by(tool: Tool, depth: float, y: float) -> Carved:
    move = line((-20.0, y, -depth), (120.0, y, -depth))._replace(tool=tool.number)
    return carved([Placed("a", move, 0)], SHEET, Setup(on(), 18.0))


@pytest.mark.parametrize(("pocket", "kinds"), [(5.0, []), (7.5, ["thin-web"]), (9.0, ["breaks-through"])])
def test_what_a_disc_took_from_below_is_missing_under_the_other_face(pocket: float, kinds: list[str]) -> None:
    """Slot 7 to 10 deep from below in 18: it begins 8 under the other face, beside its neck's way; 2 must stay."""
    wanted = Target(sheet=SHEET, thickness=18.0, pieces=(Piece(name="a", shape=SHEET),), floors=())
    turn = Turn(axis="x", error=0.0, thinnest=18.0, least=2.0, tab=2.5)
    below, above = carved_by(disc(), 10.0, 30.0), carved_by(on().tool[0], pocket, 36.0)
    found = both_sides_findings(below, above, wanted, Setup(on(), 18.0), turn)
    assert sorted({one.kind for one in found}) == kinds
    assert with_discs(above) is above.measured
    assert with_discs(below).heights.depth_at(50.0, 35.0) == 10.0
    assert below.measured.heights.depth_at(50.0, 35.0) == 0.0


def test_what_a_disc_takes_under_the_face_is_reckoned() -> None:
    """Slots 12 wide and 3 thick: 36 mm2 for each mm; the same way again takes nothing, one beside it its share."""
    tool = disc()
    setup = Setup(on(), 18.0)
    ways = [((-20.0, 30.0, -10.0), (120.0, 30.0, -10.0)), ((120.0, 30.0, -10.0), (-20.0, 30.0, -10.0))]
    ways.append(((-20.0, 33.0, -10.0), (120.0, 33.0, -10.0)))
    moves = [line(start, end)._replace(tool=tool.number) for start, end in ways]
    cuts = cuts_of("a", moves, {tool.number: tool}, 0.0)
    placed = [Placed("a", move, number) for number, move in enumerate(moves)]
    first, beside = undercut_stretches(placed, Stock(SHEET, cuts), setup)
    assert (0, 2) == (first.begun, beside.begun)
    assert [100 * 36, 100 * 9] == pytest.approx([first.volume, beside.volume])
