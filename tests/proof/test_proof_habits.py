"""Machines of other habits: the same kind of program judged by what their files say."""

import pytest
from proof_scene import PROGRAMS, good_text, judge, kinds, machine, scene_target

from cncpanel.machine.model import Machine
from cncpanel.proof.prove import prove
from cncpanel.proof.touch_off import touch_off_spots

FILE = {"dialect": {"tool_change": "file"}}


def spoken(kind: str, text: str, on: Machine) -> bool:
    return kind in kinds(judge(text, on=on))


def test_arcs_are_a_finding_where_the_control_reads_none() -> None:
    assert spoken("dialect-arc", good_text(), machine(dialect={"arcs": False}))


def test_g53_is_a_finding_on_a_machine_that_does_not_home() -> None:
    assert spoken("dialect-g53", good_text(), machine(motion={"homes": False}))


def test_percent_lines_are_missed_where_the_control_asks_for_them() -> None:
    assert spoken("percent", good_text(), machine(dialect={"percent_lines": True}))


@pytest.mark.parametrize(
    ("words", "right"), [("G64 P0.0004", True), ("G64 P.0004", True), ("G64 P0.01", False), ("G64 P.", False)]
)
def test_a_blending_tolerance_is_read_as_the_control_reads_it_in_inches_too(words: str, right: bool) -> None:
    """The machine file gives the words in the unit of the control's programs: 0.0004 in, 0.01 mm."""
    dialect = {"unit": "inch", "decimals": 5, "path_words": "G64 P0.0004", "path_mode": "blend"}
    inches = machine(dialect={**dialect, "blend_tolerance": 0.0102})
    assert right != spoken("path-words", good_text().replace("G61\n", f"{words}\n"), inches)


def test_a_dwell_is_read_in_the_machines_unit() -> None:
    milliseconds = machine(dialect={"dwell_unit": "ms"})
    assert spoken("dwell", good_text(), milliseconds)
    slow = good_text().replace("G4 P3.00", "G4 P3000").replace("G4 P5.00", "G4 P5000")
    assert judge(slow, on=milliseconds).findings == ()


def test_g92_is_not_touched_where_the_zero_lives_in_it() -> None:
    text = good_text().replace("G61\n", "G61\nG92.1\n")
    assert spoken("zero-cleared", text, machine(dialect={"zero_in_g92": True}))
    assert judge(text).findings == ()


def hand_machine() -> Machine:
    return machine(spindle={"control": "hand", "rpm_min": 18000, "rpm_max": 18000, "dial": {}})


def by_hand(text: str) -> str:
    """The good program for a spindle that a person switches."""
    on = "(MSG,SWITCH THE SPINDLE ON)\nM0\nG53 G0 Z0"
    text = text.replace("M3 S6000\nG4 P3.00", on).replace("M3 S18000\nG4 P3.00", on)
    text = text.replace("M5\nG4 P5.00\nG0 X0 Y190\n", "G0 X0 Y190\n(MSG,SWITCH THE SPINDLE OFF)\n")
    return text.replace("M5\nG0 X0 Y190\nM30", "G0 X0 Y190\n(MSG,SWITCH THE SPINDLE OFF)\nM0\nM30")


def test_a_spindle_switched_by_hand_has_its_stops() -> None:
    assert judge(by_hand(good_text()), on=hand_machine()).findings == ()


def test_a_missing_stop_to_switch_on_is_found() -> None:
    text = by_hand(good_text()).replace("(MSG,SWITCH THE SPINDLE ON)\n", "", 1)
    assert spoken("spindle-off", text, hand_machine())


def test_a_part_called_switch_switches_nothing() -> None:
    on, off = "(MSG,SWITCH THE SPINDLE ON)", "(MSG,SWITCH THE SPINDLE OFF)"
    named = by_hand(good_text()).replace("(MSG,SWITCH", "(PART LIGHT SWITCH OFF, T2)\n(MSG,SWITCH")
    assert judge(named, on=hand_machine()).findings == ()
    for missing, name in ((on, "ON"), (off, "OFF")):
        forged = by_hand(good_text()).replace(missing, f"(PART LIGHT SWITCH {name}, T2)\n(MSG,LOOK AT THE BOARD)")
        assert kinds(judge(forged, on=hand_machine())) & {"spindle-off", "spindle-left-on"}


