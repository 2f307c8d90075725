"""The order of runs: stages, precedence, tool changes, short ways."""

import random
from dataclasses import replace
from itertools import pairwise

import pytest
from sequence_samples import outline_run, run, tool

from cncpanel.geometry.point import Point
from cncpanel.sequence.chain import chains, forerunners
from cncpanel.sequence.frame import end_of
from cncpanel.sequence.order import ordered

A, B, C = tool(1, 6.0), tool(2, 4.0), tool(3, 5.0, "drill")
ORIGIN = Point(0.0, 0.0)


def said(groups):
    return [(group[0].tool.number, [f"{r.part} {r.kind}" for r in group]) for group in groups]


def test_one_tool_cuts_the_whole_sheet_first_then_openings_and_outlines_last():
    kinds = ("outline", "opening", "hole", "recess", "mark")
    runs = [run(kind, "p", A, (100.0 * i, 0.0), feature=kind) for i, kind in enumerate(kinds)]
    expected = [(1, ["p hole", "p recess", "p mark", "p opening", "p outline"])]
    assert expected == said(ordered(runs, ORIGIN))


def test_all_work_of_the_inside_tool_comes_before_the_outlines_tool():
    runs = [
        outline_run("p", B, (0, 0), (100, 100)),
        outline_run("q", B, (200, 0), (100, 100)),
        run("hole", "p", A, (50.0, 50.0)),
        run("hole", "q", A, (250.0, 50.0)),
    ]
    assert said(ordered(runs, ORIGIN)) == [(1, ["p hole", "q hole"]), (2, ["q outline", "p outline"])]


def test_a_tool_that_is_needed_twice_cuts_its_outlines_the_second_time():
    runs = [
        outline_run("p", A, (0, 0), (100, 100)),
        outline_run("q", A, (200, 0), (100, 100)),
        run("recess", "p", A, (50.0, 50.0), feature="pocket"),
        run("hole", "p", C, (55.0, 50.0), feature="hole in the pocket"),
    ]
    expected = [(1, ["p recess"]), (3, ["p hole"]), (1, ["p outline", "q outline"])]
    assert expected == said(ordered(runs, ORIGIN))


def test_a_hole_beside_the_recess_saves_a_change():
    runs = [
        outline_run("p", A, (0, 0), (300, 100)),
        run("recess", "p", A, (50.0, 50.0), feature="pocket"),
        run("hole", "p", C, (250.0, 50.0), feature="hole elsewhere"),
    ]
    assert said(ordered(runs, ORIGIN)) == [(3, ["p hole"]), (1, ["p recess", "p outline"])]


def test_small_parts_come_free_first():
    runs = [
        outline_run("large", A, (0, 0), (400, 300)),
        outline_run("small", A, (900, 0), (50, 50)),
        outline_run("middle", A, (500, 0), (100, 100)),
    ]
    assert said(ordered(runs, ORIGIN)) == [(1, ["small outline", "middle outline", "large outline"])]


@pytest.mark.parametrize(("apart", "expected"), [(29.9, ["plate", "post"]), (30.1, ["post", "plate"])])
def test_of_two_neighbours_the_much_smaller_comes_free_first_whatever_the_way(apart: float, expected: list[str]):
    """Between the kerfs lie `apart` mm; the post is the nearer to the start."""
    post = outline_run("post", A, (0, 0), (120, 80))
    plate = outline_run("plate", A, (0, 80 + 2 * A.cut_diameter + apart), (60, 60))
    for order in ([post, plate], [plate, post]):
        assert said(ordered(order, ORIGIN)) == [(1, [f"{name} outline" for name in expected])]


def test_a_part_s_size_is_its_own_and_not_its_box_s():
    """Before the strip goes the ring segment in a box ten times as large, for it is the smaller of the two."""
    segment = replace(outline_run("segment", A, (0, 100), (300, 300)), area=2000.0)
    strip = replace(outline_run("strip", A, (0, 0), (300, 40)), area=12000.0)
    assert said(ordered([strip, segment], ORIGIN)) == [(1, ["segment outline", "strip outline"])]


