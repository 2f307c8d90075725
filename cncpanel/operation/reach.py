"""What a round tool can reach of a region, and what it must leave: inside corners and necks."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from math import atan2, tan

from cncpanel.geometry.combine import difference
from cncpanel.geometry.contour import Contour
from cncpanel.geometry.offset import offset
from cncpanel.geometry.placement import Placement
from cncpanel.geometry.point import Point
from cncpanel.geometry.region import Region
from cncpanel.geometry.tolerance import SNUG

# mm across; thinner than this is a rounding of the kernel (0.002), not a spot. A shallow corner that a tool leaves 0.01
# deep, as much as the witness lets stand, is about a third of that across.
LEAST_SPOT = 0.003
AT_CORNER = 0.01  # mm; a spot that touches a corner drawn sharp this closely belongs to it
SHARP = 1.5e-3  # radians; a smaller jump of the direction leaves nothing that could be seen
HARDLY = 0.9  # of a region; a tool that leaves more of it does not fit into it, though it reaches a tip: own choice
NECK = 0.05  # of a tool's radius squared; what a hair's less radius reaches more of is a groove as wide as the tool
BOWED = 2.0  # what a corner between arcs may leave, as a multiple of what one between lines does: own choice


@dataclass(frozen=True, slots=True)
class Reached:
    """`shrunk` is where the tool's centre may go; `missed` what of the region it never touches."""

    shrunk: tuple[Region, ...]
    missed: tuple[Region, ...]


@dataclass(frozen=True, slots=True)
class Corner:
    """A corner drawn sharp and how far the direction jumps there, radians.

    A round tool leaves r2 (tan(turn / 2) - turn / 2) in it between straight sides: the kite from the corner to both
    touching points, less the tool's sector.
    """

    at: Point
    turn: float


def inside(region: Region, room: Region, radius: float, *, snug: bool = False) -> Reached:
    """For a tool that stays inside `room` (which holds `region`) and must clear `region`.

    Nothing is shrunk where hardly anything could be cleared: a narrow groove that runs out over the rim is open there.
    `snug`: the tool goes along a groove as wide as it is.
    """
    left, low, _, _ = room.bounds
    home, back = Placement(x=-left, y=-low), Placement(x=left, y=low)
    at_origin = _inside(_rounded(region.placed(home)), _rounded(room.placed(home)), round(radius, 9), snug)
    return Reached(tuple(r.placed(back) for r in at_origin.shrunk), tuple(r.placed(back) for r in at_origin.missed))


def outside(outline: Contour, radius: float) -> tuple[Region, ...]:
    """What a tool that goes round `outline` leaves standing in its inside corners."""
    drawn = (Region(outline.counter_clockwise),)
    grown = offset(drawn, radius)
    closed = offset(tuple(Region(piece.outer) for piece in grown), -radius)
    return _spots(difference(closed, drawn))


def slugs(region: Region, diameter: float) -> tuple[Region, ...]:
    """What comes free inside an opening when a tool of `diameter` has gone round in it; its place is not kept."""
    left, low, _, _ = region.bounds
    return _slugs(_rounded(region.placed(Placement(x=-left, y=-low))), round(diameter, 9))


@lru_cache(maxsize=4096)
def _slugs(region: Region, diameter: float) -> tuple[Region, ...]:
    return offset((region,), -diameter)


@lru_cache(maxsize=4096)
def _inside(region: Region, room: Region, radius: float, snug: bool) -> Reached:
    found = _reached(region, room, radius)
    if snug and found.missed:
        closer = _reached(region, room, radius - SNUG)
        if total_area(found.missed) - total_area(closer.missed) > NECK * radius**2:
            found = closer
    return Reached((), (region,)) if total_area(found.missed) > HARDLY * region.area else found


def _reached(region: Region, room: Region, radius: float) -> Reached:
    shrunk = offset((room,), -radius)
    return Reached(shrunk, _spots(difference((region,), offset(shrunk, radius))) if shrunk else (region,))


def total_area(regions: Sequence[Region]) -> float:
    """Of all of them together, mm2."""
    return sum(region.area for region in regions)


def _spots(regions: Sequence[Region]) -> tuple[Region, ...]:
    return tuple(region for region in regions if _across(region) > LEAST_SPOT)


def _across(region: Region) -> float:
    """About the width of a thin region: twice its area over its rim."""
    return 2 * region.area / max(region.outer.length, 1e-12)


def _rounded(region: Region) -> Region:
    """Equal shapes at different places become equal keys."""
    contours = [
        Contour(tuple(v._replace(x=round(v.x, 9), y=round(v.y, 9), bulge=round(v.bulge, 12)) for v in c.vertices))
        for c in region.contours
    ]
    return Region(contours[0], tuple(contours[1:]))


def sharp_corners(region: Region) -> list[Corner]:
    """Inside corners of the region that are drawn without a radius; its contours have it on their left."""
    found = []
    for contour in region.contours:
        segments = contour.segments
        for before, after in zip(segments[-1:] + segments[:-1], segments, strict=True):
            turn = _turn(before.end_direction, after.start_direction)
            if turn > SHARP:
                found.append(Corner(after.start, turn))
    return found


def notches(outline: Contour) -> list[Corner]:
    """Corners that an outline drawn without radii has towards its inside: inside corners for a tool outside it."""
    return sharp_corners(Region(outline.counter_clockwise.reversed()))


def _turn(before: Point, after: Point) -> float:
    return atan2(before.cross(after), before.dot(after))


def avoidable_area(missed: Sequence[Region], corners: Sequence[Corner], radius: float) -> float:
    """The area of the spots that no sharp corner explains: too far from any, or too large for a tool of `radius`."""
    return sum(region.area for region in missed if region.area > _explained(region, corners, radius))


def _explained(region: Region, corners: Sequence[Corner], radius: float) -> float:
    left, low, right, high = region.bounds
    touched = [
        corner
        for corner in corners
        if left - AT_CORNER <= corner.at.x <= right + AT_CORNER and low - AT_CORNER <= corner.at.y <= high + AT_CORNER
    ]
    return BOWED * sum(radius * radius * (tan(corner.turn / 2) - corner.turn / 2) for corner in touched)
