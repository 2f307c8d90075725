"""What fittings need: room to their neighbours and rims, a cord that reaches, air, screws shorter than the board."""

from collections.abc import Iterator
from itertools import combinations
from math import dist, pi

from cncpanel.cabinet.finding import Finding
from cncpanel.cabinet.fitted import Fitted
from cncpanel.cabinet.part import POWERED
from cncpanel.cabinet.scene import Scene
from cncpanel.cabinet.space import Vector
from cncpanel.geometry.nearness import Body, depths_inside
from cncpanel.geometry.point import Point
from cncpanel.geometry.region import Region

SAME = 1e-6  # mm
LEAST_AIR = 1.5  # times the fans' openings
AIR_SOURCE = "free area 1.5 to 2 times the fan's opening: common practice, no source"
SPARE_TIP = 1.0  # mm of board left before a screw's tip
SPARE_CLEAT = 0.5  # mm left of a cleat
LEAST_BITE = 8.0  # mm of a staple in its cleat; 2 to 2.5 times the thinner part in all is the habit
STAPLE_SOURCE = "common practice, no source"


def service_findings(scene: Scene) -> Iterator[Finding]:
    """All of them."""
    yield from _pitches(scene)
    yield from _rims(scene)
    yield from _pictures(scene)
    yield from _cords(scene)
    yield from _air(scene)
    yield from _screws(scene)
    yield from _staples(scene)


def _pitches(scene: Scene) -> Iterator[Finding]:
    """Neighbours on one panel, middle to middle."""
    spots = [(one, spot) for one in scene.fitted if one.part.pitch for spot in one.fitting.at]
    nearest: tuple[float, str] | None = None
    failed = False
    for (one, first), (other, second) in combinations(spots, 2):
        if one.index != other.index:
            continue
        least = ((one.part.pitch or 0.0) + (other.part.pitch or 0.0)) / 2
        between = dist(first, second)
        if between < least - SAME:
            failed = True
            text = (
                f'{one.label} at {_at(first)} and {other.label} at {_at(second)} on "{scene.name(one.index)}" are '
                f"{between:.1f} apart, {least:g} are needed: move one"
            )
            yield Finding(check="pitch", verdict="fails", text=text, place=other.place, source=other.part.source)
        elif nearest is None or between - least < nearest[0]:
            nearest = between - least, f"{one.label} and {other.label}, {between:.1f} apart where {least:g} are needed"
    if nearest is not None and not failed:
        place = scene.read.file.place(("cabinet",))
        yield Finding(check="pitch", verdict="ok", text=f"the closest neighbours are {nearest[1]}", place=place)


def _at(spot: tuple[float, float]) -> str:
    return f"({spot[0]:g}, {spot[1]:g})"


def _rims(scene: Scene) -> Iterator[Finding]:
    """From a cut-out to the panel's own rim."""
    for index in dict.fromkeys(one.index for one in scene.fitted):
        panel = scene.panels[index]
        asked = [
            (one, spot, Body(point, reach))
            for one in scene.fitted
            if one.index == index
            for spot in one.fitting.at
            for reach, core in [_cut(one, spot, panel.drawn_at)]
            for point in core
        ]
        depths = depths_inside([body for _, _, body in asked], Region(panel.outline))
        least: dict[tuple[int, tuple[float, float]], tuple[float, Fitted]] = {}
        for (one, spot, _), (depth, _) in zip(asked, depths, strict=True):
            known = least.get((id(one), spot), (depth, one))
            least[id(one), spot] = min(depth, known[0]), one
        for (_, spot), (depth, one) in least.items():
            if depth < one.part.rim - SAME:
                yield _near_rim(one, spot, depth, panel.name)


def _near_rim(one: Fitted, spot: tuple[float, float], depth: float, name: str) -> Finding:
    text = (
        f'{one.label} at {_at(spot)}: {depth:.1f} mm from its cut-out to the rim of "{name}", '
        f"{one.part.rim:g} are needed: move it inwards"
    )
    return Finding(check="rim", verdict="fails", text=text, place=one.place, source=one.part.source)


def _cut(one: Fitted, spot: tuple[float, float], shift: Point) -> tuple[float, list[Point]]:
    """The cut-out as points and a reach about them; an opening by its corners."""
    x, y = spot[0] - shift.x, spot[1] - shift.y
    if one.part.opening is not None:
        w, h = one.part.opening
        return 0.0, [Point(x + sx * w / 2, y + sy * h / 2) for sx in (-1, 1) for sy in (-1, 1)]
    recess = one.part.recess
    across = one.part.hole or (recess.diameter if recess else None) or 0.0
    return across / 2, [Point(x, y)]


def spots(one: Fitted, scene: Scene) -> Iterator[Vector]:
    """Where a fitting's middles are in space, on the show face."""
    for piece in scene.assembly.of_panel(one.index):
        for x, y in one.fitting.at:
            yield piece.frame.at(x, y)


def _pictures(scene: Scene) -> Iterator[Finding]:
    """A screen's picture against the room between the sides."""
    inside = scene.assembly.inside
    for one in scene.fitted:
        if one.part.visible is None:
            continue
        width = one.part.visible[0] if one.fitting.turn_deg % 180 == 0 else one.part.visible[1]
        if width > inside:
            text = (
                f"the picture of {one.label} is {width:.1f} wide, {inside:.1f} are between the sides: a smaller screen"
            )
            yield Finding(check="screen", verdict="fails", text=text, place=one.place)
        else:
            text = f"the picture of {one.label} is {width:.1f} wide, {inside:.1f} are between the sides"
            yield Finding(check="screen", verdict="ok", text=text, place=one.place)


