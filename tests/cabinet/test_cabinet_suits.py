"""People and place: Millrace against the figures worked out by hand, and its counter-example."""

from math import atan2, degrees, hypot
from pathlib import Path

import pytest
from cabinets import HEAD, cabinet

from cncpanel.cabinet.finding import Finding
from cncpanel.cabinet.mass import together, weights
from cncpanel.cabinet.scene import Scene
from cncpanel.cabinet.stability import states, tipping
from cncpanel.make.fit_flow import Judged, judge


@pytest.fixture(scope="module")
def text(fixtures: Path) -> str:
    return (fixtures / "cabinets" / "millrace.toml").read_text(encoding="utf-8")


@pytest.fixture(scope="module")
def millrace(fixtures: Path) -> Judged:
    return judge(fixtures / "cabinets" / "millrace.toml")


def changed(tmp_path: Path, text: str, *changes: tuple[str, str]) -> Judged:
    for old, new in changes:
        assert old in text
        text = text.replace(old, new)
    path = tmp_path / "changed.toml"
    path.write_text(text, encoding="utf-8")
    return judge(path)


def of(judged: Judged, check: str) -> list[Finding]:
    return [finding for finding in judged.findings if finding.check == check]


def angles(scene: Scene, state: str) -> list[float]:
    return next(
        [t.angle_deg for t in tipping(scene, found)] for said, found in states(scene, weights(scene)) if said == state
    )


def test_mass_and_middle(millrace: Judged) -> None:
    mass, middle = together(weights(millrace.scene))
    wood = sum(weight.mass for weight in weights(millrace.scene) if weight.wood)
    assert mass == pytest.approx(82.7, abs=0.1)
    assert (middle.y, middle.z) == pytest.approx((260, 760), abs=1.5)
    assert wood == pytest.approx(59.2 - 2.2, abs=0.5)  # by hand with the ply drawer and the feet's blocks, 2.2 kg


def test_tip_angles_shut_and_open(millrace: Judged) -> None:
    forward, back, left, right = angles(millrace.scene, "shut")
    assert (forward, back) == pytest.approx((14.9, 14.9), abs=0.15)
    assert (left, right) == pytest.approx((18.3, 18.3), abs=0.2)
    door = angles(millrace.scene, "back door open")
    assert (door[1], min(door[2:])) == pytest.approx((13.2, 16.8), abs=0.2)
    assert angles(millrace.scene, "drawer front open")[0] == pytest.approx(13.8, abs=0.2)


def test_what_it_takes_to_tip_it(millrace: Judged) -> None:
    (push,), (pull,), (press,) = of(millrace, "push"), of(millrace, "pull"), of(millrace, "press")
    assert "at 1500 above what it stands on lifts it at 114 N" in push.text
    assert "fix it to the wall" in push.text
    assert "lifts its back feet at 18" in pull.text  # 183 N by hand, at the middle of the deck's height
    assert "140 before the feet, lifts its back feet at 12" in press.text  # 1216 N


def test_through_the_door_and_upright(millrace: Judged) -> None:
    (doorway,), (turning,) = of(millrace, "doorway"), of(millrace, "turning")
    assert "goes through 700 clear upright, front first; upright, side first" in doorway.text
    assert "is 891; stood up from its back it sweeps 1744 under 2400" in turning.text


def test_the_tallest_see_the_sign_before_the_screens_top(millrace: Judged) -> None:
    (sight,) = of(millrace, "sight")
    assert sight.verdict == "look"
    assert "men, 95th percentile, eyes 1851 above the floor" in sight.text
    assert "passes y 390 at 1442, 8 mm into it" in sight.text


def test_a_shorter_canopy_lets_everyone_see(tmp_path: Path, text: str) -> None:
    shorter = changed(
        tmp_path,
        text,
        ('name = "H", to = [400,', 'name = "H", to = [380,'),
        ('name = "I", to = [400,', 'name = "I", to = [380,'),
        ("[170, 1434], [390, 1434]", "[170, 1434], [370, 1434]"),
    )
    assert [finding.verdict for finding in of(shorter, "sight")] == ["ok"]


def test_reach_and_deck(millrace: Judged) -> None:
    assert "455 to 951 above the floor, within 380 to 1220" in of(millrace, "reach")[0].text
    assert "922 above the floor, within 850 to 1000" in of(millrace, "deck")[0].text


def test_the_counter_example_fails_at_width_and_at_tipping(tmp_path: Path, text: str) -> None:
    wrong = changed(
        tmp_path,
        text,
        ("feet = [[262, 470], [-262, 470]", "feet = [[262, 380], [-262, 380]"),
        ('part = "screen 23.8"', 'part = "screen 32"\nmass = 4'),
    )
    failed = {finding.check: finding.text for finding in wrong.findings if finding.verdict == "fails"}
    assert "is 708.4 wide, 604.0 are between the sides" in failed["screen"]
    assert "forward 8.6" in failed["tipping"]
    assert not wrong.fits


