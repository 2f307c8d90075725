"""A slot into a finished wall: down in the channel clear of it, sideways in, along, sideways out, then up.

A run for every height of the disc. It goes in and out straight, at a feed that takes as much as along the wall:
head on it cuts with all the chord that it has in the wall.
"""

from collections.abc import Iterator, Sequence

from cncpanel.geometry.area import Area
from cncpanel.geometry.contour import Contour
from cncpanel.geometry.offset import offset
from cncpanel.geometry.point import Point
from cncpanel.geometry.region import region_of
from cncpanel.geometry.ring import Ring, ring_of, rings_of
from cncpanel.geometry.segment import Segment
from cncpanel.operation.operation import SlotCut
from cncpanel.passes.draft import Draft, Title, draft
from cncpanel.passes.edge_stretch import INTO, along_the_wall, back, beside, between, climbs_back
from cncpanel.passes.pace import Pace
from cncpanel.passes.shop import APPROACH, Shop
from cncpanel.passes.trail import Trail

LAP = 0.5  # mm that a slot all round goes on past its start
GRAZE = 0.02  # mm; chords decide no finer
LEAST_SHARE = 0.1  # of the feed, about the middle of an inside corner

Chain = list[Segment]


def rim_slot(operation: SlotCut, title: Title, body: Area, shop: Shop) -> Iterator[Draft]:
    """The runs of one slot; none where the disc does not go along, or comes down nowhere clear of the part."""
    chain = _all_round(operation, body) if operation.stretch is None else _along(operation)
    if not chain:
        return
    pace = slot_pace(operation, shop)
    if climbs_back(operation) != (shop.direction == "conventional"):
        chain = back(chain)
    out = operation.clear_offset - operation.offset
    ends = [_off(operation, place, out) for place in (chain[0].start, chain[-1].end)]
    if any(body.distance(end) < operation.clear_offset - GRAZE for end in ends):
        return
    for level in operation.levels:
        trail = Trail(ends[0], APPROACH)
        trail.to_height(-level, pace.plunge)
        trail.straight(chain[0].start, pace.ramp)
        for segment in chain:
            trail.along([segment], _slower(operation, segment, pace.slot, shop))
        trail.straight(ends[1], pace.slot)
        yield draft(title, trail, pace, through=False)


def slot_pace(operation: SlotCut, shop: Shop) -> Pace:
    """`slot` along the wall, at the radial width of its depth; `ramp` straight into it, at that of its chord there."""
    tool, thick = operation.tool, min(operation.tool.cutting_length, operation.width)
    widths = operation.into, min(2 * operation.half_chord, tool.cut_diameter)
    rpm = min(shop.data(tool, "profile", thick, width).rpm for width in widths)
    along, head_on = (shop.cut(tool, "profile", thick, width, rpm) for width in widths)
    return Pace(
        rpm=rpm,
        slot=along.feed,
        clear=along.feed,
        finish=along.feed,
        ramp=min(along.feed, head_on.feed),
        plunge=along.plunge_feed,
        rise=shop.machine.motion.feed_z_max,
    )


def rim_loops(operation: SlotCut, distance: float) -> tuple[Contour, ...]:
    """Where a centre goes `distance` mm from the wall, in the scrap; counter-clockwise round what they enclose."""
    sign = 1.0 if operation.side == "outside" else -1.0
    regions = offset((region_of(operation.contour.counter_clockwise),), sign * distance)
    return tuple(loop for region in regions for loop in region.contours)


def _all_round(operation: SlotCut, body: Area) -> Chain:
    """Once round and a little more, from the first middle of a segment where the disc comes down clear of the part."""
    rings = rings_of(rim_loops(operation, operation.offset))
    if len(rings) != 1:
        return []
    ring = _as_drawn(rings[0], operation)
    order = sorted(range(len(ring.segments)), key=lambda i: (-round(ring.segments[i].length, 6), i))
    out = operation.clear_offset - operation.offset
    for index in order:
        s = (ring.start_of(index) + ring.ends[index]) / 2
        places = _off(operation, ring.point(s), out), _off(operation, ring.point(s + LAP), out)
        if all(body.distance(place) >= operation.clear_offset - GRAZE for place in places):
            return ring.stretch(s, s + ring.length + LAP)
    return []


def _as_drawn(ring: Ring, operation: SlotCut) -> Ring:
    """Run the way the contour runs."""
    wall = ring_of(operation.contour)
    s = wall.nearest(ring.point(0.0))[0]
    return along_the_wall([ring], operation, wall, s, operation.offset)


def _along(operation: SlotCut) -> Chain:
    """From end to end of the stretch, within it where an end lies on the rim."""
    stretch, wall, rings = (
        operation.stretch,
        ring_of(operation.contour),
        rings_of(rim_loops(operation, operation.offset)),
    )
    if stretch is None or not rings:
        return []
    first = stretch.start + (INTO if stretch.open_start else operation.half_chord)
    last = stretch.stop - (INTO if stretch.open_stop else operation.half_chord)
    ring = along_the_wall(rings, operation, wall, (first + last) / 2, operation.offset)
    a, b = (ring.nearest(beside(operation, wall, s, operation.offset))[0] for s in (first, last))
    return between(ring, a, b)


def _off(operation: SlotCut, place: Point, out: float) -> Point:
    """`out` mm straight away from the wall, from a place beside it."""
    wall = ring_of(operation.contour)
    s, distance = wall.nearest(place)
    away = place.minus(wall.point(s)).times(1 / distance) if distance > 0 else wall.direction(s).left
    return place.plus(away.times(out))


def _slower(operation: SlotCut, segment: Segment, feed: float, shop: Shop) -> float:
    """In an inside corner the rim of the disc goes further than its centre: there the centre goes slower."""
    part_on_right = shop.direction == "climb"
    if not segment.is_arc or (segment.bulge > 0) != part_on_right:
        return feed
    radius = segment.centre.distance(segment.start)
    return feed * max(min(radius / (radius + operation.offset + operation.into / 2), 1.0), LEAST_SHARE)


def slot_ways(drafts: Sequence[Draft], operation: SlotCut) -> list[list[Segment]]:
    """The ways of each run under the face, those of the deepest height alone."""
    return [chain for one in drafts for chain in one.chains_at(-operation.depth)]
