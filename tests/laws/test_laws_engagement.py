"""The law of clearing: past its entries and declared slots the tool is nowhere engaged wider than allowed."""

import sys
from collections.abc import Iterator, Sequence
from math import cos, pi, sin
from pathlib import Path

import pytest
import shapely
from hypothesis import assume, example, given, settings
from hypothesis import strategies as st

sys.path.insert(0, str(Path(__file__).parents[1] / "passes"))

from engagement import XY, Engaged, Wood, engaged
from law_examples import examples

from cncpanel.geometry.contour import Contour, circle, polygon
from cncpanel.geometry.offset import Offsetter
from cncpanel.geometry.region import Region, flat, region_of
from cncpanel.geometry.segment import Segment
from cncpanel.passes.opening import Opening
from cncpanel.passes.shop import ENGAGEMENT
from cncpanel.passes.stroke import Seed

MARGIN = 1.15
ALLOWANCE = 0.3

Labelled = tuple[Sequence[XY], str]


def chords(chain: Sequence[Segment]) -> list[XY]:
    points = [(p.x, p.y) for segment in chain for p in segment.flattened(0.005)]
    return [*points, (chain[-1].end.x, chain[-1].end.y)]


def turn(centre: XY, radius: float) -> list[XY]:
    return [(centre[0] + radius * cos(i * pi / 20), centre[1] + radius * sin(i * pi / 20)) for i in range(41)]


def ways(opening: Opening) -> Iterator[Labelled]:
    """Every way in order: entries and slots by that name, links and cuts."""
    here: XY | None = None
    for stroke in opening.strokes:
        for centre, radius in stroke.circles:
            yield turn(centre, radius), "entry"
        if isinstance(stroke, Seed):
            way = chords(stroke.chain) if stroke.chain else [stroke.start, stroke.start]
            yield way, "entry"
        else:
            way = chords(stroke.chain)
            if stroke.link and here:
                yield [here, *stroke.link], "link"
            yield way, "slot" if stroke.slot else "cut"
        here = way[-1]


def opened(region: Region, diameter: float, *, climb: bool = True) -> Opening:
    radius = diameter / 2
    opening = Opening(diameter, ENGAGEMENT, climb=climb)
    for piece in Offsetter((region,)).at(-radius - ALLOWANCE):
        opening.open(piece)
    return opening


def widths(region: Region, diameter: float, *, climb: bool = True) -> list[Engaged]:
    wood = Wood(region.bounds, diameter / 2, ENGAGEMENT * diameter)
    found = engaged(ways(opened(region, diameter, climb=climb)), wood)
    return [one for one in found if one.label in ("cut", "link")]


mm = st.floats(25, 110).map(lambda x: round(x, 1))
share = st.floats(0.3, 0.7).map(lambda x: round(x, 2))
part = st.floats(0.1, 0.9).map(lambda x: round(x, 3))
DIAMETERS = (3.175, 4.0, 6.0, 8.0, 12.0)


def sizes(diameter: float, least: float, most: float) -> st.SearchStrategy[float]:
    """mm, given in tool diameters: so large are rooms that are soon measured."""
    return st.floats(least, most).map(lambda x: round(x * diameter, 2))


@st.composite
def islands(draw: st.DrawFn, w: float, h: float, radius: st.SearchStrategy[float]) -> Contour:
    """A disc, a block, a triangle or a block on its corner, anywhere in a rectangle."""
    x, y, r = draw(part) * w, draw(part) * h, draw(radius)
    kind = draw(st.sampled_from(["disc", "block", "triangle", "diamond"]))
    points = {
        "block": [(x - r, y - 0.7 * r), (x + r, y - 0.7 * r), (x + r, y + 0.7 * r), (x - r, y + 0.7 * r)],
        "triangle": [(x - r, y - r), (x + r, y - r / 2), (x, y + r)],
        "diamond": [(x - r, y), (x, y - r), (x + r, y), (x, y + r)],
    }
    return circle((x, y), r) if kind == "disc" else polygon(points[kind])


