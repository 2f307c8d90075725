"""Fittings: cut-outs from the catalogue, measured values over them, the shop's own file, and what is told."""

from pathlib import Path

import pytest
from cabinets import cabinet, named, panel
from click.testing import CliRunner

from cncpanel.cli import main
from cncpanel.errors import Gathering, ProblemsFound
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
