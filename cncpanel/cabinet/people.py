"""Whom it suits: reach, deck height, the sight line to the screen, knee space."""

from collections.abc import Iterator, Sequence
from itertools import combinations

from cncpanel.cabinet.cell import Cell
from cncpanel.cabinet.doorway import size
from cncpanel.cabinet.finding import Finding, Verdict
from cncpanel.cabinet.fit_services import spots
from cncpanel.cabinet.scene import Scene
from cncpanel.cabinet.stability import deck_edge
from cncpanel.cabinet.standing import Standing
from cncpanel.cabinet.stature import MIDDLE, SEATED_EYE, SHOES, STATURES
from cncpanel.cabinet.stature import SOURCE as STATURE_SOURCE
from cncpanel.geometry.point import Point

NOTE = "designed towards, not a certificate"
REACH = (380.0, 1220.0)
REACH_SOURCE = f"ADA 308.2.1 and EN 301 549 8.3.3, unobstructed forward reach; {NOTE}"
DECK = (850.0, 1000.0)
DECK_SOURCE = "light work 50-100 below the elbow; elbows from stature tables after Pheasant 1996; common practice"
KNEE = ((685.0, 205.0), (230.0, 280.0))  # height above the floor, depth there
KNEE_WIDTH = 760.0
KNEE_SOURCE = f"ADA 306.3; {NOTE}"
CANE = (100.0, 685.0)  # mm out from the wall, lower edge above the floor
CANE_SOURCE = f"ADA 307, from memory; {NOTE}"
TOUCHED = ("button", "stick", "trackball", "coin door", "lock")
CLEAR = 1.0  # mm by which a sight line must miss what it grazes


def people_findings(scene: Scene) -> Iterator[Finding]:
    """All of them; a panel on a wall or a table is judged where it hangs or stands: see `floor`."""
    yield from _reach(scene)
    site = scene.assembly.cabinet.site
    if site.use == "standing":
        yield from _deck(scene)
    if site.use == "wall":
        yield from _cane(scene)
    yield from _sight(scene)
    if site.wheelchair or site.use == "seated":
        yield from _knees(scene)


def _reach(scene: Scene) -> Iterator[Finding]:
    """What hands work, above the floor."""
    floor = scene.assembly.cabinet.floor
    heights = [
        (spot.z + floor, one)
        for one in scene.fitted
        if one.part.kind in TOUCHED and one.part.kind != "lock"
        for spot in spots(one, scene)
    ]
    low, high = REACH
    beyond = [(z, one) for z, one in heights if not low <= z <= high]
    for z, one in beyond:
        text = f"{one.label} is {z:.0f} above the floor, outside {low:g} to {high:g}: move it"
        yield Finding(check="reach", verdict="fails", text=text, place=one.place, source=REACH_SOURCE)
    if heights and not beyond:
        first, last = min(z for z, _ in heights), max(z for z, _ in heights)
        text = f"everything that hands work is {first:.0f} to {last:.0f} above the floor, within {low:g} to {high:g}"
        place = scene.read.file.place(("cabinet",))
        yield Finding(check="reach", verdict="ok", text=text, place=place, source=REACH_SOURCE)


def _deck(scene: Scene) -> Iterator[Finding]:
    edge = deck_edge(scene)
    if edge is None:
        return
    height = edge.z + scene.assembly.cabinet.floor
    low, high = DECK
    suits = [one.who for one in STATURES if height - 150 <= one.elbow + SHOES <= height + 350]
    said = f"the deck's front edge is {height:.0f} above the floor"
    place = scene.read.file.place(("cabinet", "profile"))
    if low <= height <= high:
        text = f"{said}, within {low:g} to {high:g}; elbows of {len(suits)} of {len(STATURES)} groups are near it"
        yield Finding(check="deck", verdict="ok", text=text, place=place, source=DECK_SOURCE)
    else:
        text = f"{said}, outside {low:g} to {high:g} for standing work"
        yield Finding(check="deck", verdict="look", text=text, place=place, source=DECK_SOURCE)


def _cane(scene: Scene) -> Iterator[Finding]:
    """Whether a blind visitor's cane finds what hangs on the wall."""
    cabinet = scene.assembly.cabinet
    _, out, _ = size(scene)
    most, lowest = CANE
    place = scene.read.file.place(("cabinet", "floor"))
    said = f"it stands {out:.0f} out from the wall, its lower edge {cabinet.floor:.0f} above the floor"
    if out <= most or cabinet.floor <= lowest:
        yield Finding(check="cane", verdict="ok", text=said, place=place, source=CANE_SOURCE)
    else:
        text = f"{said}: {most:g} out at most where it hangs over {lowest:g}, or a niche, or something below it"
        yield Finding(check="cane", verdict="look", text=text, place=place, source=CANE_SOURCE)


def _sight(scene: Scene) -> Iterator[Finding]:
    """From the eyes of each group to the top and the bottom of every screen's opening."""
    for one in scene.fitted:
        standing = scene.assembly.standing(one.index)
        if one.part.kind != "screen" or one.part.visible is None or standing is None:
            continue
        middle = standing.low + one.fitting.at[0][1]
        half = one.part.visible[1] / 2 if one.part.opening is None else one.part.opening[1] / 2
        ends = (standing.line.at(middle + half), standing.line.at(middle - half))
        found = [blocked for who, eye in eyes(scene) if (blocked := _blocked(scene, standing, who, eye, ends))]
        for who, text in found:
            verdict: Verdict = "fails" if who in MIDDLE else "look"
            yield Finding(check="sight", verdict=verdict, text=text, place=one.place, source=STATURE_SOURCE)
        if not found:
            text = f"{one.label} is seen whole by all groups, {scene.assembly.cabinet.site.eye:g} before the cabinet"
            yield Finding(check="sight", verdict="ok", text=text, place=one.place, source=STATURE_SOURCE)


