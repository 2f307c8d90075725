"""Along a finished rim with a form tool or a ball: rounds or bevels the wall's upper corner.

All round, a form tool comes down a slope beside the wall in roughing passes, and its last light pass meets the wall and
leaves it on flat arcs; each goes the way that it goes along walls. A ball goes round level by level, from the face
down, the way of a last pass. Along a stretch every level is a run of its own: it rises out where the stretch ends on
the rim, and runs straight off where it ends at a corner.
"""

from collections.abc import Iterator, Sequence

from cncpanel.geometry.contour import Contour
from cncpanel.geometry.offset import offset
from cncpanel.geometry.region import Region, region_of
from cncpanel.geometry.ring import Ring, rings_of
from cncpanel.operation.edge_layer import Layer
from cncpanel.operation.edge_section import sections
from cncpanel.operation.operation import EdgeCut
from cncpanel.operation.reach import inside, outside
from cncpanel.passes.draft import Draft, Title, draft
from cncpanel.passes.edge_stretch import along_stretch, slope_feed
from cncpanel.passes.entry import OVER_TOP, ramp_round, slope_length
from cncpanel.passes.lead import Glide, glide, quiet_place
from cncpanel.passes.pace import Pace
from cncpanel.passes.shop import APPROACH, Direction, Shop
from cncpanel.passes.trail import Trail

LEAST_DEEP = 0.1  # mm; what a level is reckoned deep at least, so that its width is a width
LEAST_WIDE = 0.01  # mm; the same for a level that takes nothing


def edge(operation: EdgeCut, title: Title, shop: Shop) -> Iterator[Draft]:
    """The runs of one edge; none where the tool does not go along the rim."""
    pace = edge_pace(operation, shop)
    if operation.stretch is not None:
        yield from along_stretch(operation, lambda distance: loops(operation, distance), title, pace, shop)
    elif operation.in_steps:
        yield from _stairs(operation, title, pace, shop)
    else:
        yield from _formed(operation, title, pace, shop)


def edge_pace(operation: EdgeCut, shop: Shop) -> Pace:
    """`slot` for the levels that take most, `finish` for the last; a ball's levels are all finishing ones."""
    taken = sections(operation.layers, operation.tool, operation.form.width, operation.kerf)
    sized = [_deep_and_wide(operation, layer, much) for layer, much in zip(operation.layers, taken, strict=True)]
    heavy = max(sized, key=lambda size: size[0] * size[1])
    last = heavy if operation.in_steps else sized[-1]
    rpm = min(shop.data(operation.tool, "edge", *size).rpm for size in (heavy, last))
    rough, light = (shop.cut(operation.tool, "edge", *size, rpm) for size in (heavy, last))
    return Pace(
        rpm=rpm,
        slot=rough.feed,
        clear=rough.feed,
        finish=light.feed,
        ramp=rough.ramp_feed,
        plunge=rough.plunge_feed,
        rise=shop.machine.motion.feed_z_max,
    )


def _deep_and_wide(operation: EdgeCut, layer: Layer, section: float) -> tuple[float, float]:
    """A level as a depth and a mean width, whose product is its section."""
    deep = max(min(-layer.z, operation.form.depth), LEAST_DEEP)
    return deep, max(section / deep, LEAST_WIDE)


def loops(operation: EdgeCut, distance: float) -> tuple[Contour, ...]:
    """Where the centre goes, `distance` mm from the wall as its own tool has left it; a region's own turning."""
    region = region_of(operation.contour.counter_clockwise)
    sign = 1.0 if operation.side == "outside" else -1.0
    wall: tuple[Region, ...] = (region,)
    if _has_tight_corners(operation, region):
        wall = offset(wall, sign * operation.wall_radius)
        distance -= operation.wall_radius
    return tuple(loop for one in offset(wall, sign * distance) for loop in one.contours)


def _has_tight_corners(operation: EdgeCut, region: Region) -> bool:
    """Whether the wall's tool has left its own radius in an inside corner: the edge follows that, not the drawing."""
    if operation.side == "outside":
        return bool(outside(region.outer, operation.wall_radius))
    return bool(inside(region, region, operation.wall_radius).missed)


def _rings(operation: EdgeCut, distance: float, direction: Direction) -> tuple[Ring, ...]:
    """The loops there; climb goes clockwise round material, counter-clockwise in an opening."""
    found = loops(operation, distance)
    as_they_are = (operation.side == "inside") == (direction == "climb")
    return rings_of(found if as_they_are else (loop.reversed() for loop in found))


