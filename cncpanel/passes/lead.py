"""How a path meets and leaves the finished wall: on an arc that touches it, on the scrap's side."""

from dataclasses import dataclass
from math import asin, sqrt, tan

from cncpanel.geometry.area import Area
from cncpanel.geometry.point import Point
from cncpanel.geometry.ring import SHORT, Ring
from cncpanel.geometry.segment import Segment
from cncpanel.passes.entry import circle_from, helix
from cncpanel.passes.pace import Pace
from cncpanel.passes.trail import Trail

CIRCLE_RADII = (0.9, 0.6, 0.3)  # of the tool's radius; up to 1 no core stays standing in the circle
SLACK = 0.01  # mm; the circle's sweep touches the wall, flattening makes it seem to enter
STEEPEST = 0.5  # radians between a flat lead and the wall; beyond it the lead is not worth its name
STRAIGHT = 1e-9  # sine; an arc that turns by less is a line but for rounding


@dataclass(frozen=True, slots=True)
class Circle:
    """A small circle beside the ring at `s`, touching it, run the way the ring runs; all of it in scrap."""

    s: float
    touch: Point
    centre: Point
    clockwise: bool

    def down(self, trail: Trail, z: float, ramp_deg: float, feed: float) -> None:
        """Round it down to `z`, ending where it touches the ring."""
        helix(trail, self.centre, z, ramp_deg, feed, clockwise=self.clockwise)

    def flat(self, trail: Trail, feed: float) -> None:
        """Once round at one height, so that nothing of the slope stays standing."""
        trail.along(circle_from(trail.point, self.centre, clockwise=self.clockwise), feed)

    def leave(self, trail: Trail, ring: Ring, s: float, feed: float) -> None:
        """A quarter of such a circle away from the ring at `s`."""
        inward = ring.direction(s).left.times(-1.0 if self.clockwise else 1.0)
        centre = trail.point.plus(inward.times(self.touch.distance(self.centre)))
        trail.along([circle_from(trail.point, centre, clockwise=self.clockwise)[0].part(0.0, 0.5)], feed)


def circle_beside(ring: Ring, tool_radius: float, scrap: Area) -> Circle | None:
    """The widest circle that fits into the scrap at the middle of a segment, longest segments first; or None."""
    order = sorted(range(len(ring.segments)), key=lambda i: (-round(ring.segments[i].length, 6), i))
    middles = [(ring.start_of(index) + ring.ends[index]) / 2 for index in order]
    found = (circle_at(ring, s, share, tool_radius, scrap) for share in CIRCLE_RADII for s in middles)
    return next(filter(None, found), None)


def circle_at(ring: Ring, s: float, share: float, tool_radius: float, scrap: Area) -> Circle | None:
    """A circle of that share of the tool's radius at `s`, to the one side or to the other, if it fits."""
    for clockwise in (False, True):
        if _fits(ring, s, share * tool_radius, tool_radius, scrap, clockwise=clockwise):
            centre = _centre(ring, s, share * tool_radius, clockwise=clockwise)
            return Circle(s, ring.point(s), centre, clockwise)
    return None


def overlap(ring: Ring, tool_radius: float) -> float:
    """How far a last round goes on past its start, mm."""
    return min(tool_radius / 2, ring.length / 8)


def _fits(ring: Ring, s: float, radius: float, tool_radius: float, scrap: Area, *, clockwise: bool) -> bool:
    """Whether the circle is free, and the one further on where the path leaves."""
    places = (s, s + overlap(ring, tool_radius))
    return all(
        scrap.holds_disc(_centre(ring, place, radius, clockwise=clockwise), radius + tool_radius - SLACK)
        for place in places
    )


def _centre(ring: Ring, s: float, radius: float, *, clockwise: bool) -> Point:
    aside = ring.direction(s).left.times(-radius if clockwise else radius)
    return ring.point(s).plus(aside)


@dataclass(frozen=True, slots=True, kw_only=True)
class Glide:
    """From the rough ring onto the finish ring and off again: `meet` lies on the rough ring at `rough_s`."""

    rough_s: float
    meet: Point
    onto: tuple[Segment, ...]
    finish_s: float
    finish_end: float
    off: tuple[Segment, ...]

    def cut(self, trail: Trail, finish: Ring, z: float, pace: Pace, tool_radius: float) -> None:
        """The finish round at `z`, begun from inside the kerf and left into it."""
        feed = pace.finish
        trail.straight(self.meet, feed)
        trail.to_height(z, pace.rise if z > trail.z else pace.plunge)
        trail.along(self.onto, feed)
        for segment, slower in pace.along_wall(finish.stretch(self.finish_s, self.finish_end), tool_radius):
            trail.along([segment], slower)
        trail.along(self.off, feed)


def glide(finish: Ring, rough: Ring, tool_radius: float) -> Glide:
    """Flat arcs between the two rings at the finish ring's longest segment, inside the kerf of both."""
    return glide_at(finish, rough, quiet_place(finish), tool_radius)


def glide_at(finish: Ring, rough: Ring, s: float, tool_radius: float) -> Glide:
    """The same where the finish ring is met at `s`."""
    length = finish.segments[finish.index_at(s)].length
    end = s + min(overlap(finish, tool_radius), length / 10)
    aside = rough.nearest(finish.point(s))[1]
    reach = min(sqrt(4 * tool_radius * aside), length / 3)
    rough_s, _ = rough.nearest(finish.point(s - reach))
    leaving, _ = rough.nearest(finish.point(end + reach))
    onto = touching(finish.point(s), finish.direction(s).times(-1.0), rough.point(rough_s))
    off = touching(finish.point(end), finish.direction(end), rough.point(leaving))
    return Glide(
        rough_s=rough_s,
        meet=rough.point(rough_s),
        onto=tuple(segment.reversed() for segment in onto),
        finish_s=s,
        finish_end=end + finish.length,
        off=onto and off,
    )


def touching(touch: Point, direction: Point, end: Point) -> tuple[Segment, ...]:
    """The arc from `touch`, leaving it along `direction`, to `end`; a line where that would turn far."""
    chord = end.minus(touch)
    if chord.norm <= SHORT:
        return ()
    sine = direction.cross(chord.unit)
    if not STRAIGHT < abs(sine) < STEEPEST or direction.dot(chord) <= 0:
        return (Segment(touch, end),)
    return (Segment(touch, end, tan(asin(sine) / 2)),)


def quiet_place(ring: Ring) -> float:
    """The middle of the longest segment: away from corners."""
    index = _longest(ring)
    return (ring.start_of(index) + ring.ends[index]) / 2


def _longest(ring: Ring) -> int:
    return min(range(len(ring.segments)), key=lambda i: (-round(ring.segments[i].length, 6), i))
