"""Planted faults of hand, face, place and size: the good program against a job that wants something else."""

import re

import pytest
from proof_scene import Part, SceneSpot, SceneTab, good_text, judge, kinds, machine, scene_target

RECESS = {"size": (40, 30), "at": (20, 15), "radius": 4, "depth": 6}
HOLE = {"centre": (80, 30), "diameter": 5}
OTHER_SIDE = machine(motion={"park": (200, 190)})  # where the mirrored program parks
MIRRORED_TABS = (SceneTab("plate", (120.0, 50.0), (1.0, 0.0)), SceneTab("plate", (80.0, 110.0), (-1.0, 0.0)))


def mirrored(text: str) -> str:
    """The program made for the other hand: X about the middle of the plate, arcs turned round."""
    swapped = []
    for line in text.splitlines():
        if line.startswith("("):
            swapped.append(line)
            continue
        other = re.sub(r"X(-?[\d.]+)", lambda m: f"X{200 - float(m[1]):.4f}", line)
        other = re.sub(r"I(-?[\d.]+)", lambda m: f"I{-float(m[1]):.4f}", other)
        swapped.append(other.replace("G2 ", "G9 ").replace("G3 ", "G2 ").replace("G9 ", "G3 "))
    return "\n".join(swapped) + "\n"


def test_the_other_hand_of_the_program_makes_the_back_of_the_panel() -> None:
    wanted = scene_target(face="back", tabs=MIRRORED_TABS)
    assert [str(finding) for finding in judge(mirrored(good_text()), wanted, on=OTHER_SIDE).findings] == []


def test_the_other_hand_makes_a_mirrored_copy() -> None:
    wanted = scene_target(part=Part(mirrored_copy=True), tabs=MIRRORED_TABS)
    assert judge(mirrored(good_text()), wanted, on=OTHER_SIDE).findings == ()


def test_a_mirrored_copy_from_the_back_is_the_panel_itself() -> None:
    assert judge(good_text(), scene_target(face="back", part=Part(mirrored_copy=True))).findings == ()


PLANTED = {
    "wrong face": {"face": "back"},
    "wrong hand": {"part": Part(mirrored_copy=True)},
    "wrong place": {"part": Part(x=50.03)},
    "wrong place across": {"part": Part(y=49.97)},
    "upside down": {"part": Part(angle_deg=180.0)},
    "turned a quarter": {"part": Part(angle_deg=90.0)},
    "panel longer": {"size": (100.03, 60)},
    "panel shorter": {"size": (99.97, 60)},
    "panel lower along a wall with a tab": {"size": (100, 59.75)},
    "recess wider": {"recess": [RECESS | {"size": (40.03, 30)}]},
    "recess narrower": {"recess": [RECESS | {"size": (39.97, 30)}]},
    "recess deeper": {"recess": [RECESS | {"depth": 6.02}]},
    "recess shallower": {"recess": [RECESS | {"depth": 5.98}]},
    "recess with larger corners": {"recess": [RECESS | {"radius": 4.1}]},
    "recess beside": {"recess": [RECESS | {"at": (20.03, 15)}]},
    "no recess": {"recess": []},
    "two recesses": {"recess": [RECESS, {"diameter": 10, "centre": (10, 10), "depth": 2}]},
    "hole elsewhere": {"hole": [HOLE | {"centre": (80, 30.05)}]},
    "hole smaller": {"hole": [HOLE | {"diameter": 4.9}]},
    "hole larger": {"hole": [HOLE | {"diameter": 5.1}]},
    "hole blind": {"hole": [HOLE | {"depth": 10}]},
    "an opening more": {"opening": [{"size": (8, 8), "at": (88, 5)}]},
    "an island": {"recess": [RECESS | {"island": [{"diameter": 6, "centre": (40, 30)}]}]},
    "a step": {"recess": [RECESS | {"step": [{"diameter": 12, "centre": (40, 30), "depth": 8}]}]},
    "a groove": {"groove": [{"path": [(0, 5), (100, 5)], "width": 6, "depth": 3, "ends": "open"}]},
    "a rabbet": {"rabbet": [{"side": "left", "width": 5, "depth": 5}]},
    "a mark": {"mark": [{"text": "P1", "at": (70, 45), "height": 8}]},
    "rounded corners": {"radius": 5},
    "no tab": {"tabs": (SceneTab("plate", (80.0, 50.0), (1.0, 0.0)),)},
    "a wider tab": {
        "tabs": (SceneTab("plate", (80.0, 50.0), (1.0, 0.0), width=9.0), SceneTab("plate", (120.0, 110.0), (-1.0, 0.0)))
    },
    "a narrower tab": {
        "tabs": (SceneTab("plate", (80.0, 50.0), (1.0, 0.0), width=7.0), SceneTab("plate", (120.0, 110.0), (-1.0, 0.0)))
    },
    "a higher tab": {
        "tabs": (SceneTab("plate", (80.0, 50.0), (1.0, 0.0), top=-15.0), SceneTab("plate", (120.0, 110.0), (-1.0, 0.0)))
    },
}


