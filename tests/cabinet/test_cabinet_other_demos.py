"""The wall box and the table-top box stated as cabinets: leaning overlay and finger joints."""

from math import hypot
from pathlib import Path

import pytest

from cncpanel.cabinet.derive import read_cabinet
from cncpanel.job.model import Panel
from cncpanel.make.fit_flow import judge


def panels(path: Path) -> dict[str, Panel]:
    return {panel.name: panel for panel in read_cabinet(path).read.job.panel}


@pytest.mark.parametrize("name", ["loop_board", "story_dial"])
def test_it_fits(fixtures: Path, name: str) -> None:
    judged = judge(fixtures / "cabinets" / f"{name}.toml")
    assert [str(finding) for finding in judged.findings if finding.verdict == "fails"] == []


def test_loop_boards_panels_follow_from_its_profile(fixtures: Path) -> None:
    """440 over all, 12.1 at its thickest; the face 364.97 long leans 9.46 degrees, bottom and top end under it."""
    found = panels(fixtures / "cabinets" / "loop_board.toml")
    assert found["face"].size == pytest.approx((440, 364.97), abs=0.01)
    assert found["bottom"].size == pytest.approx((440 - 2 * 12.1, 140))
    assert found["top"].size == pytest.approx((415.8, 80 + 12.1 * 60 / 360))
    assert [edge.bevel_deg for edge in found["bottom"].edge] == [pytest.approx(9.46, abs=0.005)]
    assert [(edge.side, edge.faces) for edge in found["top"].edge] == [("bottom", "show")]
    assert hypot(60, 360) == pytest.approx(364.97, abs=0.005)


def test_loop_boards_buttons_are_within_reach_and_a_cane_may_miss_it(fixtures: Path) -> None:
    judged = judge(fixtures / "cabinets" / "loop_board.toml")
    told = {finding.check: finding for finding in judged.findings}
    assert "1096 to 1096 above the floor" in told["reach"].text
    assert told["cane"].verdict == "look"
    assert "152 out from the wall, its lower edge 1050 above the floor" in told["cane"].text


def test_story_dials_fingers_interlock_until_a_wall_is_moved(fixtures: Path, tmp_path: Path) -> None:
    text = (fixtures / "cabinets" / "story_dial.toml").read_text(encoding="utf-8")
    moved = tmp_path / "moved.toml"
    moved.write_text(text.replace("at = [150, 240, 0]", "at = [150, 240, 0.4]"), encoding="utf-8")
    failed = [finding for finding in judge(moved).findings if finding.verdict == "fails"]
    assert failed
    assert all("front" in finding.text for finding in failed)
