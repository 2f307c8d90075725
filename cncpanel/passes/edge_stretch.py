"""An edge along part of a rim: level by level, rising out on the rim or running straight off at a corner."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from math import floor, hypot, sqrt
from typing import Literal, Protocol

from cncpanel.geometry.contour import Contour
from cncpanel.geometry.point import Point
from cncpanel.geometry.ring import SHORT, Ring, ring_of, rings_of
from cncpanel.geometry.segment import Segment
from cncpanel.operation.edge_layer import PAST_CORNER, Layer, blunt, radius_over_tip
from cncpanel.operation.operation import EdgeCut
from cncpanel.panel.edge import Stretch
from cncpanel.passes.draft import Draft, Title, draft
from cncpanel.passes.entry import OVER_TOP, zigzag
from cncpanel.passes.pace import Pace
from cncpanel.passes.shop import APPROACH, Shop
from cncpanel.passes.trail import Trail

INTO = 1e-4  # mm from a corner, on the stretch's side of it
ROUNDS, SAMPLES = 4, 60  # of the search for where a taper begins: it settles at once
SPARE = 0.4  # mm more: the witness looks at slopes in pieces
IN_KERF = 0.1  # mm that the tool's end keeps off the kerf's far wall


class OnRim(Protocol):
    """What goes along a rim, on the side where no material of the part is; the contour as it was drawn."""

    @property
    def side(self) -> Literal["outside", "inside"]:
        """Of the contour."""

    @property
    def contour(self) -> Contour:
        """The finished wall."""


Loops = Callable[[float], tuple[Contour, ...]]
Chain = list[Segment]


@dataclass(frozen=True, slots=True, kw_only=True)
class _Pieces:
    """A level's way: `enter` and `leave` are sloped, or run off straight where `enter_open` or `leave_open`."""

    enter: Chain
    middle: Chain
    leave: Chain
    enter_open: bool
    leave_open: bool

    def reversed(self) -> "_Pieces":
        """Run the other way."""
        return _Pieces(
            enter=back(self.leave),
            middle=back(self.middle),
            leave=back(self.enter),
            enter_open=self.leave_open,
            leave_open=self.enter_open,
        )


def along_stretch(operation: EdgeCut, loops: Loops, title: Title, pace: Pace, shop: Shop) -> Iterator[Draft]:
    """A run for every level; none where the tool does not go along the rim."""
    assert operation.stretch is not None
    for layer in operation.layers:
        pieces = _pieces(operation, operation.stretch, rings_of(loops(layer.offset)), layer)
        if pieces is None:
            return
        last = layer is operation.layers[-1] or operation.in_steps
        if climbs_back(operation) == ((shop.finish_direction if last else shop.direction) == "climb"):
            pieces = pieces.reversed()
        feed = pace.finish if last else pace.slot
        trail = _run(pieces, operation, layer, pace, feed=feed, ramp_deg=shop.ramp_deg)
        yield draft(title, trail, pace, through=False)


def climbs_back(operation: OnRim) -> bool:
    """Whether climb runs against the contour: round the outside it is clockwise."""
    return (operation.side == "outside") == (operation.contour.area > 0)


def _pieces(operation: EdgeCut, stretch: Stretch, rings: Sequence[Ring], layer: Layer) -> _Pieces | None:
    """The level's way in the contour's direction."""
    if not rings:
        return None
    wall = ring_of(operation.contour)
    first, last = stretch.start + INTO, stretch.stop - INTO
    ring = along_the_wall(rings, operation, wall, (first + last) / 2, layer.offset)
    taper_in = 0.0 if stretch.open_start else stretch.run_out
    taper_out = 0.0 if stretch.open_stop else stretch.run_out
    ahead = _ahead(operation, layer, stretch.run_out)
    begin, end = (first + ahead if taper_in else first), (last - ahead if taper_out else last)
    places = (begin, first + taper_in, last - taper_out, end)
    a, b, c, d = (ring.nearest(beside(operation, wall, s, layer.offset))[0] for s in places)
    past = _past(operation, layer)
    onto = straight(operation, wall, first, layer.offset, -past, ring.point(b)) if stretch.open_start else None
    off = straight(operation, wall, last, layer.offset, past, ring.point(c)) if stretch.open_stop else None
    return _Pieces(
        enter=between(ring, a, b) if onto is None else onto,
        middle=between(ring, b, c),
        leave=between(ring, c, d) if off is None else back(off),
        enter_open=stretch.open_start,
        leave_open=stretch.open_stop,
    )


def straight(operation: EdgeCut, wall: Ring, s: float, distance: float, past: float, onto: Point) -> Chain:
    """From `past` mm beyond the corner at `s` along its wall's line onto the ring, which may begin further in."""
    corner = beside(operation, wall, s, distance)
    begin = corner.plus(wall.direction(s).times(past))
    return [Segment(a, b) for a, b in ((begin, corner), (corner, onto)) if a.distance(b) > SHORT]


