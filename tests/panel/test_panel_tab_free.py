"""Where a panel wants no tabs: named stretches, rims with a form, film round an edge."""

import pytest
from resolving import Resolve

PANEL = """
[[panel]]
name = "p"
stock = "mdf"
size = [300, 200]
"""


def test_a_named_side_lies_along_the_outline(resolved: Resolve) -> None:
    (one,) = resolved(f'{PANEL}tab_free = [{{ side = "right", start = 20 }}]').panel.spared
    assert (one.span, one.why) == ((320, 500), "mates")


def test_an_edge_by_number_and_one_between_corners_go_by_the_outline(resolved: Resolve) -> None:
    text = f'{PANEL}tab_free = [{{ edges = [2] }}, {{ between = ["upper left", "lower right"], why = "seen" }}]'
    spans = [(one.span, one.why) for one in resolved(text).panel.spared]
    assert spans == [((500, 800), "mates"), ((800, 1300), "seen")]


def test_a_rim_with_a_form_and_an_edge_with_film_round_it_are_spared_by_themselves(resolved: Resolve) -> None:
    text = f"""{PANEL}
edge = [{{ side = "top", t_slot = {{ width = 3, depth = 8 }} }}]
artwork = [{{ wrap = 5 }}]
[settings.artwork]
spot = "cut"
"""
    spans = [(one.span, one.why) for one in resolved(text).panel.spared]
    assert spans == [((500, 800), "form"), (None, "seen")]


def test_the_rim_of_an_opening_is_named_by_the_opening(resolved: Resolve) -> None:
    text = f"""{PANEL}
tab_free = [{{ opening = "eye" }}]
opening = [{{ name = "eye", diameter = 80, centre = [100, 100] }}]
"""
    panel = resolved(text).panel
    assert [one.contour.bounds for one in panel.spared] == [pytest.approx(panel.openings[0].contour.bounds)]


def test_what_is_nowhere_is_told_each_once(resolved: Resolve) -> None:
    text = f"""{PANEL}
recess = [
    {{ size = [40, 40], centre = [90, 90], depth = 5 }},
    {{ size = [40, 40], centre = [200, 90], depth = 5, face = "back" }},
]
tab_free = [
    {{ opening = "eye" }},
    {{ edges = [4] }},
    {{ between = ["upper left", "nose"] }},
    {{ side = "top", start = 250, stop = 310 }},
]
"""
    assert resolved(text).problems == [
        'panel[0].tab_free[0].opening: panel "p": no opening is named "eye"',
        'panel[0].tab_free[1].edges: panel "p": the outline has no edge 4',
        'panel[0].tab_free[2].between: panel "p": no corner is named "nose"',
        'panel[0].tab_free[3].stop: panel "p": stop 310 mm is beyond the stretch\'s end, 300 mm',
    ]