# -- a form tool, all round ---------------------------------------------------------------------------------


def _formed(operation: EdgeCut, title: Title, pace: Pace, shop: Shop) -> Iterator[Draft]:
    *rough, last = operation.layers
    finish = _rings(operation, last.offset, shop.finish_direction)
    beside = _rings(operation, rough[0].offset, shop.direction) if rough else ()
    for ring in finish:
        if len(beside) == len(finish):
            aside = min(beside, key=lambda one: one.nearest(ring.point(0.0))[1])
            trail = _beside(ring, aside, operation, pace, shop)
        else:
            trail = _on_the_wall(ring, operation, pace, shop)
        yield draft(title, trail, pace, through=False)


def _beside(ring: Ring, aside: Ring, operation: EdgeCut, pace: Pace, shop: Shop) -> Trail:
    """Roughing beside the finished wall, then the light round on it."""
    *rough, last = operation.layers
    way = glide(ring, aside, operation.tool.radius)
    s = (way.rough_s - slope_length(OVER_TOP - rough[-1].z, shop.ramp_deg)) % aside.length
    trail = Trail(aside.point(s), APPROACH)
    trail.to_height(OVER_TOP, pace.plunge)
    for layer in rough:
        s = _round(trail, aside, s, layer.z, pace.slot, pace, shop)
    _last_round(trail, ring, way, last, pace)
    return trail


def _last_round(trail: Trail, ring: Ring, way: Glide, last: Layer, pace: Pace) -> None:
    """Down on the arc that leads onto the wall, round and a little past, and off on an arc."""
    trail.straight(way.meet, pace.finish)
    trail.along(way.onto, slope_feed(pace.finish, way.onto, last.z - trail.z, pace), last.z)
    trail.along(ring.stretch(way.finish_s, way.finish_end), pace.finish)
    trail.along(way.off, pace.finish)


def _on_the_wall(ring: Ring, operation: EdgeCut, pace: Pace, shop: Shop) -> Trail:
    """All levels on the finished wall: where its corners leave no even room beside it."""
    s = quiet_place(ring)
    trail = Trail(ring.point(s), APPROACH)
    trail.to_height(OVER_TOP, pace.plunge)
    *rough, last = operation.layers
    way = ring if shop.direction == shop.finish_direction else ring.reversed()
    s = way.nearest(ring.point(s))[0] if way is not ring else s
    for layer in rough:
        s = _round(trail, way, s, layer.z, pace.slot, pace, shop)
    s = ring.nearest(trail.point)[0] if way is not ring else s
    _round(trail, ring, s, last.z, pace.finish, pace, shop)
    return trail


def _round(trail: Trail, ring: Ring, s: float, z: float, feed: float, pace: Pace, shop: Shop) -> float:
    """Down a slope from `s` and once round; where that ended."""
    s = ramp_round(trail, ring, s, z, shop.ramp_deg, pace.ramp)
    trail.along(ring.stretch(s, s + ring.length), feed)
    return s


# -- a ball, all round --------------------------------------------------------------------------------------


def _stairs(operation: EdgeCut, title: Title, pace: Pace, shop: Shop) -> Iterator[Draft]:
    """One run where every level is one loop; else a run for every loop of every level."""
    levels = [_rings(operation, layer.offset, shop.finish_direction) for layer in operation.layers]
    if any(not rings for rings in levels):
        return
    if all(len(rings) == 1 for rings in levels):
        steps = [(rings[0], layer) for rings, layer in zip(levels, operation.layers, strict=True)]
        yield draft(title, _stair(steps, pace, shop), pace, through=False)
        return
    for rings, layer in zip(levels, operation.layers, strict=True):
        for ring in rings:
            yield draft(title, _stair([(ring, layer)], pace, shop), pace, through=False)


def _stair(steps: Sequence[tuple[Ring, Layer]], pace: Pace, shop: Shop) -> Trail:
    """Round each level; outward to the next, whose slope down lies along its own loop."""
    first = steps[0][0]
    trail = Trail(first.point(quiet_place(first)), APPROACH)
    trail.to_height(OVER_TOP, pace.plunge)
    for ring, layer in steps:
        s = ring.nearest(trail.point)[0]
        trail.straight(ring.point(s), pace.slot)
        _round(trail, ring, s, layer.z, pace.finish, pace, shop)
    return trail