@pytest.mark.parametrize("name", PLANTED)
def test_a_planted_fault_fails(name: str) -> None:
    report = judge(good_text(), scene_target(**PLANTED[name]))
    assert report.verdict == "fail"
    assert kinds(report) & {"gouge", "leftover", "tab-thin"}


SQUARE = {"recess": [RECESS | {"radius": 0}]}
CORNERS = ((20, 15), (60, 15), (60, 45), (20, 45))


def spots(corners: tuple[tuple[float, float], ...]) -> tuple[SceneSpot, ...]:
    """What a 3 mm radius leaves in square corners: its box is 3 wide, its middle 1.5 inside."""
    inward = {20: 1.5, 60: -1.5, 15: 1.5, 45: -1.5}
    return tuple(SceneSpot("plate", "recess", (x + inward[x], y + inward[y]), 3.0) for x, y in corners)


def into_the_corners(text: str) -> str:
    """The recess's wall followed into its square corners, as far as the tool goes."""
    for arc, lines in (
        ("G3 X107.0000 Y69.0000 I0 J1", "G1 X107.0000\nG1 Y69.0000"),
        ("G3 X106.0000 Y92.0000 I-1 J0", "G1 Y92.0000\nG1 X106.0000"),
        ("G3 X73.0000 Y91.0000 I0 J-1", "G1 X73.0000\nG1 Y91.0000"),
        ("G3 X74.0000 Y68.0000 I1 J0", "G1 Y68.0000\nG1 X74.0000"),
    ):
        text = text.replace(arc, lines)
    return text


def test_a_corner_that_the_tool_cannot_reach_passes_where_it_is_named() -> None:
    report = judge(into_the_corners(good_text()), scene_target(spots=spots(CORNERS), **SQUARE))
    assert report.findings == ()


def test_a_corner_that_was_not_named_fails_alone() -> None:
    report = judge(into_the_corners(good_text()), scene_target(spots=spots(CORNERS[:3]), **SQUARE))
    (finding,) = report.findings
    assert "a corner that the tool cannot reach and that was not named" in finding.text
    assert (finding.x, finding.y) == (pytest.approx(70, abs=3), pytest.approx(95, abs=3))


def test_naming_a_corner_does_not_excuse_what_the_tool_could_have_reached() -> None:
    report = judge(good_text(), scene_target(spots=spots(CORNERS), **SQUARE))
    assert len(report.findings) == 4
    assert all("left standing" in finding.text for finding in report.findings)


def test_a_deeper_neighbour_may_take_a_shallower_floor() -> None:
    wanted = scene_target(recess=[RECESS, {"size": (10, 10), "at": (30, 20), "depth": 3}])
    assert judge(good_text(), wanted).findings == ()


def test_a_shift_of_the_authors_coordinates_changes_nothing() -> None:
    outline = [(200, -40), (300, -40), (300, 20), (200, 20)]
    wanted = scene_target(
        size=None,
        outline=outline,
        recess=[RECESS | {"at": (220, -25)}],
        hole=[HOLE | {"centre": (280, -10)}],
    )
    assert judge(good_text(), wanted).findings == ()


@pytest.mark.parametrize(("across", "told"), [(0.05, 0), (0.15, 1)])
def test_a_crumb_no_larger_than_the_searchs_own_error_is_none(across: float, told: int) -> None:
    wanted = scene_target(recess=[RECESS, {"size": (across, across), "at": (90, 50), "depth": 3}])
    assert len(judge(good_text(), wanted).findings) == told
