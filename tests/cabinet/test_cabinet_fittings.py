"""Fittings: cut-outs from the catalogue, measured values over them, the shop's own file, and what is told."""

from pathlib import Path

import pytest
from cabinets import cabinet, named, panel
from click.testing import CliRunner

from cncpanel.cabinet.catalogue import read_parts, shipped_parts
from cncpanel.cabinet.fitted import body_cell
from cncpanel.cli import main
from cncpanel.errors import Gathering, ProblemsFound
from cncpanel.make.fit_flow import judge
from cncpanel.panel.resolve import resolve

FRONT = 'edge = ["B", "C"]'


def fitting(part: str, at: str, more: str = "") -> str:
    return f'\n[[panel.fitting]]\npart = "{part}"\nat = {at}\n{more}\n'


def test_a_button_in_a_thick_board_gets_its_hole_and_a_recess_behind(tmp_path: Path) -> None:
    read, _ = cabinet(tmp_path, panel("front", FRONT) + fitting("button 30", "[[80, 100], [130, 100]]"))
    front = named(read, "front")
    assert [(hole.centre, hole.diameter) for hole in front.hole] == [((80, 100), 30), ((130, 100), 30)]
    assert [(recess.diameter, recess.depth, recess.face) for recess in front.recess] == [(34, 10, "back")] * 2
    assert front.face == "back"
    assert [(row.name, row.count) for row in read.job.hardware] == [("screw-in push button, 30 hole", 2)]
    resolved = next(p for p in resolve(read, Gathering()) if p.name == "front")
    assert [hole.top for hole in resolved.holes] == [10, 10]


def test_measured_values_rule_over_the_catalogue(tmp_path: Path) -> None:
    read, _ = cabinet(tmp_path, panel("front", FRONT) + fitting("button 30", "[[80, 100]]", "hole = 29.6"))
    assert named(read, "front").hole[0].diameter == 29.6


def test_a_fan_gets_its_four_screws_turned_with_it(tmp_path: Path) -> None:
    read, _ = cabinet(tmp_path, panel("front", FRONT) + fitting("fan 92", "[[130, 200]]", "turn_deg = 45"))
    screws = sorted(hole.centre for hole in named(read, "front").hole if hole.diameter == 4.5)
    across = 82.5 / 2**0.5
    assert screws == [
        pytest.approx(spot)
        for spot in ((130 - across, 200), (130, 200 - across), (130, 200 + across), (130 + across, 200))
    ]


def test_what_is_drawn_by_hand_is_cut_once(tmp_path: Path) -> None:
    read, _ = cabinet(tmp_path, panel("front", FRONT) + fitting("button 30", "[[80, 100]]", "drawn = true"))
    assert (named(read, "front").hole, named(read, "front").recess) == ((), ())


def test_the_shops_own_parts_rule_over_the_catalogues(tmp_path: Path) -> None:
    own = '[[part]]\nname = "button 30"\nkind = "button"\nhole = 28.2\nsource = "calipers"\n'
    (tmp_path / "ours.toml").write_text(own, encoding="utf-8")
    front = panel("front", FRONT) + fitting("button 30", "[[80, 100]]")
    read, _ = cabinet(tmp_path, front, cabinet_keys='parts = "ours.toml"')
    assert named(read, "front").hole[0].diameter == 28.2
    assert named(read, "front").recess == ()


@pytest.mark.parametrize(
    ("own", "told"),
    [
        ('[[part]]\nname = "a"\nkind = "knob"\nsource = "s"\n', "ours.toml:3: part[0].kind"),
        ('[[part]]\nname = "a"\nkind = "button"\n', "ours.toml:1: part[0].source: missing"),
        (
            '[[part]]\nname = "a"\nkind = "button"\nsource = "s"\nhole = 3\nopening = [3, 3]\n',
            "hole and opening are given",
        ),
        ('[[part]]\nname = "a"\nkind = "fan"\nsource = "s"\n' * 2, '"a" is another part\'s name'),
    ],
)
def test_a_wrong_file_of_parts_is_told_with_its_lines(tmp_path: Path, own: str, told: str) -> None:
    (tmp_path / "ours.toml").write_text(own, encoding="utf-8")
    with pytest.raises(ProblemsFound) as raised:
        cabinet(tmp_path, panel("front", FRONT), cabinet_keys='parts = "ours.toml"')
    assert told in str(raised.value)


def test_an_unknown_part_comes_with_the_nearest_known_one(tmp_path: Path) -> None:
    with pytest.raises(ProblemsFound) as raised:
        cabinet(tmp_path, panel("front", FRONT) + fitting("buton 30", "[[80, 100]]"))
    assert 'panel[1].fitting[0].part: the catalogue has no part "buton 30" (did you mean "button 30"?)' in str(
        raised.value
    )


