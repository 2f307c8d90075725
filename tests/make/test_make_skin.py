"""Parts on a skin, or held by vacuum alone: what is cut last, what holds each part then, what is refused."""

from pathlib import Path

import pytest
import shapely

from cncpanel.errors import ProblemsFound
from cncpanel.geometry.area import Area
from cncpanel.job.model import Stock
from cncpanel.layout.layout import Sheet
from cncpanel.machine.model import Machine
from cncpanel.machine.read import read_machine
from cncpanel.make.choice import Choice
from cncpanel.make.flow import Made, make
from cncpanel.passes.release import KEPT_FLAT
from cncpanel.passes.shop import least_skin
from cncpanel.passes.suction import sucked, suction_of, zone_words
from cncpanel.proof.compare import HELD_BY_VACUUM
from cncpanel.proof.prove import prove
from cncpanel.proof.setup import Setup
from cncpanel.proof.suction import sucked as witnessed_hold

JOB = """
[job]
name = "Small"
machine = "{machine}"
[settings]
hold = "{hold}"
{more}
[[stock]]
name = "ply"
material = "plywood"
thickness = 12
measured = [11.9, 12.1]
sheet = [560, 360]
count = 1
margin = 20
[[panel]]
name = "lid"
stock = "ply"
size = [260, 200]
{edge}
[[panel]]
name = "key"
stock = "ply"
size = [90, 40]
"""


ROUNDED = "edge = [{ round = 3 }]"


def made(folder: Path, hold: str, machine: str = "nesting-router", more: str = "", edge: str = ROUNDED) -> Made:
    path = folder / "small.toml"
    path.write_text(JOB.format(machine=machine, hold=hold, more=more, edge=edge), encoding="utf-8")
    return make(path, Choice(), lambda _: None)


def problems(folder: Path, hold: str, machine: str, more: str = "") -> list[str]:
    with pytest.raises(ProblemsFound) as raised:
        made(folder, hold, machine, more)
    return [str(problem).removeprefix(f"{folder}/") for problem in raised.value.problems]


@pytest.fixture(scope="module")
def skinned(tmp_path_factory: pytest.TempPathFactory) -> Made:
    return made(tmp_path_factory.mktemp("skin"), "skin")


def titles(one: Made) -> list[str]:
    lines = one.sheets[0].programs[0].text.splitlines()
    return [line.strip("()").rsplit(",", 1)[0] for line in lines if line.startswith("(PART ")]


def test_skins_are_cut_after_all_else_small_parts_first(skinned: Made) -> None:
    assert titles(skinned)[-2:] == ["PART KEY, OUTLINE SKIN", "PART LID, OUTLINE SKIN"]
    assert not any("SKIN" in title for title in titles(skinned)[:-2])
    assert skinned.passed


def test_outlines_stop_at_the_skin_and_only_the_last_passes_go_through(skinned: Made) -> None:
    runs = skinned.sheets[0].runs.runs
    floor = {round(min(step.z for step in run.steps), 6) for run in runs if run.kind == "outline"}
    skin = least_skin(skinned.machine) + 0.4
    assert floor == {round(-(11.9 - skin), 6)}
    assert all(not run.frees for run in runs if run.kind == "outline")
    assert {min(step.z for step in run.steps) for run in runs if run.kind == "skin"} == {-12.2}


def test_a_small_part_has_tabs_besides_and_a_large_one_the_vacuum_alone(skinned: Made) -> None:
    runs = skinned.sheets[0].runs
    assert {one.part: one.alone for one in runs.freed} == {"lid": True, "key": False}
    assert {tab.part for tab in runs.tabs} == {"key"}
    told = [finding for finding in skinned.sheets[0].report.findings if finding.kind == "loose"]
    assert [finding.severity for finding in told] == ["remark"]


def test_a_skin_that_is_not_cut_is_told(skinned: Made) -> None:
    one = skinned.sheets[0]
    text = one.programs[0].text
    begin = text.index("(PART LID, OUTLINE SKIN")
    end = text.index("G53", begin)
    report = prove([("planted", text[:begin] + text[end:])], skinned.machine, one.target)
    assert any(finding.kind == "leftover" and finding.severity != "remark" for finding in report.findings)


