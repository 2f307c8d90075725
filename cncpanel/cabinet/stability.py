"""Whether it stays upright: tip angles in every direction, doors open and drawers out, and what it takes to tip it."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import chain, combinations
from math import atan2, ceil, cos, degrees, hypot, inf, radians, sin

from cncpanel.cabinet.finding import Finding, Verdict
from cncpanel.cabinet.fit_path import hinge, panel_box
from cncpanel.cabinet.mass import Weight, together, weights
from cncpanel.cabinet.piece import Piece
from cncpanel.cabinet.scene import Scene
from cncpanel.cabinet.space import Vector

TIPS_AT = 10.0  # degrees
TIP_SOURCE = "IEC 60335-1 cl. 20.1: a plane tilted 10 degrees, doors open or shut; designed towards, not a certificate"
LIFT = 23.0  # kg
LIFT_SOURCE = "NIOSH ideal-case maximum, 51 lb"
GRAVITY = 9.81  # m/s2
LEAN_HEIGHT = 1500.0  # mm; a visitor leans or pushes there
LEAST_LEAN = 200.0  # N; common practice, no source
LEAST_PRESS = 400.0  # N down on the deck's front edge; 400-600 is a load test's habit, no source
ASKEW = 0.09  # the sine of 5 degrees: what is less askew is told as straight
MOST_SUBSETS = 6  # movers of which every combination is looked at
Spot = tuple[float, float]
_DIRECTIONS = ("forward", "back", "to the visitor's left", "to the visitor's right")


@dataclass(frozen=True, slots=True, kw_only=True)
class Tipping:
    """The smallest tilt at which the cabinet goes over, which way, and in what state."""

    angle_deg: float
    direction: str
    state: str


def feet(scene: Scene) -> list[tuple[float, float]]:
    """Where it stands, x and y: its feet, or the corners of the sides' lower edge."""
    cabinet = scene.assembly.cabinet
    if cabinet.feet:
        return [(x, y) for x, y in cabinet.feet]
    lowest = min(corner.to[1] for corner in cabinet.profile)
    ys = [corner.to[0] for corner in cabinet.profile if corner.to[1] <= lowest + 1.0]
    half = cabinet.width / 2
    return [(x, y) for x in (-half, half) for y in (min(ys), max(ys))]


def tipping(scene: Scene, found: Sequence[Weight], state: str = "shut") -> tuple[Tipping, ...]:
    """The tilt at which it goes over, over each line between two outer feet that follow one another.

    A box's four feet give forward, back and to both sides; three feet, or feet askew, lines between those too.
    """
    _, middle = together(found)
    height = middle.z + scene.ground
    found_ones = [
        Tipping(angle_deg=degrees(atan2(arm, height)), direction=direction, state=state)
        for arm, direction in _arms(feet(scene), (middle.x, middle.y))
    ]
    order = (*_DIRECTIONS, *(one.direction for one in found_ones))
    return tuple(sorted(found_ones, key=lambda one: order.index(one.direction)))


def _arms(spots: Sequence[Spot], middle: Spot) -> Iterator[tuple[float, str]]:
    """How far inside each edge of the feet's outline the middle lies (negative: outside), and which way it faces."""
    ring = _outline(spots)
    for (ax, ay), (bx, by) in zip(ring, (*ring[1:], ring[0]), strict=True):
        length = hypot(bx - ax, by - ay)
        if length > 0:
            out = (by - ay) / length, (ax - bx) / length
            yield (ax - middle[0]) * out[0] + (ay - middle[1]) * out[1], _said(*out)


def _outline(spots: Sequence[Spot]) -> list[Spot]:
    """The feet's convex outline, counter-clockwise seen from above (x right, y up)."""
    ring: list[Spot] = []
    for row in (sorted(set(spots)), sorted(set(spots), reverse=True)):
        half: list[Spot] = []
        for x, y in row:
            while len(half) > 1 and _left(half[-2], half[-1], (x, y)) <= 0:
                half.pop()
            half.append((x, y))
        ring += half[:-1]
    return ring


def _left(a: Spot, b: Spot, c: Spot) -> float:
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])