def test_parts_lists_them_and_shows_one_with_its_source() -> None:
    listed = CliRunner().invoke(main, ["parts"]).stdout
    assert "fan 120" in listed
    shown = CliRunner().invoke(main, ["parts", "fan 92"]).stdout
    assert "hole = 90.5" in shown
    assert "source = a maker's drawing of a 92 mm fan" in shown
    unknown = CliRunner().invoke(main, ["parts", "fan 91"])
    assert unknown.exit_code == 2


def test_every_shipped_part_says_what_is_cut_what_room_it_takes_and_what_holds_it() -> None:
    flat = ("foot", "insert", "mount")  # in the board or under the cabinet: nothing stands behind
    for part in shipped_parts().values():
        assert part.hole or part.opening or part.recess or part.holes, part.name
        assert bool(part.body) == (part.kind not in flat), part.name
        assert part.fasteners, part.name
        assert part.source, part.name
        assert part.measure or "memory" not in part.source.partition(";")[0], part.name


def test_a_clear_sheet_gets_a_rebate_round_the_opening_that_was_measured(tmp_path: Path) -> None:
    read, assembly = cabinet(
        tmp_path, panel("front", FRONT, fitting("clear sheet 3", "[[132, 200]]", "opening = [120, 90]"))
    )
    front = named(read, "front")
    assert [(one.size, one.centre) for one in front.opening] == [((120, 90), (132, 200))]
    assert [(one.size, one.depth, one.face) for one in front.recess] == [((144, 114), 3.5, "back")]
    body = shipped_parts()["clear sheet 3"].model_copy(update={"opening": (120, 90)})
    piece = next(one for one in assembly.pieces if read.job.panel[one.index].name == "front")
    cell = body_cell(body.body[0], body, (132, 200), 0, piece, 18.0)
    assert (cell.high - cell.low).tolist() == pytest.approx([140, 3.5, 110])  # x across, y through the board, z up
    assert cell.low[1] == pytest.approx(200 - 18)  # flush with the back


def test_a_cup_hinge_is_screwed_on_beside_its_cup_whichever_edge_it_hangs_on(tmp_path: Path) -> None:
    """A maker's sheet: screws 45 apart, 9.5 back from the cup's middle."""
    more = fitting("cup hinge", "[[22.5, 300]]") + fitting("cup hinge", "[[200, 300]]", "turn_deg = 180")
    read, _ = cabinet(tmp_path, panel("front", FRONT, more))
    holes = [(one.centre, one.diameter, one.depth, one.face) for one in named(read, "front").hole]
    for (x, y), (at, *others) in zip([(32, 277.5), (32, 322.5), (190.5, 322.5), (190.5, 277.5)], holes, strict=True):
        assert at == pytest.approx((x, y))
        assert others == [2.5, 10, "back"]


def test_a_slide_meets_a_drawer_that_is_too_wide_for_it(tmp_path: Path) -> None:
    """12.7 between carrier and box: a side of the box at 12.5 lies 0.2 in the slide, at 13 it is clear."""
    carrier = 'facing = "left"\nat = [-100, 180, 100]'
    for room, clear in ((13.0, True), (12.5, False)):
        more = fitting("drawer slides 300", "[[160, 50]]").replace("[[panel", "size = [320, 100]\n[[panel", 1)
        box = panel("box side", f'facing = "left"\nat = [{-100 - 18 - room}, 180, 100]', "size = [320, 100]")
        cabinet(tmp_path, panel("carrier", carrier, more), box)
        found = [
            one for one in judge(tmp_path / "box.toml").findings if one.check == "overlap" and "slides" in one.text
        ]
        assert (found == []) == clear
        assert clear or "lies 0.20 mm in box side" in found[0].text


def test_a_body_without_depth_and_a_border_without_an_opening_are_told(tmp_path: Path) -> None:
    own = tmp_path / "ours.toml"
    own.write_text(
        '[[part]]\nname = "a"\nkind = "pane"\nsource = "mine"\nrecess = { border = 3, depth = 2 }\n'
        "body = [{ diameter = 10, start = 5, depth = 5 }]\n",
        encoding="utf-8",
    )
    with pytest.raises(ProblemsFound) as told:
        read_parts(own)
    assert "depth 5 is no deeper than start 5" in str(told.value)
    own.write_text(own.read_text(encoding="utf-8").replace("start = 5", "start = 1"), encoding="utf-8")
    with pytest.raises(ProblemsFound) as told:
        read_parts(own)
    assert "border is given without opening" in str(told.value)
