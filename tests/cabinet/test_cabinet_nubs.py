"""Which edges of placed panels are kept free of tabs: those that meet a panel, and those left to be seen."""

from pathlib import Path

from cabinets import cabinet, named, panel

from cncpanel.job.model import Panel

FRONT = panel("front", 'edge = ["B", "C"]')


def spared(one: Panel) -> set[tuple[object, str]]:
    return {(free.side or free.edges, free.why) for free in one.tab_free}


def test_a_shelf_between_the_sides_spares_its_two_ends_and_the_edge_in_the_front(tmp_path: Path) -> None:
    shelf = panel("shelf", 'line = [[0, 150], [200, 150]]\nend = { housed = "front" }')
    read, _ = cabinet(tmp_path, FRONT, shelf)
    assert spared(named(read, "shelf")) == {("left", "mates"), ("right", "mates"), ("top", "mates")}
    assert spared(named(read, "front")) == {("left", "mates"), ("right", "mates")}
    assert spared(named(read, "side")) == set()


def test_an_end_that_covers_another_panel_is_seen(tmp_path: Path) -> None:
    top = panel("top", 'edge = ["C", "D"]\nstart = { covers = "front" }\nsides = "clear"\ngap = 2')
    front = panel("front", 'edge = ["B", "C"]\nend = { butts = "top" }')
    read, _ = cabinet(tmp_path, front, top)
    assert spared(named(read, "top")) == {("bottom", "seen")}
    assert ("top", "mates") in spared(named(read, "front"))


def test_a_panel_that_lies_on_the_sides_edges_covers_them(tmp_path: Path) -> None:
    read, _ = cabinet(tmp_path, panel("back", 'edge = ["D", "A"]\nsides = "overlaid"'))
    assert spared(named(read, "back")) == {("left", "seen"), ("right", "seen")}
    assert spared(named(read, "side")) == {((3,), "mates")}


def test_a_panel_with_an_outline_of_its_own_spares_what_the_job_names_alone(tmp_path: Path) -> None:
    round_one = 'edge = ["B", "C"]\n[[panel.tab_free]]\nedges = [1]'
    drawn = panel("front", round_one).replace(
        'name = "front"', 'name = "front"\noutline = [[0, 0], [264, 0], [264, 380], [0, 400]]'
    )
    read, _ = cabinet(tmp_path, drawn)
    assert spared(named(read, "front")) == {((1,), "mates")}
