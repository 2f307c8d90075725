"""The law of the order on a sheet, over small random jobs.

In a part: what lies inside before its outline; a wall roughed, then finished; edges after their walls; what frees the
part last. On the sheet, while one tool stays in: recesses, holes and marks while it is whole, then openings, then
outlines, small parts before much larger ones and before larger neighbours, and every skin at the very end.
"""

import sys
import tempfile
from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1]))

import pytest
import shapely
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st
from law_examples import examples
from random_jobs import fitting_panel, toml

from cncpanel.errors import Gathering, ProblemsFound
from cncpanel.geometry.point import Point
from cncpanel.make.choice import Choice
from cncpanel.make.flow import Prepared, prepare
from cncpanel.passes.run import Run
from cncpanel.passes.sheet import sheet_runs
from cncpanel.sequence.frame import centre_box
from cncpanel.sequence.order import ordered
from cncpanel.sequence.placed import placed_runs
from cncpanel.sequence.weaker import BESIDE, MUCH

INSIDE = ("mark", "recess", "hole", "opening")
WHOLE = ("mark", "recess", "hole")
LARGER = 16.0  # times the area: one part surely counts as larger than another, whose steps are of four
NEAR = 0.02  # mm
CHANNEL = 40.0  # mm; no wider is what is opened beside a wall for a slot cutter
SLOPE = 30.0  # mm; longer than half of a tab's way down at the shop router's ramp angle
Groups = Sequence[Sequence[Run]]


@st.composite
def job(draw: st.DrawFn) -> str:
    """One to three panels, some with rounded rims, held by tabs or a skin."""
    board = draw(st.sampled_from((6.0, 12.0, 18.0)))
    stock = {"name": "board", "material": "mdf", "thickness": board, "sheet": [1600, 900], "count": 2}
    panels = [draw(fitting_panel(number, board)) for number in range(draw(st.integers(1, 3)))]
    for panel in panels:
        if board > 6 and draw(st.booleans()):
            panel["edge"] = [{"round": 3}]
    hold = draw(st.sampled_from(("tabs", "tabs", "skin")))
    said = {"hold": hold, "packing": {"steps": 0}, "second_clearing": draw(st.sampled_from(("always", "never")))}
    head = {"name": "Order", "machine": draw(st.sampled_from(("shop-router", "desktop-router", "nesting-router")))}
    return toml({"job": head, "settings": said, "stock": [stock], "panel": panels})


def prepared(text: str) -> Prepared | None:
    """None where the job is refused."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "job.toml"
        path.write_text(text, encoding="utf-8")
        try:
            return prepare(path, Choice(), lambda _: None)
        except ProblemsFound:
            return None


def cut(found: Prepared) -> list[Groups]:
    """Each sheet's runs in cutting order, by stays of a tool."""
    plans = {plan.panel.index: plan for plan in found.plans}
    sheets = []
    for sheet in found.layout.sheets:
        runs = sheet_runs(sheet, plans, found.machine, found.read.job.settings, Gathering())
        sheets.append(ordered(placed_runs(sheet, runs, found.machine), Point(0.0, 0.0)))
    return sheets


def check_parts(row: Sequence[Run]) -> None:
    """Every part by itself, whatever the tools."""
    for part in {run.part for run in row}:
        kinds = [run.kind for run in row if run.part == part]
        stages = [(kind not in INSIDE) + 2 * (kind == "skin") for kind in kinds if kind != "edge"]
        assert stages == sorted(stages), (part, kinds)
        if "edge" in kinds and "skin" in kinds:
            assert len(kinds) - 1 - kinds[::-1].index("edge") < kinds.index("skin")


def check_edges(row: Sequence[Run]) -> None:
    """An edge follows the wall that it rounds: the nearest wall's last pass is before it."""
    for at, edge in enumerate(row):
        if edge.kind == "edge":
            walls = [run for run in row if run.part == edge.part and run.kind in ("opening", "outline")]
            nearest = min(walls, key=lambda run: off(run, edge))
            room = 2 * (nearest.tool.cut_diameter + edge.tool.cut_diameter) + CHANNEL * ("channel" in edge.feature)
            assert off(nearest, edge) < room, (edge.part, edge.feature)
            last = max(n for n, run in enumerate(row) if (run.part, run.feature) == (nearest.part, nearest.feature))
            assert last < at, (edge.part, edge.feature)


def off(wall: Run, edge: Run) -> float:
    """How far the edge's way is from the wall's at most."""
    along = shapely.LineString(way_of(wall))
    return max(along.distance(shapely.Point(place)) for place in way_of(edge))


def way_of(run: Run) -> list[tuple[float, float]]:
    """Where its steps begin and end."""
    return [(run.start.x, run.start.y), *((step.x, step.y) for step in run.steps)]


