"""Whole panels resolved."""

from pathlib import Path

import pytest
from resolving import Resolve

from cncpanel.errors import Gathering
from cncpanel.job.read import read_job
from cncpanel.panel.resolve import resolve


def test_a_plain_panel_is_its_rectangle(resolved: Resolve) -> None:
    panel = resolved('[[panel]]\nname = "a"\nstock = "mdf"\nsize = [400, 300]').panel
    assert panel.outline.area == 400 * 300
    assert panel.outline.bounds == (0, 0, 400, 300)


def test_mistakes_of_all_panels_are_told_in_one_run(resolved: Resolve) -> None:
    found = resolved(
        '[[panel]]\nname = "a"\nstock = "mdf"\noutline = [[0, 0], [60, 0], [100, 0]]\n'
        '[[panel]]\nname = "b"\nstock = "mdf"\nsize = [100, 100]\nhole = [{centre = [1, 50], diameter = 5}]\n'
        '[[panel]]\nname = "c"\nstock = "mdf"\nsize = [100, 100]\nrecess = [{size = [9, 9], at = [9, 9], depth = 18}]\n'
        '[[panel]]\nname = "d"\nstock = "mdf"\nsize = [100, 100]'
    )
    assert [line.split(": ")[0] for line in found.problems] == [
        "panel[0].outline",
        "panel[1].hole[0]",
        "panel[2].recess[0].depth",
    ]
    assert [(panel.index, panel.name) for panel in found.panels] == [(1, "b"), (2, "c"), (3, "d")]


def test_ten_thousand_cells_over_a_recess_resolve_to_the_last_one(resolved: Resolve) -> None:
    panel = resolved(
        '[[panel]]\nname = "big"\nstock = "mdf"\nsize = [1100, 900]\n'
        "recess = [{size = [1060, 860], at = [20, 20], depth = 12}]\n"
        "grille = [{size = [1020, 860], at = [40, 20], holes = {diameter = 6, pitch = 10}}]"
    ).panel
    assert len(panel.holes) == panel.grilles[0].cells > 9_900
    assert {hole.top for hole in panel.holes} == {12}


@pytest.mark.parametrize("name", ["millrace", "loop_board", "story_dial"])
def test_the_demo_jobs_resolve_without_a_problem(fixtures: Path, name: str) -> None:
    gathering = Gathering()
    read = read_job(fixtures / "jobs" / f"{name}.toml")
    panels = resolve(read, gathering)
    assert gathering.problems == ()
    assert len(panels) == len(read.job.panel) > 3


def test_a_panel_keeps_where_its_author_drew_its_lower_left(resolved: Resolve) -> None:
    outline = "outline = [[-100, -20], [100, -20], [100, 80], [-100, 80]]\n"
    panel = resolved('[[panel]]\nname = "a"\nstock = "mdf"\n' + outline).panel
    assert (panel.outline.bounds, panel.drawn_at) == ((0, 0, 200, 100), (-100, -20))
