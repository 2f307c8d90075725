"""Rims: at the bench, or by the machine from either face."""

from resolving import HEAD, Resolve

PANEL = '[[panel]]\nname = "a"\nstock = "mdf"\nsize = [400, 300]\n'


def test_rims_at_the_bench_are_listed_there_and_those_of_the_other_face_lie_in_the_set_up_before_the_turn(
    resolved: Resolve,
) -> None:
    panel = resolved(
        PANEL + 'edge = [{round = 3, bench = true, faces = "both"}, {side = "top", bevel_deg = 9.46, faces = "back"}]'
    ).panel
    assert panel.bench == ("all edges: round 3 mm on both faces",)
    assert panel.machined == ("top edge: bevel 9.46 deg on the back face",)
    assert panel.edges == ()
    assert panel.reverse is not None
    assert [edge.told for edge in panel.reverse.edges] == ["edge 2 of the outline"]


def test_a_rounding_wider_than_the_thinnest_board_is_told(resolved: Resolve) -> None:
    found = resolved(PANEL + 'edge = [{round = 9, faces = "both", bench = true}, {round = 17, bench = true}]')
    text = "rounding 9 mm is more than the board has room for on both faces"
    assert found.problems == [f'panel[0].edge[0].round: panel "a": {text}']


def test_a_slot_for_a_moulding_is_listed_for_the_bench_without_being_asked(resolved: Resolve) -> None:
    panel = resolved(PANEL + 'edge = [{side = "top", t_slot = {width = 2.5, depth = 9, middle = 8}}]').panel
    assert panel.bench == (
        "top edge: slot 2.5 mm wide, 9 mm deep for T-moulding, its middle 8 mm under the show face: slot cutter on a "
        "bearing or in a router table, fence against the show face",
    )
    assert panel.edges == ()


def test_stretches_of_the_machines_edges_lie_where_the_job_says(resolved: Resolve) -> None:
    panel = resolved(
        PANEL + 'edge = [{between = ["lower right", "lower left"], round = 3}, {edges = [1], start = 50, round = 2}]'
    ).panel
    first, second = (edge.stretch for edge in panel.edges)
    assert first is not None
    assert second is not None
    assert (first.start, first.stop, first.open_start, first.open_stop) == (400, 1400, True, True)
    assert (second.start, second.stop, second.open_start, second.run_out) == (450, 700, False, 6)
    assert panel.edge_words.startswith(
        "edge from lower right to lower left: round 3 mm on the show face, by the machine"
    )


def test_both_rims_of_a_panel_are_cut_one_in_each_set_up(resolved: Resolve) -> None:
    panel = resolved(PANEL + 'edge = [{round = 3, faces = "both"}]').panel
    assert panel.machined == ("all edges: round 3 mm on both faces",)
    assert panel.reverse is not None
    assert panel.reverse.first
    assert panel.edges == panel.reverse.edges


def test_rims_of_both_faces_that_meet_are_told(resolved: Resolve) -> None:
    edges = 'edge = [{side = "top", round = 10}, {round = 9, faces = "back"}, {side = "left", round = 10}]'
    under = "panel[0].edge[1]: panel a: edge 2 of the outline, 9 mm deep from one face, and"
    met = "of the outline, 10 mm deep from the other, meet in mdf, 17.8 mm at its thinnest"
    expected = [f"{under} edge {n} {met}" for n in (1, 3)]
    assert resolved(PANEL + edges).problems == expected


def test_wrong_stretches_are_told_at_their_keys(resolved: Resolve) -> None:
    found = resolved(
        PANEL
        + "edge = [{edges = [4], round = 3}, {edges = [0, 2], round = 3}, "
        + '{between = ["lower left", "nose"], round = 3}, {opening = "eye", round = 3}, '
        + '{side = "top", start = 10, stop = 20, round = 3}, {side = "top", start = 10, stop = 500, round = 3}, '
        + "{bevel_deg = 20, width = 7}, {edges = [0], t_slot = {width = 20, depth = 5}}]"
    )
    said = 'panel "a": '
    assert found.problems == [
        f"panel[0].edge[0].edges: {said}the outline has no edge 4",
        f"panel[0].edge[1].edges: {said}the edges do not follow one another",
        f'panel[0].edge[2].between: {said}no corner is named "nose"',
        f'panel[0].edge[3].opening: {said}no opening is named "eye"',
        f"panel[0].edge[4].side: {said}the stretch, 10 mm long, is shorter than its run-outs, 18 mm",
        f"panel[0].edge[5].stop: {said}stop 500 mm is beyond the stretch's end, 400 mm",
        f"panel[0].edge[6].width: {said}a bevel 7 mm wide goes 19.232 mm deep, which is more than the board has room "
        "for on the show face",
        f"panel[0].edge[7].t_slot: {said}a slot 20 mm wide leaves no board beside it",
    ]


def test_the_same_edge_asked_for_twice_on_one_rim_is_a_mistake_and_two_forms_are_warned_of(resolved: Resolve) -> None:
    edges = 'edge = [{round = 3}, {side = "top", round = 3}, {side = "left", round = 6}, {round = 3, faces = "back"}]'
    found = resolved(PANEL + edges)
    said, line = 'panel "a": edge 1 of the outline, line', HEAD.count("\n") + 5
    assert found.problems == [f"panel[0].edge[1]: {said} {line}, asks for the same on the same rim"]
    assert found.warnings == [f"panel[0].edge[2]: {said} {line}, takes the same rim too: both are cut"]


def test_edges_that_only_meet_at_a_corner_are_no_double(resolved: Resolve) -> None:
    sides = ", ".join(f'{{side = "{side}", round = 3}}' for side in ("top", "left", "bottom", "right"))
    found = resolved(PANEL + f"edge = [{sides}]")
    assert (found.problems, found.warnings) == ([], [])


def test_an_opening_drawn_wrongly_is_told_alone_though_its_rim_is_named(resolved: Resolve) -> None:
    wrong = 'opening = [{ name = "eye", size = [50, 50], radius = 25.1, at = [100, 100] }]\n'
    named = 'edge = [{ opening = "eye", round = 3 }]\ntab_free = [{ opening = "eye" }]\n'
    (problem,) = resolved(PANEL + wrong + named).problems
    assert "the radii at both ends" in problem
    both = resolved(PANEL + named).problems
    assert [one.split(": ")[-1] for one in both] == ['no opening is named "eye"'] * 2
