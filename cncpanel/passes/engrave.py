"""Shallow strokes: down at the start of each, along it, up at its end."""

from collections.abc import Iterator, Sequence

from cncpanel.geometry.ring import SHORT
from cncpanel.geometry.segment import Segment
from cncpanel.operation.operation import Engrave
from cncpanel.passes.draft import Draft, Title, draft
from cncpanel.passes.entry import OVER_TOP, zigzag
from cncpanel.passes.pace import Pace, plain_pace
from cncpanel.passes.shop import APPROACH, Shop
from cncpanel.passes.trail import Trail


def engrave(operation: Engrave, title: Title, shop: Shop) -> Iterator[Draft]:
    """A run for each stroke; a flat tool comes down a slope along the stroke, a pointed one straight."""
    tool = operation.tool
    depths = shop.step_depths(tool, "mark", operation.depth)
    pace = plain_pace(shop.cut(tool, "mark", depths[0], tool.cut_diameter), shop)
    for stroke in operation.strokes:
        chain = [segment for segment in stroke.segments if segment.length > SHORT]
        if not chain:
            continue
        trail = Trail(chain[0].start, APPROACH)
        trail.to_height(OVER_TOP, pace.plunge)
        for number, depth in enumerate(depths):
            way = chain if number % 2 == 0 else [s.reversed() for s in reversed(chain)]
            _down(trail, way, -depth, pace, shop.ramp_deg, straight=not tool.is_flat)
            trail.along(way, pace.slot)
        yield draft(title, trail, pace, through=False)


def _down(trail: Trail, way: Sequence[Segment], z: float, pace: Pace, ramp_deg: float, *, straight: bool) -> None:
    if straight:
        trail.to_height(z, pace.plunge)
    else:
        zigzag(trail, way, z, ramp_deg, pace.ramp)