@pytest.mark.parametrize(
    ("old", "new", "check", "said"),
    [
        ("doorway = 700", "doorway = 640", "doorway", "does not go through 640 clear in any way"),
        ("round = 6\nair", "round = 2\nair", "edges", "rounded 2: 3 at least"),
        ("doorway = 700", "wheelchair = true", "knees", "side (left) leaves 100 at"),
        ("inset = 3", "inset = 12", "fingers", 'a gap of 12 round "drawer front"'),
        ("floor = 30 ", "floor = 300 ", "reach", "is 1221 above the floor, outside 380 to 1220"),
        ("floor = 30 ", "floor = 150 ", "deck", "is 1042 above the floor, outside 850 to 1000"),
    ],
)
def test_what_does_not_suit_is_named_with_its_numbers(
    tmp_path: Path, text: str, old: str, new: str, check: str, said: str
) -> None:
    told = [finding for finding in of(changed(tmp_path, text, (old, new)), check) if finding.verdict != "ok"]
    assert any(said in finding.text for finding in told)
    assert all(finding.source for finding in told)


def test_every_limit_of_people_and_place_names_its_source(millrace: Judged) -> None:
    silent = {finding.check for finding in millrace.suits if not finding.source}
    assert silent == {"mass", "turning"}


def test_a_tall_cabinet_leans_on_its_truck_at_angles_that_the_doorway_leaves(tmp_path: Path, text: str) -> None:
    """1630 cos a + 620 sin a: 1743.9 at atan(620 / 1630) = 20.8 degrees, and 1700 at 8.0 and 33.7."""
    (leaning,) = of(changed(tmp_path, text, ("doorway = 700", "doorway = 700, doorway_height = 1720")), "leaning")
    assert leaning.verdict == "look"
    assert (
        "1744 of the doorway's height at 21 degrees, of 1720 less 20: lean it up to 8 degrees or from 34"
        in leaning.text
    )


def test_on_three_feet_it_goes_over_the_line_between_two_of_them(tmp_path: Path, text: str) -> None:
    """The line from (262, 50) to (0, 470) runs nearer the middle than any of the box's sides."""
    feet = "feet = [[262, 470], [-262, 470], [262, 50], [-262, 50]]"
    judged = changed(tmp_path, text, (feet, "feet = [[0, 470], [262, 50], [-262, 50]]"))
    _, middle = together(weights(judged.scene))
    arm = ((470 - middle.y) * 262 - middle.x * 420) / hypot(262, 420)
    expected = degrees(atan2(arm, middle.z + 30))
    found = {one.direction: one.angle_deg for one in tipping(judged.scene, weights(judged.scene))}
    assert set(found) == {"back", "forward and to the visitor's left", "forward and to the visitor's right"}
    assert found["forward and to the visitor's left"] == pytest.approx(expected)
    assert any(finding.verdict == "fails" for finding in of(judged, "tipping"))


KNEES = """
[[panel]]
name = "shelf"
stock = "board"
[panel.position]
line = [[SHELF, 500], [20, 500]]
sides = "butt"
"""


@pytest.mark.parametrize(("front", "free"), [("570", False), ("550", True)])
def test_knees_need_their_room_at_every_height(tmp_path: Path, front: str, free: bool) -> None:
    """At 500 above the floor 306.3 asks for 280 - 75 (500 - 230) / 455 = 235.5: a shelf to 800 - 235.5 = 564.5."""
    larger = {"width = 300": "width = 900\nsite = { use = 'seated' }", "[200, 0]": "[800, 0]"}
    larger |= {"[200, 400]": "[800, 700]", "[0, 400]": "[0, 700]"}
    head = HEAD
    for old, new in larger.items():
        head = head.replace(old, new)
    cabinet(tmp_path, KNEES.replace("SHELF", front), head=head)
    found = of(judge(tmp_path / "box.toml"), "knees")
    assert [finding.verdict == "ok" for finding in found] == [free]
    if not free:
        assert "shelf leaves 230 at 482 above the floor" in found[0].text  # its underside: 238.5 are needed there
        assert "set it 8 back" in found[0].text


def test_a_rim_that_nobody_rounds_is_told(tmp_path: Path, text: str) -> None:
    edge = '[[panel.edge]]\nround = 6\nfaces = "both"\nbench = true\n'
    (found,) = of(changed(tmp_path, text, (edge, "")), "edges")
    assert (found.verdict, found.text) == ("look", '"side" has no rounded rim: a [[panel.edge]] with round = 6')
    (found,) = of(changed(tmp_path, text, (edge, edge.replace("6", "4"))), "edges")
    assert 'the rim of "side" is rounded 4, 6 are set' in found.text