def check_stays(groups: Groups) -> None:
    """While a tool stays in: the whole sheet's stages, and small outlines before much larger ones."""
    for group in groups:
        stages = [0 if run.kind in WHOLE else 1 if run.kind == "opening" else 2 for run in group]
        stages = [stage for stage, run in zip(stages, group, strict=True) if run.kind not in ("edge", "skin")]
        assert stages == sorted(stages), [run.kind for run in group]
        for kind in ("outline", "skin"):
            check_sizes([run for run in group if run.kind == kind])
    row = [run for group in groups for run in group]
    skins = [run.kind == "skin" for run in row]
    assert skins == sorted(skins)


def check_sizes(row: Sequence[Run]) -> None:
    """No part next after one 16 times as large, nor anywhere after a neighbour twice as large."""
    for small, large in pairwise(row):
        assert large.area > small.area / LARGER, (small.part, large.part)
    for number, run in enumerate(row):
        for larger in row[:number]:
            assert larger.area < MUCH * run.area or kerfs_apart(run, larger) >= BESIDE - NEAR, (run.part, larger.part)


def kerfs_apart(run: Run, other: Run) -> float:
    """Between the boxes of what the tools sweep, along the side on which they lie farther apart."""
    (x0, y0, x1, y1), (a0, b0, a1, b1) = centre_box(run), centre_box(other)
    return max(a0 - x1, x0 - a1, b0 - y1, y0 - b1) - run.tool.radius - other.tool.radius


def check_walls(row: Sequence[Run], allowance: float) -> int:
    """Roughing keeps the allowance off the wall until the finish begins, which goes all round. How many were seen.

    A tab's way down, to and fro, may straddle the place where the finish begins.
    """
    seen = 0
    for run in row:
        if run.kind == "outline" and allowance:
            path = way_of(run)
            places = [
                shapely.Point((x0 + x1) / 2, (y0 + y1) / 2)
                for ((x0, y0), (x1, y1)), step in zip(pairwise(path), run.steps, strict=True)
                if not step.bulge and (abs(x1 - x0) < 1e-9) != (abs(y1 - y0) < 1e-9)  # along a side, not straight up
            ]
            wall = shapely.box(*shapely.LineString(path).bounds).buffer(-allowance, join_style="mitre")
            off = [round(wall.exterior.distance(place), 3) > NEAR for place in places]
            if True in off and False in off:  # straight-sided parts with room for the allowance
                seen += 1
                begun, ended = off.index(False), len(off) - off[::-1].index(False)
                assert all(off[:begun])
                later = [place for place, away in zip(places[begun:ended], off[begun:ended], strict=True) if away]
                assert all(place.distance(places[begun]) < SLOPE for place in later), run.part
    return seen


PLAIN = toml(
    {
        "job": {"name": "Order", "machine": "shop-router"},
        "settings": {"packing": {"steps": 0}},
        "stock": [{"name": "board", "material": "mdf", "thickness": 12, "sheet": [700, 500], "count": 1}],
        "panel": [
            {
                "name": "front",
                "stock": "board",
                "size": [300, 200],
                "edge": [{"round": 3}],
                "opening": [{"size": [120, 80], "radius": 8, "centre": [150, 100]}],
                "hole": [{"diameter": 8, "centre": [30, 30], "depth": 6}],
            },
            {"name": "key", "stock": "board", "size": [60, 40]},
        ],
    }
)


def test_the_law_sees_an_order_that_is_wrong() -> None:
    found = prepared(PLAIN)
    assert found is not None
    (groups,) = cut(found)
    row = [run for group in groups for run in group]
    assert [(run.part, run.kind) for run in row] == [
        ("front", "hole"),
        ("front", "opening"),
        ("key", "outline"),
        ("front", "outline"),
        ("front", "edge"),
    ]
    check(groups, found.machine.cutting.finish_allowance)
    assert check_walls(row, found.machine.cutting.finish_allowance) == 2
    outline = next(run for run in row if run.kind == "outline")
    mixed = replace(outline, steps=(*outline.steps[len(outline.steps) // 2 :], *outline.steps))
    wrong = (
        [[row[1], row[0], *row[2:]]],  # an opening before a hole
        [[*row[:2], row[3], row[2], row[4]]],  # the large part before the small one
        [[row[3], *row[:3], row[4]]],  # an outline before what lies inside
        [[*row[:3], row[4], row[3]]],  # an edge before its wall
        [[*row[:2], mixed, *row[3:]]],  # a finish before the end of roughing
    )
    for groups in wrong:
        with pytest.raises(AssertionError):
            check(groups, found.machine.cutting.finish_allowance)


def check(groups: Groups, allowance: float) -> None:
    """All of it."""
    row = [run for group in groups for run in group]
    assert row
    check_parts(row)
    check_edges(row)
    check_stays(groups)
    check_walls(row, allowance)


@settings(max_examples=examples(2), deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(text=job())
def test_a_random_job_is_cut_in_the_order_of_the_trade(text: str) -> None:
    found = prepared(text)
    assume(found is not None)
    assert found is not None
    for groups in cut(found):
        check(groups, found.machine.cutting.finish_allowance)
