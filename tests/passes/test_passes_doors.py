"""Where else a closed pass may be entered."""

import pytest
import shapely
import shapely.affinity
from passes_bench import STOCK, made, plan, polygon_of, swept

from cncpanel.geometry.contour import polygon
from cncpanel.geometry.point import Point
from cncpanel.geometry.ring import ring_of
from cncpanel.passes.doors import FROM_CORNER, FROM_TAB, places

SQUARE = polygon([(0, 0), (300, 0), (300, 200), (0, 200)])
DEEP = -STOCK.thinnest - 0.1


@pytest.fixture(scope="module")
def alone():
    return made([(0, 200.0, 150.0)], [plan(0, SQUARE)])


def test_every_door_leaves_the_same_wall_and_the_same_tabs(alone):
    (run,) = (run for run in alone.runs if run.entries)
    part = polygon_of(SQUARE)
    assert len(run.entries.doors) > 4
    for number in range(len(run.entries.doors)):
        cut = swept([run.entries.run(number)], DEEP)
        placed = shapely.affinity.translate(part, 200.0, 150.0)
        assert cut.intersection(placed).area < 0.05
        ring = placed.buffer(0.05).exterior
        kept = ring.difference(cut).length
        assert kept == pytest.approx(ring.difference(swept([run], DEEP)).length, abs=0.5)


def test_doors_keep_off_corners_and_tabs(alone):
    (run,) = (run for run in alone.runs if run.entries)
    diameter = run.tool.cut_diameter
    corners = [Point(200 + x, 150 + y) for x in (0, 300) for y in (0, 200)]
    for number in range(len(run.entries.doors)):
        met = run.entries.closed.met(run.entries.ways[number])
        assert min(met.distance(corner) for corner in corners) >= FROM_CORNER * diameter
        assert min(met.distance(tab.centre) for tab in alone.tabs) >= FROM_TAB * diameter


def test_a_short_wall_has_no_door_and_a_long_one_several():
    ring = ring_of(SQUARE)
    assert len(places(ring, 6.0)) == 2 * 3 + 2 * 2
    assert places(ring_of(polygon([(0, 0), (20, 0), (20, 20), (0, 20)])), 6.0) == []
