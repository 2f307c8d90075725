"""Millrace stated as an assembly gives the panels of its panel-by-panel job, and the section worked out by hand."""

from pathlib import Path

import pytest

from cncpanel.cabinet.derive import read_cabinet
from cncpanel.cabinet.piece import Assembly
from cncpanel.errors import Gathering
from cncpanel.job.model import Groove, Panel
from cncpanel.job.read import ReadJob, read_job
from cncpanel.panel.resolve import resolve

SECTION = {  # outer line (y, z) -> (y, z), as worked out on paper by moving the side's edges inwards by 10
    "bottom": ((28, 54), (492, 54)),
    "lower front": ((510, 20), (510, 810)),
    "deck soffit": ((492, 810), (592, 810)),
    "nose rail": ((610, 810), (610, 873.5)),
    "control deck": ((610, 891.90), (372.50, 942.37)),
    "screen bezel": ((372.50, 942.37), (193.72, 1434)),
    "canopy soffit": ((170, 1434), (372, 1434)),
    "marquee frame": ((390, 1434), (390, 1572)),
    "top": ((390, 1590), (10, 1590)),
    "back upper": ((10, 1572), (10, 1000)),
    "back rail": ((10, 160), (10, 20)),
    "shelf": ((60, 400), (330, 400)),
    "back door": ((10, 997), (10, 163)),
}
SIZES = {  # to one decimal, as the list gives them
    "bottom": (615, 464),
    "lower front": (604, 790),
    "deck soffit": (604, 100),
    "nose rail": (604, 63.5),
    "control deck": (604, 242.8),
    "screen bezel": (604, 523.1),
    "canopy soffit": (604, 202),
    "marquee frame": (604, 138),
    "top": (604, 380),
    "back upper": (604, 572),
    "back rail": (604, 140),
    "shelf": (615, 270),
    "back door": (598, 834),
    "monitor plate": (604, 160),
}


@pytest.fixture(scope="module")
def whole(fixtures: Path) -> tuple[ReadJob, Assembly]:
    found = read_cabinet(fixtures / "cabinets" / "millrace.toml")
    assert found.assembly is not None
    return found.read, found.assembly


def test_the_outer_lines_are_those_worked_out_by_hand(whole: tuple[ReadJob, Assembly]) -> None:
    standings = {standing.name: standing for standing in whole[1].standings}
    for name, (start, end) in SECTION.items():
        assert start == pytest.approx(standings[name].corners[0], abs=0.01), name
        assert end == pytest.approx(standings[name].corners[1], abs=0.01), name


def test_the_monitor_plate_stands_45_behind_the_bezel(whole: tuple[ReadJob, Assembly]) -> None:
    plate = next(standing for standing in whole[1].standings if standing.name == "monitor plate")
    assert (268.9, 1043.0) == pytest.approx(plate.corners[0], abs=0.06)
    assert (214.2, 1193.4) == pytest.approx(plate.corners[1], abs=0.06)


def test_the_sizes_are_those_of_the_list(whole: tuple[ReadJob, Assembly]) -> None:
    sizes = {panel.name: panel.size for panel in whole[0].job.panel}
    for name, size in SIZES.items():
        assert size == tuple(round(side, 1) for side in sizes[name] or ()), name


def test_every_panel_is_that_of_the_panel_by_panel_job(whole: tuple[ReadJob, Assembly], fixtures: Path) -> None:
    written = read_job(fixtures / "jobs" / "millrace.toml")
    gathering = Gathering()
    by_hand, derived = resolve(written, gathering), resolve(whole[0], gathering)
    assert gathering.problems == ()
    assert [panel.name for panel in by_hand] == [panel.name for panel in derived]
    for one, other in zip(by_hand, derived, strict=True):
        assert one.outline.bounds == tuple(round(side, 1) for side in other.outline.bounds), one.name
        assert one.outline.area == pytest.approx(other.outline.area, abs=15), one.name  # 604 wide, 0.0245 more length
        assert (one.copies, one.mirrored, one.face) == (other.copies, other.mirrored, other.face), one.name
        assert [r.region.bounds for r in one.recesses] == [r.region.bounds for r in other.recesses], one.name
        assert [r.depth for r in one.recesses] == [r.depth for r in other.recesses], one.name
        assert [hole.centre for hole in one.holes] == [hole.centre for hole in other.holes], one.name
        assert [o.contour for o in one.openings] == [o.contour for o in other.openings], one.name


def test_the_sides_housings_are_those_written_by_hand(whole: tuple[ReadJob, Assembly], fixtures: Path) -> None:
    def plain(panel: Panel) -> list[Groove]:
        return [groove.model_copy(update={"name": "", "face": None}) for groove in panel.groove]

    written = read_job(fixtures / "jobs" / "millrace.toml")
    assert plain(written.job.panel[0]) == plain(whole[0].job.panel[0])


def test_a_change_of_the_profile_carries_through(fixtures: Path, tmp_path: Path) -> None:
    text = (fixtures / "cabinets" / "millrace.toml").read_text(encoding="utf-8")
    lower = tmp_path / "lower.toml"
    lower.write_text(
        text.replace('name = "I", to = [400, 1600]', 'name = "I", to = [400, 1580]').replace(
            'name = "J", to = [0, 1600]', 'name = "J", to = [0, 1580]'
        ),
        encoding="utf-8",
    )
    read = read_cabinet(lower).read
    sizes = {panel.name: panel.size for panel in read.job.panel}
    assert sizes["marquee frame"] == pytest.approx((604, 118), abs=0.01)
    assert sizes["top"] == pytest.approx((604, 380), abs=0.01)


def test_a_thicker_reading_makes_housings_wider_and_panels_shorter(fixtures: Path, tmp_path: Path) -> None:
    text = (fixtures / "cabinets" / "millrace.toml").read_text(encoding="utf-8")
    thick = tmp_path / "thick.toml"
    thick.write_text(text.replace("measured = [17.9, 18.0, 18.0]", "measured = [18.2, 18.3]"), encoding="utf-8")
    read = read_cabinet(thick).read
    sizes = {panel.name: panel.size for panel in read.job.panel}
    assert sizes["lower front"] == pytest.approx((640 - 2 * 18.3, 790))
    assert sizes["bottom"] == pytest.approx((640 - 2 * (18.3 - 6) - 1, 510 - 18.3 - 28.3))
    side = next(panel for panel in resolve(read, Gathering()) if panel.name == "side")
    _, low, _, high = side.recesses[0].region.bounds
    assert high - low == pytest.approx(18.5)