def test_a_missing_stop_to_switch_off_is_found() -> None:
    text = by_hand(good_text()).replace("(MSG,SWITCH THE SPINDLE OFF)\nM0\nM30", "M30")
    assert spoken("spindle-left-on", text, hand_machine())


def with_changer(text: str) -> str:
    text = text.replace("G0 X0 Y190\n(MSG,FIT T3 5 MM DRILL)\nM0\nG53 G0 Z0\n", "T3 M6\nG43 H3\n")
    return text.replace("G0 X0 Y190\n(MSG,FIT T1 6 MM)\nM0\nG53 G0 Z0\n", "T1 M6\nG43 H1\n")


def changer() -> Machine:
    return machine(dialect={"tool_change": "changer", "length_offsets": True})


def test_a_changer_fits_nothing_by_its_number_alone() -> None:
    named = with_changer(good_text()).replace(" M6", "", 1)
    assert "tool-not-fitted" in kinds(judge(named, on=changer()))


def test_a_changer_needs_no_person() -> None:
    assert judge(with_changer(good_text()), on=changer()).findings == ()


def test_a_forgotten_length_offset_is_found() -> None:
    assert spoken("length-offset", with_changer(good_text()).replace("G43 H1\n", ""), changer())
    assert spoken("length-offset", with_changer(good_text()).replace("G43 H1", "G43 H3"), changer())


def test_a_tool_that_no_stop_lets_a_person_fit_is_found() -> None:
    text = good_text().replace("(MSG,FIT T1 6 MM)\nM0\nG53", "(MSG,FIT T1 6 MM)\nG53")
    assert spoken("no-stop-to-fit", text, machine())


def test_a_spindle_turning_backwards_is_found() -> None:
    assert spoken("spindle-direction", good_text().replace("M3 S18000", "M4 S18000"), machine())


def test_a_program_that_only_shows_the_frame_must_not_cut() -> None:
    trace = "\n".join(
        ["(TOOL T1 6 MM)", *good_text().splitlines()[:6], "G0 X50 Y50", "G0 Z20", "G1 X150 F3000", "G1 Y110", "M30"]
    )
    assert judge(trace, scene_target().untouched()).findings == ()
    assert {"gouge", "spindle-off"} <= kinds(judge(trace.replace("G0 Z20", "G0 Z-1"), scene_target().untouched()))


def test_z_may_count_from_the_table() -> None:
    on_table = machine(table={"z_zero": "table"})
    assert spoken("table", good_text(), on_table)
    raised = []
    for line in good_text().splitlines():
        words = [
            f"Z{float(word[1:]) + 18:.4f}" if word[0] == "Z" and "G53" not in line and "(" not in line else word
            for word in line.split()
        ]
        raised.append(" ".join(words))
    assert judge("\n".join(raised), on=on_table).findings == ()


def test_a_sheet_that_lies_turned_is_judged_turned() -> None:
    """Program (x, y) = (sheet width - y, x): a quarter turn."""
    tall = machine(travel={"x": (0, 300), "y": (0, 400)}, motion={"park": (10, 0)})
    assert tall.sheet_turned
    turned = []
    for line in good_text().splitlines():
        turned.append(line if line.startswith("(") else " ".join(_turned(line.split())))
    # X and Y stand alone on many lines, so every word must be turned by itself; arcs keep their sense.
    assert judge("\n".join(turned), on=tall).findings == ()
    assert judge(good_text(), on=tall).verdict == "fail"


def _turned(words: list[str]) -> list[str]:
    letters = {
        "X": lambda v: f"Y{v:.4f}",
        "Y": lambda v: f"X{200 - v:.4f}",
        "I": lambda v: f"J{v:.4f}",
        "J": lambda v: f"I{-v:.4f}",
    }
    return [letters[w[0]](float(w[1:])) if w[0] in letters else w for w in words]


