"""A slot into a part's rim as a whole program, against a target that asks for it; and what is found of each slip."""

from dataclasses import replace

import pytest
import shapely
from proof_scene import PROGRAMS, good_text, judge, scene_target

from cncpanel.machine.model import Machine
from cncpanel.machine.read import read_machine
from cncpanel.proof.report import Report
from cncpanel.proof.target import SideSlot, Target

# The plate's lower side lies at Y50 from X50 to X150. A disc of 12 takes 3 into it with its middle 3 off, at Y47; it
# comes down at Y43, 1 off. The channel goes from the kerf to Y36 and round both corners.
CHANNEL = """(CHANNEL)
G0 X40 Y46
G0 Z1
G1 Z0.2 F1000
G1 X160 Z-5 F900
X40 F1800
Y42.5
X160
Y39
X40
Y46
X160 Z-11 F900
X40 F1800
Y42.5
X160
Y39
X40
Y46
Y53
Y46
X160
Y53
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
G0 X50 Y43
G0 Z1
"""
SLOT = "G1 Z-10 F300\nG1 Y47 F600\nG1 X150\nG1 Y43\nG0 Z10\n"
END = "G53 G0 Z0\nM5\nG0 X0 Y190\nM30\n"
WALL = shapely.LineString([(50, 50), (150, 50)])


def on(disc: float = 3.0) -> Machine:
    machine = read_machine("slot-cutter.toml", beside=PROGRAMS / "bad")
    slot_cutter = machine.tool[-1].model_copy(update={"cutting_length": disc})
    return machine.model_copy(update={"tool": (*machine.tool[:-1], slot_cutter)})


def slot(start: float = 50.0, stop: float = 150.0, bottom: float = 10.0) -> SideSlot:
    ends = [(x, 50.0) for x, corner in ((start, 50.0), (stop, 150.0)) if x != corner]
    return SideSlot(
        name="plate, edge 1",
        top=7.0,
        bottom=bottom,
        depth=3.0,
        shape=shapely.box(start, 50, stop, 53),
        path=shapely.LineString([(start, 50), (stop, 50)]),
        ends=shapely.MultiPoint(ends),
    )


def wanted(*slots: SideSlot) -> Target:
    return replace(scene_target(), slots=slots or (slot(),))


def judged(ways: str = SLOT, target: Target | None = None, disc: float = 3.0) -> Report:
    before, end = good_text().split("G53 G0 Z0\nM5\nG0 X0 Y190\nM30")
    assert end.strip() == ""
    return judge(before + CHANNEL + ways + END, target or wanted(), on(disc))


def told(report: Report) -> list[tuple[str, str]]:
    return [(one.kind, one.text) for one in report.findings if one.severity != "remark"]


def test_a_slot_that_is_asked_for_passes_without_a_word() -> None:
    report = judged()
    assert list(map(str, report.findings)) == []
    assert report.verdict == "pass"


def test_a_slot_that_nobody_asked_for_is_a_gouge() -> None:
    assert {kind for kind, _ in told(judged(target=scene_target()))} == {"gouge"}


def test_a_slot_that_is_missing_is_told_from_end_to_end() -> None:
    ((kind, text),) = told(judged("G1 Z-10 F300\nG0 Z10\n"))
    assert kind == "leftover"
    assert text.startswith("plate, edge 1: its slot is not cut ")
    assert text.endswith("99.98 mm across")


@pytest.mark.parametrize(
    ("ways", "kinds"),
    [
        (SLOT.replace("X150", "X140"), {"leftover"}),  # it stops short
        (SLOT.replace("Z-10 ", "Z-9.5 "), {"leftover", "gouge"}),  # too high
        (SLOT.replace("Z-10 ", "Z-10.05 "), {"leftover", "gouge"}),  # too low
        (SLOT.replace("Y47", "Y46.9"), {"leftover"}),  # not deep enough
        (SLOT.replace("Y47", "Y47.1"), {"gouge"}),  # too deep
        (SLOT.replace("X150\n", "X100\nY46\nX110\nY47\nX150\n"), {"leftover"}),  # shallower for a stretch
    ],
)
def test_each_slip_is_found(ways: str, kinds: set[str]) -> None:
    report = judged(ways)
    assert {kind for kind, _ in told(report)} == kinds
    assert report.verdict == "fail"


@pytest.mark.parametrize(("disc", "kinds"), [(2.8, {"leftover"}), (3.2, {"gouge"})])
def test_a_disc_of_another_thickness_is_found(disc: float, kinds: set[str]) -> None:
    assert {kind for kind, _ in told(judged(disc=disc))} == kinds


def test_a_thinner_disc_makes_it_in_two_heights_and_one_left_out_is_found() -> None:
    second = SLOT.replace("Z-10 ", "Z-9 ").replace("G1 Z", "G0 X50 Y43\nG0 Z1\nG1 Z")
    assert told(judged(SLOT + second, disc=2.0)) == []
    ((kind, text),) = told(judged(SLOT, disc=2.0))
    assert kind == "leftover"
    assert "not cut 7.01 below" in text


def test_between_two_heights_too_far_apart_a_fin_is_left() -> None:
    """A slot of 4: two discs of 1.9 leave 0.2 between 8.9 and 9.1."""
    second = SLOT.replace("Z-10 ", "Z-8.9 ").replace("G1 Z", "G0 X50 Y43\nG0 Z1\nG1 Z")
    first = SLOT.replace("Z-10 ", "Z-11 ")
    found = told(judged(first + second, wanted(slot(bottom=11.0)), disc=1.9))
    assert [kind for kind, _ in found] == ["leftover"]
    assert "not cut 8.90 below" in found[0][1] or "not cut 9.1" in found[0][1]


def test_at_an_end_on_the_rim_the_disc_leaves_its_round_within_the_slot() -> None:
    """Half a chord of a disc of 12 that is 3 in: the root of 6 x 6 - 3 x 3, 5.196."""
    target = wanted(slot(start=70.0))
    ends_at = SLOT.replace("G1 Z", "G0 X{0} Y43\nG1 Z")
    assert told(judged(ends_at.format("75.1963"), target)) == []
    assert {kind for kind, _ in told(judged(ends_at.format("75.1"), target))} == {"gouge"}
    assert {kind for kind, _ in told(judged(ends_at.format("76.5"), target))} == {"leftover"}


def test_a_floor_between_the_slots_sides_is_no_reason_to_call_it_a_gouge() -> None:
    """A recess 8 deep elsewhere: what stays just under it is asked there, and the slot is open there."""
    target = replace(
        scene_target(recess=[{"size": (40, 30), "at": (20, 15), "radius": 4, "depth": 8}]), slots=(slot(),)
    )
    found = told(judged(target=target))
    assert {kind for kind, _ in found} == {"leftover"}
    assert all("recess" in text for _, text in found)


def test_a_target_that_is_turned_or_moved_takes_its_slots_along() -> None:
    (moved,) = wanted().moved(10.0, 20.0).slots
    assert moved.shape.bounds == (60.0, 70.0, 160.0, 73.0)
    (turned,) = wanted().turned().slots
    assert turned.path.bounds == (150.0, 50.0, 150.0, 150.0)
