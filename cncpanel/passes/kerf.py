"""A blind kerf in the scrap beside a wall: round by round down a slope, or to and fro along a stretch."""

from collections.abc import Iterator
from itertools import pairwise

from cncpanel.geometry.contour import Contour
from cncpanel.geometry.offset import offset
from cncpanel.geometry.region import region_of
from cncpanel.geometry.ring import Ring, ring_of, rings_of
from cncpanel.geometry.segment import Segment
from cncpanel.operation.operation import SideKerf
from cncpanel.passes.draft import Draft, Title, draft
from cncpanel.passes.edge_stretch import INTO, along_the_wall, back, beside, between, straight
from cncpanel.passes.entry import OVER_TOP, rounds_down, zigzag
from cncpanel.passes.lead import quiet_place
from cncpanel.passes.pace import Pace, plain_pace
from cncpanel.passes.shop import APPROACH, Shop
from cncpanel.passes.trail import Trail

Depths = tuple[float, ...]


def side_kerf(operation: SideKerf, title: Title, shop: Shop) -> Iterator[Draft]:
    """The runs of one kerf; none where its tool does not go along the wall."""
    depths = shop.step_depths(operation.tool, "slot", operation.depth)
    step = max(b - a for a, b in pairwise((0.0, *depths)))
    pace = plain_pace(shop.cut(operation.tool, "slot", step, operation.tool.cut_diameter), shop)
    rings = rings_of(_loops(operation))
    if operation.edge.stretch is None:
        trails = [_round(ring, depths, pace, shop) for ring in rings]
    else:
        trails = [_to_and_fro(_chain(operation, rings), depths, pace, shop)] if rings else []
    for trail in trails:
        yield draft(title, trail, pace, through=False)


def _loops(operation: SideKerf) -> Iterator[Contour]:
    """Where the centre goes, in climb direction."""
    edge, radius = operation.edge, operation.tool.radius
    outside = edge.side == "outside"
    for region in offset((region_of(edge.contour.counter_clockwise),), radius if outside else -radius):
        yield from (loop.reversed() if outside else loop for loop in region.contours)


def _round(ring: Ring, depths: Depths, pace: Pace, shop: Shop) -> Trail:
    s = quiet_place(ring)
    trail = Trail(ring.point(s), APPROACH)
    trail.to_height(OVER_TOP, pace.plunge)
    rounds_down(trail, ring, s, depths, shop.ramp_deg, (pace.ramp, pace.slot))
    return trail


def _chain(operation: SideKerf, rings: tuple[Ring, ...]) -> list[Segment]:
    """The centre's way along the stretch, straight on past corners that are run off."""
    edge, radius, stretch = operation.edge, operation.tool.radius, operation.edge.stretch
    assert stretch is not None, "a stretch"
    wall, first, last = ring_of(edge.contour), stretch.start + INTO, stretch.stop - INTO
    ring = along_the_wall(rings, edge, wall, (first + last) / 2, radius)
    a, b = (ring.nearest(beside(edge, wall, s, radius))[0] for s in (first, last))
    past = operation.past
    onto = straight(edge, wall, first, radius, -past, ring.point(a)) if stretch.open_start else []
    off = back(straight(edge, wall, last, radius, past, ring.point(b))) if stretch.open_stop else []
    return [*onto, *between(ring, a, b), *off]


def _to_and_fro(chain: list[Segment], depths: Depths, pace: Pace, shop: Shop) -> Trail:
    trail = Trail(chain[0].start, APPROACH)
    trail.to_height(OVER_TOP, pace.plunge)
    for depth in depths:
        zigzag(trail, chain, -depth, shop.ramp_deg, pace.ramp)
        trail.along(chain, pace.slot)
        chain = back(chain)
    return trail