def test_programs_of_a_sheet_are_read_on_the_same_stock() -> None:
    """The second program may rapid into what the first one left."""
    lines = good_text().splitlines()
    outline, retract = lines.index("(OUTLINE)"), lines.index("(RECESS)")
    head = lines[:6]
    first = [*lines[:24], "M30"]
    second = [*head, *lines[24:outline], "G53 G0 Z0", "M5", "G0 X0 Y190", "M30"]
    third = [*head, *lines[24:retract], "G0 X85 Y80", "G0 Z-5.5", "G0 Z10", *lines[outline:]]
    programs = [(name, "\n".join(text)) for name, text in (("1", first), ("2", second), ("3", third))]
    on = machine(**FILE)
    assert [str(f) for f in prove(programs, on, scene_target()).findings] == []
    wrong_order = prove([programs[0], programs[2], programs[1]], on, scene_target())
    assert {("3", "rapid-in-material")} == {(finding.program, finding.kind) for finding in wrong_order.findings}


def test_a_dog_leg_rapid_sweeps_its_whole_box() -> None:
    """Back along a slanting slot in the scrap: the straight way is free, the box of the way is not."""
    slot = """G0 X200 Y60
G0 Z1
G1 Z0.2 F1000
G1 X240 Y100 Z-2 F900
G1 X200 Y60
G0 X240 Y100
G0 Z10
(OUTLINE)"""
    text = good_text().replace("(OUTLINE)", slot)
    assert judge(text).findings == ()
    dog_leg = judge(text, on=machine(motion={"rapid_path": "dog-leg"}))
    assert [finding.kind for finding in dog_leg.findings] == ["rapid-in-material"]


@pytest.mark.parametrize(("tools", "verdict"), [((3, 1), "pass"), ((1, 3), "fail"), ((3,), "fail")])
def test_the_tools_of_a_program_may_be_demanded(tools: tuple[int, ...], verdict: str) -> None:
    report = prove([("plate", good_text())], machine(), scene_target(), {"plate": tools})
    assert report.verdict == verdict


def test_every_finding_at_a_move_has_its_place() -> None:
    text = good_text().replace("G1 X97 Z-1.5000 F900", "G1 X97 Z-1.5000 F90000")
    found = next(one for one in judge(text).findings if one.kind == "feed" and "XY" in one.text)
    assert (97.0, 80.0, -1.5) == (found.x, found.y, found.z)


def test_a_t_word_alone_fits_nothing_but_before_the_first_move_it_says_what_is_fitted() -> None:
    cut = "G0 X200 Y150\nG0 Z1\nG1 X210 Z-1 F600\nG53 G0 Z0\n"
    body, tail = good_text().rsplit("M5\n", 1)
    assert "tool-not-fitted" in kinds(judge(f"{body}T2\n{cut}M5\n{tail}"))
    assert "tool-not-fitted" not in kinds(judge(f"{body}T1\n{cut}M5\n{tail}"))
    assert "tool-not-fitted" not in kinds(judge(f"{body}T2\n(MSG,FIT T1)\n{cut}M5\n{tail}"))
    assert "tool-not-fitted" not in kinds(judge(f"T2\n{good_text()}"))


@pytest.mark.parametrize(("run", "is_plunge"), [(8.0, True), (9.0, False)])
def test_down_more_steeply_than_twenty_degrees_is_a_plunge(run: float, is_plunge: bool) -> None:
    """3.2 down over 8 are 21.8 degrees, over 9 they are 19.6: tangents."""
    text = (PROGRAMS / "bad" / "plunge.nc").read_text(encoding="ascii")
    slope = text.replace("G1 Z-3.0000 F900", f"G1 X{85 + run:g} Z-3.0000 F900", 1)
    assert slope != text
    assert is_plunge == ("plunge" in kinds(judge(slope)))


def test_the_spot_where_z_is_set_is_read_from_a_broken_line_and_never_from_a_name() -> None:
    told = touch_off_spots
    assert told("(Z0 THE SHEET'S TOP, SET AT X25.5 Y35 WHERE NO PROGRAM CUTS)", machine()) == {(25.5, 35.0)}
    assert told("(Z0 THE SHEET'S TOP, SET AT)\n(X25 Y35 WHERE NO PROGRAM CUTS)", machine()) == {(25.0, 35.0)}
    assert told("(MSG,SET Z0 THE SHEET'S TOP,)\n(MSG,SET AT X25 Y35)", machine()) == {(25.0, 35.0)}
    assert told("(PART SET AT X100 Y100, OUTLINE, T1)\n(_SET AT X1 Y2, T1)", machine()) == set()