def test_without_vacuum_every_part_has_tabs_too_against_the_last_passes_alone(tmp_path: Path) -> None:
    on_screws = made(tmp_path, "skin", "shop-router")
    assert {tab.part for tab in on_screws.sheets[0].runs.tabs} == {"key", "lid"}
    forces = {one.part: one.force for one in on_screws.sheets[0].runs.freed}
    whole = made(tmp_path, "tabs", "shop-router")
    assert all(forces[one.part] < one.force for one in whole.sheets[0].runs.freed)
    assert on_screws.passed


def test_vacuum_alone_frees_what_it_holds_and_leaves_tabs_on_the_rest(tmp_path: Path) -> None:
    alone = made(tmp_path, "vacuum", edge="")
    assert {tab.part for tab in alone.sheets[0].runs.tabs} == {"key"}
    assert alone.passed


def test_no_rim_is_formed_on_a_part_that_vacuum_alone_holds(tmp_path: Path) -> None:
    """Its outline goes right through before its edge is made; on a skin that comes last, so none is needed there."""
    rounded = made(tmp_path, "vacuum")
    order = [title for title in titles(rounded) if title.startswith("PART LID")]
    assert order == ["PART LID, OUTLINE", "PART LID, EDGE 1"]
    assert {tab.part for tab in rounded.sheets[0].runs.tabs} == {"key", "lid"}
    assert {one.part: one.alone for one in rounded.sheets[0].runs.freed} == {"lid": False, "key": False}
    assert rounded.passed


def test_what_cannot_hold_is_refused(tmp_path: Path) -> None:
    said = "small.toml:6: settings.hold: shop-router holds its sheets by screws (tabs, or skin with tabs)"
    assert problems(tmp_path, "vacuum", "shop-router") == [said]
    out = least_skin(read_machine("shop-router"))
    thin = "small.toml:7: settings.skin: a skin of 0.5 mm may be cut through: thickness, table and zero are"
    assert problems(tmp_path, "skin", "shop-router", "skin = 0.5") == [
        f"{thin} out by up to {out:g} mm (at least {out + 0.2:g})"
    ]
    thick = "small.toml:7: settings.skin: a skin of 7 mm is more than half of ply (at most 5.95)"
    assert problems(tmp_path, "skin", "shop-router", "skin = 7") == [thick]
    unasked = 'small.toml:7: settings.skin: a skin is left only with hold = skin (settings.hold = "skin")'
    assert problems(tmp_path, "tabs", "shop-router", "skin = 0.8") == [unasked]


def zoned(*, turned: bool) -> Machine:
    nesting = read_machine("nesting-router")
    zones = [{"x": (0.0, 300.0), "y": (0.0, 200.0), "pressure": 50.0}, {"x": (300.0, 900.0), "y": (0.0, 200.0)}]
    data = nesting.model_dump()
    data["table"] |= {"zone": zones, "pressure": 40.0}
    if turned:
        data["travel"] |= {"x": nesting.travel.y, "y": nesting.travel.x}
        data["motion"] |= {"park": tuple(reversed(nesting.motion.park))}
    return Machine.model_validate(data)


@pytest.mark.parametrize("turned", [False, True])
def test_maker_and_witness_reckon_the_same_hold_by_zones(turned: bool) -> None:
    machine = zoned(turned=turned)
    stock = Stock(name="ply", material="plywood", thickness=12, sheet=(400, 250), count=1)
    sheet = Sheet(number=1, stock=stock, parts=())
    zones = suction_of(sheet, machine)
    box = (20.0, 30.0, 190.0, 240.0)
    here = shapely.box(*box)
    if turned:
        here = shapely.box(250 - box[3], box[0], 250 - box[1], box[2])
    by_hand = 0.3 * ((190 - 20) * (200 - 30) * 0.05 if not turned else 210 * 170 * 0.05)
    held = sucked(Area.box(box), zones)
    assert held == pytest.approx(witnessed_hold(here, Setup(machine, 12.0)))
    if not turned:
        assert held == pytest.approx(by_hand)
        assert list(zone_words(zones)) == [
            "open zones 1, 2",
            "mask beside the sheet, which covers less than 60% of zone 2",
        ]


def test_maker_and_witness_agree_on_what_is_too_small_to_lie_still() -> None:
    assert KEPT_FLAT == HELD_BY_VACUUM
