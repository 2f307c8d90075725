"""The demo jobs of holding, whole: screws in the waste, a skin on a vacuum table, the vacuum alone, clamps."""

from pathlib import Path

import pytest
import shapely

from cncpanel.layout.layout import placement
from cncpanel.make.choice import Choice
from cncpanel.make.flow import make

JOBS = Path(__file__).parents[2] / "fixtures" / "jobs"


@pytest.mark.slow
@pytest.mark.parametrize("name", ["seed_station", "reading_bench"])
def test_a_demo_of_holding_is_proven(name: str) -> None:
    made = make(JOBS / f"{name}.toml", Choice(), lambda _: None)
    assert made.passed
    runs = made.sheets[0].runs
    if name == "seed_station":
        assert len(runs.screws) >= 4
    else:
        assert {one.part.split()[0]: one.alone for one in runs.freed} == {"seat": True, "end": True, "book": False}
        assert {tab.part.split(" stop")[0] for tab in runs.tabs} == {"book"}


@pytest.mark.slow
def test_a_rack_is_held_by_the_vacuum_alone() -> None:
    made = make(JOBS / "leaflet_rack.toml", Choice(), lambda _: None)
    assert made.passed
    runs = made.sheets[0].runs
    assert runs.tabs == ()
    assert {True} == {one.alone for one in runs.freed}
    assert all(one.vacuum >= 2 * one.force for one in runs.freed)


@pytest.mark.slow
def test_a_stand_s_small_parts_lie_in_the_waste_of_its_hatch_clear_of_clamps() -> None:
    made = make(JOBS / "lantern_fund.toml", Choice(), lambda _: None)
    assert made.passed
    (sheet,) = made.sheets
    lies = {part.label: placement(made.panels[part.panel], part) for part in sheet.sheet.parts}
    outlines = {
        part.label: shapely.Polygon(lies[part.label].contour(made.panels[part.panel].outline).flattened(0.01))
        for part in sheet.sheet.parts
    }
    (hatch,) = [one for one in made.panels[0].openings if one.name == "hatch"]
    waste = shapely.Polygon(lies["back"].contour(hatch.contour).flattened(0.01))
    within = {label for label, outline in outlines.items() if waste.contains(outline)}
    assert within == {"name board", "turn button", "turn button 2", "turn button 3"}
    for keep in sheet.sheet.stock.keep_out:
        box = shapely.box(*keep.at, keep.at[0] + keep.size[0], keep.at[1] + keep.size[1])
        assert not any(box.intersects(outline) for outline in outlines.values())
    assert made.machine.cutting.finish_direction != made.read.job.settings.finish_direction
