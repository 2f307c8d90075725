"""Rings, slots and necks as wide as the tool, and a hair wider or narrower: few clean ways, found in good time."""

import sys
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parents[1] / "passes"))

from law_examples import no_longer_than
from passes_bench import QUADS, shop, shop_router, swept, tool

from cncpanel.geometry.contour import Contour, Vertex, circle, polygon
from cncpanel.geometry.region import Region, flat, region_of
from cncpanel.operation.operation import Clear
from cncpanel.passes.clear import clear
from cncpanel.passes.draft import Draft, Title

DEPTH = 7
GUARD = 20  # s; what ends at all ends in a tenth of one
MOST_STEPS = {
    "ring": 60,
    "slot": 60,
    "bow": 60,
    "neck": 1200,
}  # the chambers' corners take most; crumbs tens of thousands
SNUG = 0.004  # mm on each side that a tool may be too wide
AWAY = 0.012  # mm off the drawing: SNUG, PATH and the check's chords
HAIRS = (-0.004, -0.001, -0.0005, 0.0, 0.0005, 0.001, 0.002, 0.004, 0.02)


def ring(width: float) -> Region:
    return region_of(circle((0, 0), 18), [circle((0, 0), 18 - width)])


def slot(width: float) -> Region:
    return region_of(polygon([(0, 0), (70, 0), (70, width), (0, width)]))


def bow(width: float) -> Region:
    """Half a ring with straight ends."""
    inner = 30 - width
    places = [(30.0, 0.0, 1.0), (-30.0, 0.0, 0.0), (-30.0, -25.0, 0.0), (-inner, -25.0, 0.0), (-inner, 0.0, -1.0)]
    places += [(inner, 0.0, 0.0), (inner, -25.0, 0.0), (30.0, -25.0, 0.0)]
    return region_of(Contour(tuple(Vertex(*place) for place in places)))


def neck(width: float) -> Region:
    """Two chambers and a straight way between them."""
    low, high = 20 - width / 2, 20 + width / 2
    there = [(0, 0), (40, 0), (40, low), (60, low), (60, 0), (100, 0)]
    back = [(100, 40), (60, 40), (60, high), (40, high), (40, 40), (0, 40)]
    return region_of(polygon([*there, *back]))


def made(region: Region, number: int) -> tuple[Draft, ...]:
    used = tool(number)
    operation = Clear(panel="p", feature="recess", region=region, open_region=region, depth=DEPTH, tool=used)
    with no_longer_than(GUARD):
        return clear(operation, Title("recess", "p", "recess", used), shop(shop_router()))


def cases() -> Iterator[object]:
    for shape in (ring, slot, bow, neck):
        for number in (1, 4):
            for hair in HAIRS:
                quick = number == 1 and hair in ((0.0,) if shape is neck else (-0.001, 0.0, 0.001))
                marks = [] if quick else [pytest.mark.slow]
                yield pytest.param(shape, number, hair, marks=marks, id=f"{shape.__name__} tool {number} {hair:+}")


@pytest.mark.parametrize(("shape", "number", "hair"), list(cases()))
def test_what_is_as_wide_as_the_tool_is_cut_in_few_ways(
    shape: Callable[[float], Region], number: int, hair: float
) -> None:
    width = tool(number).cut_diameter
    region = shape(width + hair)
    drafts = made(region, number)
    assert 0 < sum(len(draft.run.steps) for draft in drafts) < MOST_STEPS[shape.__name__]
    cut, drawn = swept((draft.run for draft in drafts), -DEPTH), flat(region, 0.0005)
    assert cut.difference(drawn.buffer(AWAY)).is_empty
    reach = width / 2 - SNUG - 0.001
    reachable = drawn.buffer(-reach, quad_segs=QUADS).buffer(reach, quad_segs=QUADS)
    assert reachable.difference(cut.buffer(0.02)).area == pytest.approx(0, abs=0.02)


@pytest.mark.parametrize("shape", [ring, slot, bow])
@pytest.mark.parametrize("hair", [-0.01, -0.0081, -0.05])
def test_what_is_narrower_than_the_tool_is_not_cut(shape: Callable[[float], Region], hair: float) -> None:
    assert made(shape(6 + hair), 1) == ()