def test_parts_in_an_opening_s_waste_are_cut_while_it_is_whole():
    """The ring's slug would hang on its tabs alone; so would the disc's in it. Another opening waits for nothing."""
    runs = [
        outline_run("ring", A, (0, 0), (400, 400)),
        replace(outline_run("ring", A, (50, 50), (300, 300)), kind="opening", feature="eye"),
        replace(outline_run("ring", A, (370, 10), (20, 20)), kind="opening", feature="slot"),
        outline_run("disc", B, (100, 100), (200, 200)),
        replace(outline_run("disc", A, (150, 150), (100, 100)), kind="opening", feature="bore"),
        outline_run("plug", B, (180, 180), (40, 40)),
        run("hole", "plug", B, (200.0, 200.0)),
    ]
    order = [(one.part, one.kind, one.feature) for group in ordered(runs, ORIGIN) for one in group]
    rank = {key: number for number, key in enumerate(order)}
    row = [("plug", "hole"), ("plug", "outline"), ("disc", "opening"), ("disc", "outline")]
    nested = [next(rank[key] for key in order if key[:2] == pair) for pair in row]
    assert nested == sorted(nested)
    assert (
        nested[-1] < rank["ring", "opening", "eye"] < next(rank[key] for key in order if key[:2] == ("ring", "outline"))
    )
    assert rank["ring", "opening", "slot"] < nested[-1]


def test_runs_that_go_over_one_place_keep_their_order():
    deep = [run("recess", "p", A, (0.0, 0.0), feature="pocket", z=-float(z)) for z in range(1, 6)]
    (group,) = ordered(deep, Point(1000.0, 0.0))
    assert [step.steps[0].z for step in group] == [-1, -2, -3, -4, -5]


def test_a_rough_pass_stays_before_its_finish_with_another_speed():
    rough = outline_run("p", A, (0, 0), (100, 100), rpm=18000.0)
    finish = outline_run("p", A, (0, 0), (100, 100), rpm=12000.0)
    (group,) = ordered([rough, finish], ORIGIN)
    assert [r.rpm for r in group] == [18000.0, 12000.0]


def way(runs):
    return sum(end_of(a).distance(b.start) for a, b in pairwise(runs))


def test_turning_and_moving_stretches_shortens_the_way_of_the_nearest_next(monkeypatch):
    chance = random.Random(5)
    places = [(chance.uniform(0, 2000), chance.uniform(0, 1000)) for _ in range(150)]
    runs = [run("hole", "p", A, place, to=place, feature=f"hole {i}") for i, place in enumerate(places)]
    (group,) = ordered(runs, ORIGIN)
    assert len(set(group)) == len(runs)
    # n places spread evenly over an area have a shortest tour near 0.7124 sqrt(n area) (Beardwood, Halton and
    # Hammersley 1959; the constant from memory); nearest-next alone is some 25 % over it.
    assert way(group) < 1.25 * 0.7124 * (150 * 2000 * 1000) ** 0.5
    monkeypatch.setattr("cncpanel.sequence.shorten.ROUNDS", 0)
    (nearest,) = ordered(runs, ORIGIN)
    assert way(group) < 0.9 * way(nearest)


def test_equal_work_gives_an_equal_order_and_every_constraint_holds():
    chance = random.Random(8)
    tools, kinds = (A, B, C), ("mark", "recess", "hole", "opening")
    runs = []
    for part in range(6):
        for i in range(15):
            at = (300.0 * part + chance.uniform(0, 200), chance.uniform(0, 200))
            runs.append(run(chance.choice(kinds), f"part {part}", chance.choice(tools), at, feature=str(i)))
        runs.append(outline_run(f"part {part}", chance.choice(tools), (300.0 * part - 10, -10), (230, 230)))
    groups = ordered(runs, ORIGIN)
    assert groups == ordered(runs, ORIGIN)
    place = {id(r): n for n, r in enumerate(r for group in groups for r in group)}
    assert len(place) == len(runs)
    work = chains(runs)
    for index, before in enumerate(forerunners(work)):
        for other in range(index):
            if before >> other & 1:
                assert place[id(work[other].runs[-1])] < place[id(work[index].runs[0])]
    for part in range(6):
        mine = [r for group in groups for r in group if r.part == f"part {part}"]
        assert mine[-1].kind == "outline"


def test_two_thousand_holes_are_ordered_in_reasonable_time():
    runs = [
        run(
            "hole",
            "p",
            A,
            (20.0 * (i % 50), 20.0 * (i // 50)),
            to=(20.0 * (i % 50), 20.0 * (i // 50)),
            feature=str(i),
        )
        for i in range(2000)
    ]
    (group,) = ordered(runs, ORIGIN)
    assert way(group) < 1.1 * 20.0 * 2000
