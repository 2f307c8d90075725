"""Pockets of one form: cleared once, moved to where each lies."""

import pytest
from passes_bench import STOCK, made, plan, swept, tool

from cncpanel.geometry.contour import polygon
from cncpanel.geometry.region import region_of
from cncpanel.operation.operation import Clear
from cncpanel.passes import alike

OUTLINE = polygon([(0, 0), (120, 0), (120, 80), (0, 80)])


def pocket(x: float, width: float, depth: float = 6.0) -> Clear:
    region = region_of(polygon([(x, 20), (x + width, 20), (x + width, 50), (x, 50)]))
    return Clear(panel="panel 0", feature=f"at {x:g}", region=region, open_region=region, depth=depth, tool=tool())


def test_equal_pockets_are_worked_out_once_and_each_is_cut_where_it_lies(monkeypatch: pytest.MonkeyPatch) -> None:
    asked: list[Clear] = []
    clear = alike.clear
    monkeypatch.setattr(alike, "clear", lambda one, *rest: (asked.append(one), clear(one, *rest))[1])
    one = plan(0, OUTLINE, pocket(10, 20), pocket(40, 20), pocket(70, 21), pocket(94, 20, depth=5))
    runs = made([(0, 30.25, 40), (0, 300, 40.5)], [one], stock=STOCK).runs
    recesses = [run for run in runs if run.kind == "recess"]
    assert len(asked) == 3
    assert len(recesses) == 8
    for run in recesses:
        x0, y0 = (30.25, 40) if run.start.x < 200 else (300, 40.5)
        x = x0 + float(run.feature.split()[1])
        width = 21 if run.feature == "at 70" else 20
        found = swept([run], -5.0).bounds
        assert found == pytest.approx((x, y0 + 20, x + width, y0 + 50), abs=2e-3)
