"""The last passes of all: through the skin that has kept the parts in the sheet, round each part once.

The kerf is cut already, so the tool comes down in it to just over the skin and goes through on a slope along its way.
"""

from collections.abc import Iterator
from dataclasses import replace
from itertools import pairwise

from cncpanel.operation.operation import Profile
from cncpanel.passes.draft import Draft, Title, draft
from cncpanel.passes.entry import OVER_TOP, slope_length
from cncpanel.passes.lead import overlap, quiet_place
from cncpanel.passes.pace import plain_pace
from cncpanel.passes.profile import Track
from cncpanel.passes.shop import APPROACH, Shop
from cncpanel.passes.trail import Trail


def through_skin(operation: Profile, way: Track, title: Title, shop: Shop) -> Iterator[Draft]:
    """A run for each finished ring of an outline that stands on a skin; none where there is no skin."""
    if shop.skin is None or operation.side != "outside":
        return
    floor, bottom = shop.outline_depth, -shop.bottom
    steps = shop.step_depths(operation.tool, "slot", bottom - floor)
    step = max(b - a for a, b in pairwise((0.0, *steps)))
    speed = plain_pace(shop.cut(operation.tool, "slot", step, operation.tool.cut_diameter), shop)
    for ring in way.finish:
        s = quiet_place(ring)
        trail = Trail(ring.point(s), APPROACH)
        trail.to_height(OVER_TOP - floor, speed.plunge)
        end = s
        for one in steps:
            sloped = slope_length(trail.z + floor + one, shop.ramp_deg)
            trail.along(ring.stretch(end, end + sloped), speed.ramp, -(floor + one))
            trail.along(ring.stretch(end + sloped, end + sloped + ring.length), speed.slot)
            end += sloped + ring.length
        trail.along(ring.stretch(end, end + overlap(ring, operation.tool.radius)), speed.slot)
        last = replace(title, kind="skin", feature=f"{title.feature} skin")
        yield draft(last, trail, speed, through=True, frees=True)