def eyes(scene: Scene) -> Iterator[tuple[str, Point]]:
    """Each group's eyes in the section."""
    cabinet = scene.assembly.cabinet
    y = max(corner.to[0] for corner in cabinet.profile) + cabinet.site.eye
    if cabinet.site.use in ("seated", "table"):
        for height in SEATED_EYE:
            yield f"seated, eyes at {height:.0f}", Point(y, height - cabinet.floor)
        return
    for one in STATURES:
        yield one.who, Point(y, one.eye + SHOES - cabinet.floor)


def _blocked(scene: Scene, screen: Standing, who: str, eye: Point, ends: tuple[Point, Point]) -> tuple[str, str] | None:
    """The group and a sentence where some panel hides an end of the screen."""
    for said, target in zip(("top", "bottom"), ends, strict=True):
        for other in scene.assembly.standings:
            if other.index == screen.index:
                continue
            cut = hidden(eye, target, other.corners)
            if cut is not None:
                floor = scene.assembly.cabinet.floor
                text = (
                    f'{who}, eyes {eye.y + floor:.0f} above the floor: "{other.name}" hides the {said} of it; the '
                    f'line passes y {cut[0].x:.0f} at {cut[0].y:.0f}, {cut[1]:.0f} mm into it: change "{other.name}"'
                )
                return who, text
    return None


def hidden(eye: Point, target: Point, corners: tuple[Point, ...]) -> tuple[Point, float] | None:
    """Where the line from the eye enters a convex section, and by how much its nearest corner reaches over it."""
    way = target.minus(eye)
    across = way.unit.left
    sides = [corner.minus(eye).dot(across) for corner in corners]
    if min(sides) > -CLEAR or max(sides) < CLEAR:
        return None
    cuts = []
    for (a, da), (b, db) in zip(zip(corners, sides, strict=True), _next(corners, sides), strict=True):
        if (da > 0) != (db > 0):
            cuts.append(a.plus(b.minus(a).times(da / (da - db))))
    ways = [cut.minus(eye).dot(way.unit) for cut in cuts]
    first = min(ways)
    if first > way.norm - CLEAR or max(ways) < 0:
        return None
    enters = cuts[ways.index(first)]
    near = min((corner for corner in corners), key=lambda c: abs(c.x - enters.x) + abs(c.y - enters.y))
    upright = abs(eye.y + way.y * (near.x - eye.x) / way.x - near.y) if way.x else 0.0
    return enters, upright


def _next(corners: tuple[Point, ...], sides: list[float]) -> Iterator[tuple[Point, float]]:
    return zip((*corners[1:], corners[0]), (*sides[1:], sides[0]), strict=True)


def _knees(scene: Scene) -> Iterator[Finding]:
    """The room under the deck's front edge, from the floor up: every panel, cleat and bought-in part counts."""
    cabinet = scene.assembly.cabinet
    front = max(corner.to[0] for corner in cabinet.profile)
    place = scene.read.file.place(("cabinet", "site", "wheelchair"))
    (top, shallow), (toes, deep) = KNEE
    said = f"{deep:g} deep up to {toes:g} above the floor, {shallow:g} at {top:g}, {KNEE_WIDTH:g} wide are needed"
    worst: dict[tuple[str, int], tuple[float, float, float, str]] = {}
    for solid in scene.solids:
        for in_way in (_in_way(cell, front, cabinet.floor, solid.label) for cell in solid.cells):
            key = solid.kind, solid.index
            if in_way is not None and (key not in worst or in_way[0] > worst[key][0]):
                worst[key] = in_way
    if not worst:
        yield Finding(check="knees", verdict="ok", text=f"{said} and are free", place=place, source=KNEE_SOURCE)
    for short, depth, z, name in worst.values():
        text = f"{name} leaves {depth:.0f} at {z:.0f} above the floor, {said}: set it {short:.0f} back"
        yield Finding(check="knees", verdict="fails", text=text, place=place, source=KNEE_SOURCE)


def _in_way(cell: Cell, front: float, floor: float, name: str) -> tuple[float, float, float, str] | None:
    """By how much, at what depth and height above the floor it stands in the knees' room; None where it does not."""
    (top, shallow), (toes, deep) = KNEE
    half = KNEE_WIDTH / 2 - CLEAR
    if cell.low[0] >= half or cell.high[0] <= -half or cell.low[2] + floor >= top - CLEAR:
        return None
    ends = [(float(y), float(z) + floor) for _, y, z in cell.points]
    for level in (toes, top - CLEAR):  # the room's outline bends there, and ends
        ends += _cut_at(ends, level)
    asked = []
    for y, z in ends:
        needed = deep if z <= toes else deep + (shallow - deep) * (z - toes) / (top - toes)
        if z <= top - CLEAR:
            asked.append((needed - (front - y), front - y, z, name))
    worst = max(asked, default=None)
    return worst if worst is not None and worst[0] > CLEAR else None


def _cut_at(ends: Sequence[tuple[float, float]], level: float) -> list[tuple[float, float]]:
    """Where lines between any two corners, the section's own edges among them, cross a height."""
    return [
        (ay + (by - ay) * (level - az) / (bz - az), level)
        for (ay, az), (by, bz) in combinations(ends, 2)
        if (az > level) != (bz > level)
    ]
