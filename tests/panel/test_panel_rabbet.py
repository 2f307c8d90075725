"""Rabbets by side and by edge."""

from math import pi

import pytest
from resolving import Resolve, assert_opened_exactly

PANEL = '[[panel]]\nname = "a"\nstock = "mdf"\nsize = [400, 300]\n'


@pytest.mark.parametrize(
    ("rabbet", "box"),
    [
        ('side = "bottom", start = 10, stop = 50', (10, 0, 50, 9)),
        ('side = "right", start = 10, stop = 50', (391, 10, 400, 50)),
        ('side = "top", start = 10, stop = 50', (350, 291, 390, 300)),
        ('side = "left", start = 10, stop = 50', (0, 250, 9, 290)),
        ("edge = 2, start = 10, stop = 50", (350, 291, 390, 300)),
        ('side = "left"', (0, 0, 9, 300)),
    ],
)
def test_rabbets_count_counter_clockwise_along_their_edge(
    resolved: Resolve, rabbet: str, box: tuple[float, ...]
) -> None:
    panel = resolved(PANEL + f"rabbet = [{{{rabbet}, width = 9, depth = 6}}]").panel
    assert panel.recesses[0].region.bounds == pytest.approx(box, abs=1e-9)


def test_edges_keep_their_numbers_on_a_clockwise_outline(resolved: Resolve) -> None:
    text = '[[panel]]\nname = "a"\nstock = "mdf"\noutline = [[0, 0], [0, 150], [200, 150], [200, 0]]\n'
    panel = resolved(text + "rabbet = [{edge = 0, width = 10, depth = 6, start = 5, stop = 60}]").panel
    assert panel.recesses[0].region.bounds == pytest.approx((0, 90, 10, 145), abs=1e-9)


def test_a_rabbet_follows_an_arc(resolved: Resolve) -> None:
    outline = "[[0, 0], [100, 0], {to = [100, 100], through = [150, 50]}, [0, 100]]"
    text = f'[[panel]]\nname = "a"\nstock = "mdf"\noutline = {outline}\n'
    panel = resolved(text + "rabbet = [{edge = 1, width = 10, depth = 6}]").panel
    assert panel.recesses[0].region.area == pytest.approx(pi / 2 * (50**2 - 40**2))
    assert_opened_exactly(panel)


def test_mistakes_of_rabbets_are_told(resolved: Resolve) -> None:
    rabbets = [
        "{edge = 5, width = 5, depth = 5}",
        "{edge = 0, width = 5, depth = 5, start = 100, stop = 50}",
        "{edge = 0, width = 5, depth = 5, stop = 500}",
    ]
    assert resolved(PANEL + f"rabbet = [{', '.join(rabbets)}]").problems == [
        'panel[0].rabbet[0].edge: panel "a", rabbet[0]: the outline has no edge 5',
        'panel[0].rabbet[1].start: panel "a", rabbet[1]: start 100 mm is not before its end 50 mm',
        'panel[0].rabbet[2].stop: panel "a", rabbet[2]: stop 500 mm is beyond the edge\'s end, 400 mm',
    ]