def _said(x: float, y: float) -> str:
    """A direction in words: one of four, or between two of them."""
    forth, aside = _DIRECTIONS[0 if y > 0 else 1], _DIRECTIONS[2 if x > 0 else 3]
    if abs(x) < ASKEW:
        return forth
    return aside if abs(y) < ASKEW else f"{forth} and {aside}"


def states(scene: Scene, found: tuple[Weight, ...]) -> Iterator[tuple[str, tuple[Weight, ...]]]:
    """All shut, and every set of doors open and drawers out, with what weighs something.

    Of more movers than MOST_SUBSETS: each by itself, and all that draw the middle the same way, forward, back, aside.
    """
    yield "shut", found
    movers = tuple(piece for piece in scene.assembly.pieces if scene.position(piece.index).opens is not None)
    sets: Iterable[tuple[Piece, ...]] = chain(*(combinations(movers, n + 1) for n in range(len(movers))))
    if len(movers) > MOST_SUBSETS:
        sets = (*((piece,) for piece in movers), *_pulling_together(scene, movers, found))
    for open_ones in sets:
        moved = found
        for piece in open_ones:
            moved = tuple(_opened(scene, piece, w) if w.index == piece.index else w for w in moved)
        yield " and ".join(f"{piece.label} open" for piece in open_ones), moved


def _pulling_together(
    scene: Scene, movers: tuple[Piece, ...], found: tuple[Weight, ...]
) -> Iterator[tuple[Piece, ...]]:
    """The movers that draw the whole's middle forward, those that draw it back, left, right."""
    pulls = {}
    for piece in movers:
        own = [(weight, _opened(scene, piece, weight)) for weight in found if weight.index == piece.index]
        x = sum(weight.mass * (moved.middle.x - weight.middle.x) for weight, moved in own)
        y = sum(weight.mass * (moved.middle.y - weight.middle.y) for weight, moved in own)
        pulls[piece] = x, y
    for axis, sign in ((1, 1), (1, -1), (0, 1), (0, -1)):
        together_ones = tuple(piece for piece in movers if sign * pulls[piece][axis] > 0)
        if len(together_ones) > 1:
            yield together_ones


def _opened(scene: Scene, piece: Piece, weight: Weight) -> Weight:
    opens = scene.position(piece.index).opens
    assert opens is not None
    if opens.slides is not None:
        return replace(weight, middle=weight.middle.plus(piece.frame.out.scaled(opens.slides)))
    axis, about = hinge(piece, opens, panel_box(scene, piece))
    return replace(weight, middle=about.plus(_turned(weight.middle.minus(about), axis, radians(opens.turn_deg))))


def _turned(arm: Vector, axis: Vector, angle: float) -> Vector:
    """Rodrigues' formula."""
    along = axis.scaled(axis.dot(arm) * (1 - cos(angle)))
    return arm.scaled(cos(angle)).plus(axis.cross(arm).scaled(sin(angle))).plus(along)


def stability_findings(scene: Scene) -> Iterator[Finding]:
    """Masses, lifting, tipping, pushing and pulling."""
    found = weights(scene)
    place = scene.read.file.place(("cabinet",))
    mass, middle = together(found)
    wood = sum(weight.mass for weight in found if weight.wood)
    floor = scene.assembly.cabinet.floor
    text = (
        f"{mass:.1f} kg, {wood:.1f} of it wood; its middle at x {middle.x:.0f}, y {middle.y:.0f}, "
        f"{middle.z + floor:.0f} above the floor"
    )
    yield Finding(check="mass", verdict="ok", text=text, place=place)
    yield from _lifting(scene, found, mass)
    if scene.assembly.cabinet.site.use == "wall":
        return
    yield from _tips(scene, found)
    yield from _forces(scene, mass, middle)


