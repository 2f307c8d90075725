"""Lines over a plate with a window: what lies beside what is cut is a step, what lies over the window is a slot."""

from itertools import pairwise

import pytest
import shapely

from cncpanel.geometry.contour import polygon
from cncpanel.geometry.region import flat, region_of
from cncpanel.passes.raster import STEP, Raster
from cncpanel.passes.stroke import Seed, Stroke

DIAMETER = 6.0
PLATE = polygon([(0, 0), (80, 0), (80, 41), (0, 41)])
WINDOW = polygon([(30, 15), (50, 15), (50, 25), (30, 25)])
HOLED = region_of(PLATE, [WINDOW])


def bare(raster: Raster) -> list[tuple[float, float, float]]:
    """The level pieces cut as slots: y, from, to."""
    chains = [one.chain for one in raster.strokes if isinstance(one, Stroke) and one.slot]
    level = [part for chain in chains for part in chain if part.start.y == part.end.y]
    return sorted((part.start.y, *sorted((part.start.x, part.end.x))) for part in level)


def test_a_plain_rectangle_has_one_slot_and_lines_a_step_apart() -> None:
    raster = Raster(region_of(PLATE, []), DIAMETER)
    seeds = [one for one in raster.strokes if isinstance(one, Seed)]
    assert raster.strokes[0] == seeds[0]
    assert len(seeds) == 1
    assert bare(raster) == []
    rows = sorted({part.end.y for one in raster.strokes for part in one.chain})
    assert max(b - a for a, b in pairwise(rows)) <= STEP * DIAMETER
    assert (rows[0], rows[-1]) == pytest.approx((0, 41), abs=0.03)
    assert raster.end is not None
    assert raster.end.x in (0.0, 80.0)


def test_the_first_line_past_a_window_is_a_slot_over_it_and_nowhere_else() -> None:
    """Whichever side is cut first, one full line beyond the window has neighbours at 0..30 and 50..80 only."""
    raster = Raster(HOLED, DIAMETER)
    over = bare(raster)
    assert [(begin, end) for _, begin, end in over] == [(pytest.approx(30, abs=0.1), pytest.approx(50, abs=0.1))]
    assert not 15 < over[0][0] < 25


def test_the_lines_clear_the_region_but_for_its_rim() -> None:
    raster = Raster(HOLED, DIAMETER)
    left = flat(HOLED, 0.01).difference(raster.cleared.shape)
    assert left.buffer(-STEP * DIAMETER / 2).is_empty
    swept = shapely.union_all([shapely.LineString([p.start, p.end]) for s in raster.strokes for p in s.chain])
    assert flat(HOLED, 0.01).buffer(0.01).covers(swept)


def test_a_region_shorter_than_two_diameters_is_left_to_the_loops() -> None:
    raster = Raster(region_of(polygon([(0, 0), (11.9, 0), (11.9, 30), (0, 30)]), []), DIAMETER)
    assert raster.strokes == []
    assert raster.end is None
    assert Raster(region_of(polygon([(0, 0), (12.1, 0), (12.1, 30), (0, 30)]), []), DIAMETER).strokes