def _cords(scene: Scene) -> Iterator[Finding]:
    """From everything with a cord to the nearest opening for one, along the cabinet's three directions."""
    ports = [(one, spot) for one in scene.fitted if one.part.kind in ("port", "inlet") for spot in spots(one, scene)]
    for one in scene.fitted:
        if one.part.kind not in POWERED or one.part.cord is None:
            continue
        if not ports:
            text = f"{one.label} has a cord and there is no opening for one: a port or a mains inlet plate is needed"
            yield Finding(check="cord", verdict="fails", text=text, place=one.place)
            continue
        for spot in spots(one, scene):
            way, port = min(((_along(spot, where), other) for other, where in ports), key=lambda found: found[0])
            said = (
                f"{one.label} is {way:.0f} mm by the shortest square way from {port.label}, its cord {one.part.cord:g}"
            )
            fails = way > one.part.cord
            text = f"{said}: a longer cord, or a port nearer to it" if fails else said
            yield Finding(check="cord", verdict="fails" if fails else "ok", text=text, place=one.place)


def _along(first: Vector, second: Vector) -> float:
    return abs(first.x - second.x) + abs(first.y - second.y) + abs(first.z - second.z)


def _air(scene: Scene) -> Iterator[Finding]:
    """What lets air in against what the fans blow out."""
    fans = [one for one in scene.fitted if one.part.kind == "fan"]
    out = sum(pi / 4 * (one.part.hole or 0.0) ** 2 * len(one.fitting.at) for one in fans)
    if not out:
        return
    place = scene.read.file.place(("cabinet", "air"))
    into, heights = 0.0, []
    for number, air in enumerate(scene.assembly.cabinet.air):
        found = _openness(scene, air.panel, air.feature)
        if found is None:
            where = scene.read.file.place(("cabinet", "air", number, "feature"))
            text = f'panel "{air.panel}" has no opening or grille "{air.feature}"'
            yield Finding(check="air", verdict="fails", text=text, place=where)
            continue
        into += found[0]
        heights.append(found[1])
    ratio = into / out
    enough = ratio >= LEAST_AIR
    tail = "" if enough else f": {LEAST_AIR * out - into:.0f} mm2 more are needed"
    text = f"{into:.0f} mm2 let air in, {ratio:.2f} times the fans' {out:.0f} mm2{tail}"
    yield Finding(check="air", verdict="ok" if enough else "fails", text=text, place=place, source=AIR_SOURCE)
    fan_heights = [spot.z for one in fans for spot in spots(one, scene)]
    if heights and fan_heights and min(heights) >= max(fan_heights):
        text = f"air comes in at {min(heights):.0f}, not below the fan at {max(fan_heights):.0f}: in low, out high"
        yield Finding(check="air", verdict="look", text=text, place=place, source=AIR_SOURCE)


def _openness(scene: Scene, name: str, feature: str) -> tuple[float, float] | None:
    """Area, and height of the middle, of what is open there."""
    for index, panel in scene.panels.items():
        pieces = scene.assembly.of_panel(index)
        if panel.name != name or not pieces:
            continue
        area = sum(grille.open_area for grille in panel.grilles if grille.name == feature)
        cells = [o for o in panel.openings if o.name == feature or o.name.startswith(f"{feature} ")]
        holes = [hole for hole in panel.holes if hole.name == feature and hole.depth is None]
        if not area:
            area = sum(abs(o.contour.area) for o in cells) + sum(pi / 4 * hole.diameter**2 for hole in holes)
        boxes = [o.contour.bounds for o in cells]
        middles = [((a + c) / 2, (b + d) / 2) for a, b, c, d in boxes] + [(h.centre.x, h.centre.y) for h in holes]
        if area:
            x, y = middles[0] if middles else (0.0, 0.0)
            return area, pieces[0].frame.at(x + panel.drawn_at.x, y + panel.drawn_at.y).z
    return None


def _screws(scene: Scene) -> Iterator[Finding]:
    """A fitting's screws into its own board."""
    for one in scene.fitted:
        if one.part.screw is None:
            continue
        stock = scene.panels[one.index].stock
        room = stock.thinnest - SPARE_TIP
        said = f'{one.label}: screws {one.part.screw:g} long in "{scene.name(one.index)}", {stock.thinnest:g} thick'
        if one.part.screw > room:
            text = f"{said}: at most {room:g}, or they come through"
            yield Finding(check="screw", verdict="fails", text=text, place=one.place)
        else:
            yield Finding(check="screw", verdict="ok", text=said, place=one.place)


def _staples(scene: Scene) -> Iterator[Finding]:
    """Staples or screws through a panel into its cleat: deep enough, and never through both."""
    cabinet = scene.assembly.cabinet
    for index in dict.fromkeys(strip.index for strip in scene.assembly.strips):
        stock = scene.panels[index].stock
        both = stock.thinnest + cabinet.cleat[1]
        bite = cabinet.staple - stock.thickest
        place = scene.read.file.place(("cabinet", "staple"))
        if cabinet.staple > both - SPARE_CLEAT:
            text = (
                f'{cabinet.staple:g} long through "{scene.name(index)}" ({stock.thinnest:g}) and its cleat '
                f"({cabinet.cleat[1]:g}) comes out: at most {both - SPARE_CLEAT:g}"
            )
            yield Finding(check="screw", verdict="fails", text=text, place=place, source=STAPLE_SOURCE)
        elif bite < LEAST_BITE:
            text = (
                f'{cabinet.staple:g} long leaves {bite:g} in the cleat of "{scene.name(index)}": {LEAST_BITE:g} or more'
            )
            yield Finding(check="screw", verdict="fails", text=text, place=place, source=STAPLE_SOURCE)