@st.composite
def recesses(draw: st.DrawFn, diameter: float) -> Region:
    """Rectangles, Ls, Ts, Us, wedges, discs and rooms joined by a neck, with islands or without."""
    wide, small = sizes(diameter, 3, 14), sizes(diameter, 0.3, 2.5)
    w, h, a, b = draw(wide), draw(wide), draw(share), draw(share)
    kind = draw(st.sampled_from(["rectangle", "L", "T", "U", "trapezium", "triangle", "neck", "disc"]))
    low, far = h * b / 2, w + draw(small)
    high = low + draw(small)
    points = {
        "rectangle": [(0, 0), (w, 0), (w, h), (0, h)],
        "L": [(0, 0), (w, 0), (w, h * b), (w * a, h * b), (w * a, h), (0, h)],
        "T": [(0, 0), (w, 0), (w, h * b), (w * 0.8, h * b), (w * 0.8, h), (w * 0.3, h), (w * 0.3, h * b), (0, h * b)],
        "U": [(0, 0), (w, 0), (w, h), (w * 0.8, h), (w * 0.8, h * b), (w * 0.3, h * b), (w * 0.3, h), (0, h)],
        "trapezium": [(0, 0), (w, 0), (w * (1 - a / 2), h), (w * a / 2, h)],
        "triangle": [(0, 0), (w, h * (b - 0.5)), (w * a, h)],
        "neck": [
            (0, 0), (w, 0), (w, low), (far, low), (far, 0), (w + far, 0), (w + far, h), (far, h),
            (far, high), (w, high), (w, h), (0, h),
        ],
    }  # fmt: skip
    assume(kind != "neck" or high < h)
    outer = circle((w / 2, w / 2), w / 2) if kind == "disc" else polygon(points[kind])
    inner = draw(st.lists(islands(w, h, small), max_size=2))
    if not inner:
        return region_of(outer)
    blocks = shapely.union_all([flat(region_of(one), 0.01) for one in inner])
    assume(flat(region_of(outer), 0.01).buffer(-0.1).contains(blocks))
    assume(shapely.get_num_geometries(blocks) == len(inner))
    return region_of(outer, inner)


def round_island(side: float, radius: float) -> Region:
    """A square with a round island in its middle."""
    square = polygon([(0, 0), (side, 0), (side, side), (0, side)])
    return region_of(square, [circle((side / 2, side / 2), radius)])


def broad_island() -> Region:
    """A loop in it has something cleared outside that lies nearer than what is cleared inside."""
    outer = polygon([(0, 0), (151.25, 0), (151.25, 166.26), (0, 166.26)])
    return region_of(outer, [polygon([(53.62, 96.18), (99.32, 96.18), (99.32, 128.17), (53.62, 128.17)])])


Box = tuple[float, float]


def islanded(size: Box, island: Sequence[Box]) -> Region:
    """A rectangle with an island."""
    w, h = size
    return region_of(polygon([(0, 0), (w, 0), (w, h), (0, h)]), [polygon(island)])


def outlined(*outline: Box) -> Region:
    """A polygon."""
    return region_of(polygon(outline))


FOUND = {
    "a slot into a piece that is left, whose far end nothing had opened": (
        6.0, islanded((84.15, 87.67), [(26.19, 50.15), (47.09, 50.15), (47.09, 64.79), (26.19, 64.79)]),
    ),
    "a core that turns round a tight arc": (
        12.0, islanded((191.99, 167.02), [(63.56, 38.9), (93.53, 38.9), (93.53, 59.88), (63.56, 59.88)]),
    ),
    "the last arcs into a sharp corner": (4.0, outlined((0, 0), (27.75, -7.16), (5.62, 61.68))),
    "arcs that lie a little too far apart in a blunt wedge": (
        3.175,
        outlined(
            (0.53, 3.79), (-8.12, 2.8), (-10.96, 1.56), (-11.22, 1.36), (-5.01, -3.45), (6.96, -3.09), (11.89, -0.54),
        ),
    ),
    "a way onto a loop that bends all along": (
        4.0, outlined((0, 0), (-53.38, 0), (-39.71, 57.7), (-13.67, 57.7)),
    ),
    "a link through a neck that is still to be slotted": (
        4.0, islanded((27.15, 59.28), [(4.7, 8.9), (16.48, 8.9), (16.48, 18.24), (4.7, 18.24)]),
    ),
}  # fmt: skip


@pytest.mark.slow
@pytest.mark.parametrize("what", FOUND)
def test_what_the_law_once_found_stays_mended(what: str) -> None:
    diameter, region = FOUND[what]
    for climb in (True, False):
        worst = max(widths(region, diameter, climb=climb), key=lambda one: one.width)
        assert worst.width <= MARGIN * ENGAGEMENT * diameter, (worst, climb)


@settings(max_examples=examples(3), deadline=None)
@example(case=(broad_island(), 12.0))
@example(case=(round_island(41.0, 4.0), 4.0))
@given(case=st.sampled_from(DIAMETERS).flatmap(lambda one: st.tuples(recesses(one), st.just(one))))
def test_clearing_never_engages_the_tool_wider_than_allowed(case: tuple[Region, float]) -> None:
    region, diameter = case
    found = widths(region, diameter)
    worst = max(found, key=lambda one: one.width, default=Engaged(0.0, (0, 0), "cut"))
    assert worst.width <= MARGIN * ENGAGEMENT * diameter, worst


def test_the_measure_sees_a_full_slot_and_a_half_one() -> None:
    wood = Wood((0, 0, 60, 30), 3.0, ENGAGEMENT * 6.0)
    slot = [one.width for one in engaged([([(5, 10), (55, 10)], "slot")], wood)][5:-5]
    half = [one.width for one in engaged([([(5, 13), (55, 13)], "cut")], wood)][5:-5]
    assert max(slot) == pytest.approx(6, rel=0.03)
    assert max(half) == pytest.approx(3, rel=0.03)
