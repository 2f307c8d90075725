"""Doors and drawers of a small box, with something planted in their way."""

import re
from pathlib import Path

import pytest
from cabinets import HEAD, cabinet

from cncpanel.cabinet.finding import Finding
from cncpanel.make.fit_flow import judge

THIN = '[[stock]]\nname = "thin"\nmaterial = "acrylic"\nthickness = 3\nsheet = [1000, 600]\ncount = 1\n'


def moves(stock: str, size: str, at: str, opens: str) -> str:
    position = f'facing = "front"\nat = {at}\nopens = {opens}'
    return f'\n[[panel]]\nname = "mover"\nstock = "{stock}"\nsize = {size}\n[panel.position]\n{position}\n'


def pane(line: str) -> str:
    return f'\n[[panel]]\nname = "pane"\nstock = "thin"\n[panel.position]\nline = {line}\nwidth = 100\n'


def path_of(folder: Path, *panels: str) -> Finding:
    cabinet(folder, *panels, head=THIN + HEAD)
    return next(finding for finding in judge(folder / "box.toml").findings if finding.check == "path")


DRAWER = "{ slides = 250 }"
UPRIGHT = "[[304, 120], [304, 180]]"
ASKEW = "[[461.6, 128.4], [447.5, 142.5]]"
FLAP = '{ hinged = "top", turn_deg = 90 }'


@pytest.mark.parametrize(
    ("mover", "line", "said"),
    [  # the pane lies from 301 to 304 before the drawer's 197 to 200: met from 101 to 107 out
        (moves("thin", "[200, 100]", "[100, 200, 100]", DRAWER), UPRIGHT, "10. mm out"),
        (moves("board", "[200, 100]", "[100, 200, 100]", DRAWER), UPRIGHT, "1[012]. mm out"),
        # a flap of 380, and 20 mm of pane at 350 from its hinge, askew as the flap is at 45 degrees
        (moves("thin", "[200, 380]", "[100, 200, 10]", FLAP), ASKEW, "4[3-6] degrees open"),
        (moves("board", "[200, 380]", "[100, 200, 10]", FLAP), ASKEW, "4[3-8] degrees open"),
    ],
)  # fmt: skip
def test_a_thin_pane_in_the_way_is_not_stepped_over(tmp_path: Path, mover: str, line: str, said: str) -> None:
    found = path_of(tmp_path, mover, pane(line))
    assert found.verdict == "fails"
    assert re.search(f'"mover" meets pane when it is {said}, [0-9.]+ mm deep: more gap, or change "pane"', found.text)


def test_beside_the_way_nothing_is_met(tmp_path: Path) -> None:
    """The drawer stops at 450; the flap's corner comes to 380.1 from its hinge, the pane begins at 382."""
    away = path_of(tmp_path, moves("thin", "[200, 100]", "[100, 200, 100]", DRAWER), pane("[[454, 120], [454, 180]]"))
    assert away.verdict == "ok"
    corner = 382 / 2**0.5
    line = f"[[{200 + corner + 10}, {390 - corner - 10}], [{200 + corner}, {390 - corner}]]"
    away = path_of(tmp_path, moves("thin", "[200, 380]", "[100, 200, 10]", FLAP), pane(line))
    assert away.verdict == "ok"


def test_a_load_in_the_way_is_what_is_to_be_moved(tmp_path: Path) -> None:
    load = "[[cabinet.load]]\nname = 'coin box'\nmass = 2\nat = [0, 330, 120]\nsize = [60, 60, 60]\n"
    cabinet(tmp_path, moves("board", "[200, 100]", "[100, 200, 100]", DRAWER) + load, head=HEAD)
    found = next(finding for finding in judge(tmp_path / "box.toml").findings if finding.check == "path")
    assert '"mover" meets coin box when it is 1' in found.text
    assert found.text.endswith("more gap, or move coin box")


def test_eight_drawers_out_at_once_are_weighed(tmp_path: Path) -> None:
    """Every one draws the middle forward, so all of them out is the worst: the last two too."""
    one = moves("board", "[200, 20]", "[100, 200, HEIGHT]", "{ slides = 250, load = 3 }")
    drawers = [one.replace("HEIGHT", str(40 + 40 * n)).replace("mover", f"drawer {n}") for n in range(8)]
    cabinet(tmp_path, *drawers, head=HEAD)
    tipping = next(finding for finding in judge(tmp_path / "box.toml").findings if finding.check == "tipping")
    assert "it tips forward" in tipping.text
    assert "drawer 0 open and drawer 1 open" in tipping.text
    assert "drawer 7 open" in tipping.text