def beside(operation: OnRim, wall: Ring, s: float, distance: float) -> Point:
    """`distance` mm from the wall at the place `s`, into the scrap."""
    side = 1.0 if (operation.side == "inside") == (operation.contour.area > 0) else -1.0
    return wall.point(s).plus(wall.direction(s).left.times(side * distance))


def along_the_wall(rings: Sequence[Ring], operation: OnRim, wall: Ring, s: float, distance: float) -> Ring:
    """The ring that passes there, run the way the contour runs."""
    point = beside(operation, wall, s, distance)
    ring = min(rings, key=lambda one: one.nearest(point)[1])
    if ring.direction(ring.nearest(point)[0]).dot(wall.direction(s)) >= 0:
        return ring
    return ring.reversed()


def between(ring: Ring, first: float, last: float) -> Chain:
    """From one place of the ring on to the other; nothing where they are one."""
    way = (last - first) % ring.length
    return ring.stretch(first, first + way) if SHORT < way < ring.length - SHORT else []


def _past(operation: EdgeCut, layer: Layer) -> float:
    """How far past a corner the tool comes down: its end within the kerf round that corner."""
    room = max(operation.kerf - blunt(operation.tool) - IN_KERF, 0.0)
    return min(sqrt(max(room * room - layer.offset * layer.offset, 0.0)), max(layer.offset, PAST_CORNER))


def _ahead(operation: EdgeCut, layer: Layer, run_out: float) -> float:
    """How far the disc would cut ahead of its centre while it tapers over `run_out`: its way begins so much later.

    A ball and a cone meet the face with a breadth that grows faster at first than their centre goes on: a cone's on its
    first hundredths of a mm, so places lie closer there.
    """
    low, ahead = _raised(operation, layer), 0.0
    for _ in range(ROUNDS):
        drop = (low - layer.z) / (run_out - ahead)
        ways = [(run_out - ahead) * (number / SAMPLES) ** 2 for number in range(1, SAMPLES + 1)]
        ahead = max(0.0, *(_half_chord(operation, layer, low - drop * way) - way for way in ways))
    return ahead + SPARE if ahead > 0 else 0.0


def _half_chord(operation: EdgeCut, layer: Layer, z: float) -> float:
    """How far along the rim the disc at the face reaches into the part with the tip at `z`."""
    wide, off = radius_over_tip(operation.tool, -z), max(layer.offset, 0.0)
    return sqrt(max(wide * wide - off * off, 0.0))


def back(chain: Sequence[Segment]) -> Chain:
    return [segment.reversed() for segment in reversed(chain)]


def _run(pieces: _Pieces, operation: EdgeCut, layer: Layer, pace: Pace, *, feed: float, ramp_deg: float) -> Trail:
    """In, along, out; the tool comes down in the kerf, to its depth at a corner, else to where the slope begins.

    At the corner of a kerf that is narrower than its end it goes down to and fro along the stretch.
    """
    raised = _raised(operation, layer)
    flat = [*pieces.enter, *pieces.middle]
    trail = Trail([*flat, *pieces.leave][0].start, APPROACH)
    trail.to_height(OVER_TOP, pace.plunge)
    if not pieces.enter_open:
        trail.to_height(raised, pace.plunge)
    elif flat and not _fits(operation, layer):
        zigzag(trail, flat, layer.z, ramp_deg, pace.ramp)
    else:
        trail.to_height(layer.z, pace.plunge)
    trail.along(pieces.enter, slope_feed(pace.ramp, pieces.enter, layer.z - trail.z, pace), layer.z)
    trail.along(pieces.middle, feed)
    end = layer.z if pieces.leave_open else raised
    trail.along(pieces.leave, slope_feed(feed, pieces.leave, end - trail.z, pace), end)
    return trail


def slope_feed(feed: float, chain: Sequence[Segment], rise: float, pace: Pace) -> float:
    """The feed, or what of it brings Z up or down at no more than its own highest."""
    length = hypot(sum(segment.length for segment in chain), rise)
    return min(feed, floor(pace.rise * length / abs(rise))) if abs(rise) > SHORT else feed


def _raised(operation: EdgeCut, layer: Layer) -> float:
    """Where the form has just left the face; over the sheet where the tool's end is wider than the kerf."""
    return min(layer.z + operation.form.depth, OVER_TOP) if _fits(operation, layer) else OVER_TOP


def _fits(operation: EdgeCut, layer: Layer) -> bool:
    """Whether the tool's end lies within the kerf."""
    return layer.offset + blunt(operation.tool) <= operation.kerf + SHORT
