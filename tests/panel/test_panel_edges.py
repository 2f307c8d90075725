"""Rims: at the bench, or not made yet."""

from resolving import Resolve

PANEL = '[[panel]]\nname = "a"\nstock = "mdf"\nsize = [400, 300]\n'


def test_rims_at_the_bench_are_listed_there_and_the_others_as_not_made(resolved: Resolve) -> None:
    panel = resolved(
        PANEL + 'edge = [{round = 3, bench = true, faces = "both"}, {side = "top", bevel_deg = 9.46, faces = "back"}]'
    ).panel
    assert panel.bench == ("all edges: round 3 mm on both faces",)
    assert panel.unmade == (
        "edge[1]: top edge: bevel 9.46 deg on the back face: that rim is cut after the panel is turned over",
    )


def test_a_rounding_wider_than_the_thinnest_board_is_told(resolved: Resolve) -> None:
    found = resolved(PANEL + 'edge = [{round = 9, faces = "both", bench = true}, {round = 17, bench = true}]')
    text = "rounding 9 mm is more than the board has room for on both faces"
    assert found.problems == [f'panel[0].edge[0].round: panel "a": {text}']
