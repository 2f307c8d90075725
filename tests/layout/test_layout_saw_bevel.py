"""Bevels at the saw: never square without a word, and never beyond the blade's tilt."""

from math import radians, tan
from pathlib import Path

import pytest
from saw_samples import job_text, planned, read

from cncpanel.errors import Gathering, ProblemsFound
from cncpanel.layout.saw.plan import Bevel
from cncpanel.layout.saw.planner import saw_plan


def bevels(folder: Path, edge: str, size: tuple[float, float] = (400.0, 138.0), saw: str = "") -> tuple[Bevel, ...]:
    return planned(folder, job_text([size], saw, panel=f"[[panel.edge]]\n{edge}")).bevels


def test_the_long_point_is_the_drawn_size_and_the_short_one_what_the_tilt_leaves(tmp_path: Path) -> None:
    (found,) = bevels(tmp_path, 'side = "right"\nbevel_deg = 30')
    assert ("right", 30, 400.0, 138.0) == (found.side, found.tilt_deg, found.long, found.along)
    assert 400 - 18 * tan(radians(30)) == pytest.approx(found.short)
    assert "stop" == found.guide  # an edge of 138 is too short for the fence


def test_both_faces_meet_in_the_middle(tmp_path: Path) -> None:
    (found,) = bevels(tmp_path, 'side = "top"\nbevel_deg = 45\nfaces = "both"')
    assert 2 == found.passes
    assert 138 - 9 == pytest.approx(found.short)


def test_all_edges_of_a_rectangle_are_four_bevels(tmp_path: Path) -> None:
    assert ["bottom", "right", "top", "left"] == [one.side for one in bevels(tmp_path, "bevel_deg = 20")]


def test_a_long_narrow_piece_is_not_run_on_the_fence_by_itself(tmp_path: Path) -> None:
    (found,) = bevels(tmp_path, 'side = "top"\nbevel_deg = 45', (800.0, 60.0))
    assert "carrier" == found.guide


def test_a_tilt_beyond_the_saws_is_a_problem_on_its_line(tmp_path: Path) -> None:
    with pytest.raises(ProblemsFound) as raised:
        bevels(tmp_path, 'side = "top"\nbevel_deg = 50')
    (problem,) = raised.value.problems
    assert "bevel of 50 deg, the blade tilts to 45 deg" in problem.text
    line = (tmp_path / "sample.toml").read_text().splitlines()[problem.place.line - 1]
    assert "bevel_deg = 50" == line


def test_a_tilt_beyond_the_saws_that_the_bench_makes_is_told_there(tmp_path: Path) -> None:
    text = job_text([(400.0, 138.0)], panel='[[panel.edge]]\nside = "top"\nbevel_deg = 50\nbench = true')
    gathering = Gathering()
    plan = saw_plan(*read(tmp_path, text), gathering)
    assert () == plan.bevels
    assert "saw it square to the long point" in plan.by_hand[0][1]
    assert plan.by_hand[0][1] in gathering.warnings[0].text


def test_a_bevel_on_a_side_that_is_not_straight_is_told(tmp_path: Path) -> None:
    shape = "outline = [[0, 0], [400, 0], [300, 200], [100, 200]]"
    edge = "[[panel.edge]]\nedges = [3]\nbevel_deg = 10\nbench = true"
    text = job_text([(1.0, 1.0)]).replace("size = [1.0, 1.0]", f"{shape}\n{edge}")
    gathering = Gathering()
    plan = saw_plan(*read(tmp_path, text), gathering)
    told = "outline's edge 3: bevel of 10 deg on a rim that is no whole straight side, for the bench"
    assert [told] == [words for _, words in plan.by_hand]
    assert 1 == len(gathering.warnings)


def test_a_bevel_that_leaves_nothing_is_a_problem(tmp_path: Path) -> None:
    with pytest.raises(ProblemsFound, match="takes 18 mm of its 15 mm"):
        bevels(tmp_path, 'side = "top"\nbevel_deg = 45', (400.0, 15.0))


def test_an_edge_by_its_number_is_the_side_that_it_lies_on(tmp_path: Path) -> None:
    (found,) = bevels(tmp_path, "edges = [1]\nbevel_deg = 30\nbench = true")
    assert ("right", 400.0) == (found.side, found.long)


def test_a_shallow_bevel_takes_only_its_width_from_the_face(tmp_path: Path) -> None:
    (wide,) = bevels(tmp_path, 'side = "top"\nbevel_deg = 45\nwidth = 4\nbench = true')
    (deep,) = bevels(tmp_path, 'side = "top"\nbevel_deg = 30\ndepth = 6\nbench = true')
    assert 134 == pytest.approx(wide.short)
    assert 138 - 6 * tan(radians(30)) == pytest.approx(deep.short)


def test_a_bevel_on_part_of_a_side_is_told_and_left_to_the_bench(tmp_path: Path) -> None:
    edge = '[[panel.edge]]\nside = "top"\nstart = 20\nbevel_deg = 30\nbench = true'
    gathering = Gathering()
    plan = saw_plan(*read(tmp_path, job_text([(400.0, 138.0)], panel=edge)), gathering)
    assert () == plan.bevels
    assert "no whole straight side" in plan.by_hand[0][1]
