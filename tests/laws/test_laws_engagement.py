"""The law of clearing: past its entries and declared slots the tool is nowhere engaged wider than allowed."""

import sys
from collections.abc import Iterator, Sequence
from math import cos, pi, sin
from pathlib import Path

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

sys.path.insert(0, str(Path(__file__).parents[1] / "passes"))

from engagement import XY, Engaged, Wood, engaged
from law_examples import examples

from cncpanel.geometry.contour import circle, polygon
from cncpanel.geometry.offset import Offsetter
from cncpanel.geometry.region import Region, region_of
from cncpanel.geometry.segment import Segment
from cncpanel.passes.opening import Opening, Seed
from cncpanel.passes.shop import ENGAGEMENT

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


@st.composite
def recesses(draw: st.DrawFn) -> Region:
    """Rectangles, Ls, Ts and wedges, with an island or without."""
    w, h, a, b = draw(mm), draw(mm), draw(share), draw(share)
    kind = draw(st.sampled_from(["rectangle", "L", "T", "trapezium"]))
    points = {
        "rectangle": [(0, 0), (w, 0), (w, h), (0, h)],
        "L": [(0, 0), (w, 0), (w, h * b), (w * a, h * b), (w * a, h), (0, h)],
        "T": [(0, 0), (w, 0), (w, h * b), (w * 0.8, h * b), (w * 0.8, h), (w * 0.3, h), (w * 0.3, h * b), (0, h * b)],
        "trapezium": [(0, 0), (w, 0), (w * (1 - a / 2), h), (w * a / 2, h)],
    }[kind]
    low = min(w * (a if kind == "L" else 1), h * (b if kind in "LT" else 1))
    if not draw(st.booleans()) or kind == "T" or low < 30:
        return region_of(polygon(points))
    return region_of(polygon(points), [circle((low / 2, low / 2), draw(st.floats(4, low / 2 - 10)))])


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
@example(region=broad_island(), diameter=12.0)
@example(region=round_island(41.0, 4.0), diameter=4.0)
@given(region=recesses(), diameter=st.sampled_from([3.175, 4.0, 6.0, 8.0, 12.0]))
def test_clearing_never_engages_the_tool_wider_than_allowed(region: Region, diameter: float) -> None:
    found = widths(region, diameter)
    worst = max(found, key=lambda one: one.width, default=Engaged(0.0, (0, 0), "cut"))
    assert worst.width <= MARGIN * ENGAGEMENT * diameter, worst


def test_the_measure_sees_a_full_slot_and_a_half_one() -> None:
    wood = Wood((0, 0, 60, 30), 3.0, ENGAGEMENT * 6.0)
    slot = [one.width for one in engaged([([(5, 10), (55, 10)], "slot")], wood)][5:-5]
    half = [one.width for one in engaged([([(5, 13), (55, 13)], "cut")], wood)][5:-5]
    assert max(slot) == pytest.approx(6, rel=0.03)
    assert max(half) == pytest.approx(3, rel=0.03)
