"""Thin scrap between kerfs, or between a kerf and the sheet's edge, is told with its figure and what to change."""

import re

import pytest
from passes_bench import PLACE, plan, sheet, shop_router

from cncpanel.errors import Gathering
from cncpanel.geometry.shape import rectangle
from cncpanel.job.model import Settings
from cncpanel.passes.sheet import sheet_runs

BOX = rectangle(0, 0, 120, 80)
TOLD = re.compile(
    r"scrap ([\d.]+) mm wide and (\d+) mm long stands (.*) at \(.*\) on the sheet: it can break off and be thrown"
    r" \((\S+) of at most ([\d.]+) or at least ([\d.]+)\)"
)


def told(*places: tuple[float, float]) -> list[tuple[float, str, str, float, float]]:
    """Width, where, what to change, at most and at least; boxes of one panel, 6 mm tool, no last pass on walls."""
    gathering = Gathering()
    panels = {index: plan(index, BOX) for index in range(len(places))}
    parts = sheet([(index, x, y) for index, (x, y) in enumerate(places)])
    sheet_runs(parts, panels, shop_router(finish_allowance=0.0), Settings(), gathering)
    assert gathering.problems == ()
    found = []
    for warning in gathering.warnings:
        assert warning.place == PLACE
        seen = TOLD.search(str(warning))
        assert seen, str(warning)
        found.append((float(seen[1]), seen[3], seen[4], float(seen[5]), float(seen[6])))
    return found


@pytest.mark.parametrize(
    ("margin", "width"), [(6.0, None), (6.4, None), (6.9, 0.9), (7.5, 1.5), (8.5, 2.5), (9.1, None), (20, None)]
)
def test_between_a_part_and_the_sheets_edge(margin: float, width: float | None) -> None:
    found = told((margin, 200))
    if width is None:
        assert found == []
        return
    ((wide, where, key, most, least),) = found
    assert wide == pytest.approx(width, abs=0.11)
    assert (where, key, most) == ("between panel 0 and the sheet's edge", "stock.margin", 6)
    assert 9.0 <= least <= 9.2


@pytest.mark.parametrize(("gap", "width"), [(6, None), (9, None), (12, None), (13.5, 1.5), (14.6, 2.6), (15.1, None)])
def test_between_two_parts(gap: float, width: float | None) -> None:
    """Two kerfs lie in the gap: what is left between them is the gap less both tools."""
    found = told((50, 50), (170 + gap, 50))
    if width is None:
        assert found == []
        return
    ((wide, where, key, most, least),) = found
    assert wide == pytest.approx(width, abs=0.11)
    assert (where, key, most) == ("between panel 0 and panel 1", "settings.gap", 12)
    assert 15.0 <= least <= 15.2


def test_a_short_neck_between_wider_scrap_is_none() -> None:
    assert told((50, 50), (178, 138)) == []