def _lifting(scene: Scene, found: Sequence[Weight], mass: float) -> Iterator[Finding]:
    place = scene.read.file.place(("cabinet",))
    heaviest = max((w for w in found if w.wood), key=lambda weight: weight.mass, default=None)
    if heaviest is not None:
        people = ceil(heaviest.mass / LIFT)
        said = f'the heaviest part, "{heaviest.label}", is {heaviest.mass:.1f} kg: {people} to lift it'
        verdict: Verdict = "ok" if people == 1 else "look"
        yield Finding(check="lifting", verdict=verdict, text=said, place=place, source=LIFT_SOURCE)
    people = ceil(mass / LIFT)
    text = f"the whole, {mass:.1f} kg, takes {people} {'person' if people == 1 else 'people'} at {LIFT:g} kg each"
    if people > 2:
        text += ", or a truck, or its loads out first"
    yield Finding(check="lifting", verdict="ok", text=text, place=place, source=LIFT_SOURCE)


def _tips(scene: Scene, weighed: tuple[Weight, ...]) -> Iterator[Finding]:
    place = scene.read.file.place(("cabinet", "feet"))
    by_state = [tipping(scene, found, state) for state, found in states(scene, weighed)]
    shut = ", ".join(f"{one.direction} {one.angle_deg:.1f}" for one in by_state[0])
    worst = min(chain(*by_state), key=lambda one: one.angle_deg)
    said = f"it tips {worst.direction} at {worst.angle_deg:.1f} degrees, {worst.state}; shut: {shut}"
    if worst.angle_deg >= TIPS_AT:
        yield Finding(check="tipping", verdict="ok", text=said, place=place, source=TIP_SOURCE)
    else:
        text = f"{said}: {TIPS_AT:g} are needed: feet further out, or weight lower or further back"
        yield Finding(check="tipping", verdict="fails", text=text, place=place, source=TIP_SOURCE)


def _forces(scene: Scene, mass: float, middle: Vector) -> Iterator[Finding]:
    """What a push or a pull has to be to lift feet off the floor: F h = m g d."""
    ys = [y for _, y in feet(scene)]
    floor = scene.ground
    place = scene.read.file.place(("cabinet", "feet"))
    front, back = (mass * GRAVITY * arm for arm in (max(ys) - middle.y, middle.y - min(ys)))
    site = scene.assembly.cabinet.site
    tallest = max(corner.to[1] for corner in scene.assembly.cabinet.profile) + floor
    at = min(LEAN_HEIGHT, tallest)
    push = back / at
    text = f"a push back at {at:.0f} above what it stands on lifts it at {push:.0f} N"
    weak = push < LEAST_LEAN and site.use != "table"
    tail = ": fix it to the wall or the floor where it stands unattended" if weak else ""
    verdict: Verdict = "look" if weak else "ok"
    source = "F h = m g d; the limit is common practice"
    yield Finding(check="push", verdict=verdict, text=text + tail, place=place, source=source)
    deck = deck_edge(scene)
    if deck is None or site.use == "table":
        return
    pull = front / (deck.z + floor)
    text = f"a pull at the deck, {deck.z + floor:.0f} above the floor, lifts its back feet at {pull:.0f} N"
    yield Finding(check="pull", verdict="ok", text=text, place=place, source=source)
    beyond = deck.y - max(ys)
    press = front / beyond if beyond > 0 else inf
    if press < inf:
        text = f"a weight on the deck's front edge, {beyond:.0f} before the feet, lifts its back feet at {press:.0f} N"
        if press >= LEAST_PRESS:
            yield Finding(check="press", verdict="ok", text=text, place=place, source=source)
        else:
            yield Finding(
                check="press", verdict="fails", text=f"{text}: {LEAST_PRESS:g} or more", place=place, source=source
            )


def deck_edge(scene: Scene) -> Vector | None:
    """The front edge, on its outer face, of the panel that carries most of the controls; None without controls."""
    counts: dict[int, int] = {}
    for one in scene.fitted:
        if one.part.kind in ("button", "stick", "trackball"):
            counts[one.index] = counts.get(one.index, 0) + len(one.fitting.at) * (3 if one.part.kind != "button" else 1)
    if not counts:
        return None
    index = max(counts, key=lambda n: counts[n])
    standing = scene.assembly.standing(index)
    if standing is None:
        return None
    front = max(standing.corners[:2], key=lambda corner: corner.x)
    return Vector(0.0, front.x, front.y)
