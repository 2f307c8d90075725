"""The channel that a slot cutter comes down in: the scrap beside a finished wall, opened from its kerf outwards.

Way beside way, each a little further from the wall and cut to its full depth before the next; so each finds open ground
on its side towards the part and never more than its share of the tool's width in front of it.
"""

from collections.abc import Iterator, Sequence
from itertools import pairwise
from math import ceil

from cncpanel.geometry.ring import Ring, ring_of, ring_of_or_none
from cncpanel.geometry.segment import Segment
from cncpanel.operation.operation import SlotChannel
from cncpanel.operation.slot_way import STEP
from cncpanel.passes.draft import Draft, Title, draft
from cncpanel.passes.edge_stretch import INTO, along_the_wall, back, beside, between
from cncpanel.passes.entry import OVER_TOP, descent, zigzag
from cncpanel.passes.lead import quiet_place
from cncpanel.passes.pace import Pace, pace, stepped_over
from cncpanel.passes.shop import APPROACH, Shop
from cncpanel.passes.slot import rim_loops
from cncpanel.passes.trail import Trail

Depths = tuple[float, ...]


def slot_channel(operation: SlotChannel, title: Title, shop: Shop) -> Iterator[Draft]:
    """A run for every way; none where the first does not go along the wall."""
    depths = shop.step_depths(operation.tool, "slot", operation.depth)
    step = max(b - a for a, b in pairwise((0.0, *depths)))
    paced = pace(shop, operation.tool, step, shop.step_depths(operation.tool, "finish", operation.depth)[0])
    for distance in distances(operation):
        for way in _ways(operation, distance, shop):
            trail = (
                _down_round(way, depths, paced, shop)
                if isinstance(way, Ring)
                else _to_and_fro(way, depths, paced, shop, _left(operation))
            )
            yield draft(title, trail, paced, through=False)


def distances(operation: SlotChannel) -> tuple[float, ...]:
    """How far the centre's ways lie from the wall: from its kerf on, the last at the channel's far side."""
    radius, room = operation.tool.radius, operation.slot.room
    count = ceil((room - 2 * radius) / (STEP * operation.tool.cut_diameter) - 1e-9)
    return tuple(radius + (room - 2 * radius) * number / count for number in range(1, count + 1))


def _ways(operation: SlotChannel, distance: float, shop: Shop) -> Iterator[Ring | list[Segment]]:
    """Rings all round, or one way beside the stretch and as far past its ends as the disc comes there."""
    slot = operation.slot
    wall, stretch = ring_of(slot.contour), slot.stretch
    ends = None if stretch is None else reach(operation)
    if ends is None or ends[1] - ends[0] >= wall.length:
        for loop in rim_loops(slot, distance):
            outwards = loop if (slot.side == "outside") == (shop.direction == "climb") else loop.reversed()
            ring = ring_of_or_none(outwards)
            if ring is not None:
                yield ring
        return
    rings = tuple(ring for loop in rim_loops(slot, distance) if (ring := ring_of_or_none(loop)) is not None)
    if rings:
        middle = (ends[0] + ends[1]) / 2
        ring = along_the_wall(rings, slot, wall, middle, distance)
        a, b = (ring.nearest(beside(slot, wall, s, distance))[0] for s in ends)
        chain = between(ring, a, b)
        if chain:
            yield chain


def reach(operation: SlotChannel) -> tuple[float, float]:
    """From where to where along the wall the channel goes: the disc's width past its ways, round corners too."""
    slot = operation.slot
    assert slot.stretch is not None, "a stretch"
    past = {True: slot.half_chord + slot.apart, False: slot.clear_offset - slot.half_chord + slot.apart}
    ends = slot.stretch.open_start, slot.stretch.open_stop
    return slot.stretch.start + INTO - past[ends[0]], slot.stretch.stop - INTO + past[ends[1]]


def _left(operation: SlotChannel) -> float:
    """1 where a bend to the left, going the way the wall runs, lies with its outer side in the wood; else -1."""
    slot = operation.slot
    return 1.0 if (slot.contour.area >= 0) == (slot.side == "outside") else -1.0


def _down_round(ring: Ring, depths: Depths, paced: Pace, shop: Shop) -> Trail:
    s, left = quiet_place(ring), 1.0 if shop.direction == "climb" else -1.0
    trail = Trail(ring.point(s), APPROACH)
    trail.to_height(OVER_TOP, paced.plunge)
    for depth, (sloped, flat) in zip(depths, descent(ring.length, depths, shop.ramp_deg), strict=True):
        trail.along(ring.stretch(s, s + sloped), paced.ramp, -depth)
        stepped_over(trail, ring.stretch(s + sloped, s + sloped + flat), paced, shop, left)
        s += sloped + flat
    return trail


def _to_and_fro(chain: Sequence[Segment], depths: Depths, paced: Pace, shop: Shop, left: float) -> Trail:
    trail = Trail(chain[0].start, APPROACH)
    trail.to_height(OVER_TOP, paced.plunge)
    for depth in depths:
        zigzag(trail, chain, -depth, shop.ramp_deg, paced.ramp)
        stepped_over(trail, chain, paced, shop, left)
        chain, left = back(chain), -left
    return trail
