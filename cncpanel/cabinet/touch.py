"""What hands meet: edges rounded, corners eased, no gap that holds a finger."""

from collections.abc import Iterator

from cncpanel.cabinet.finding import Finding
from cncpanel.cabinet.scene import Scene

LEAST_ROUND = 3.0  # mm
ROUND_SOURCE = "EN 1176 and ASTM F1487 as reported: 3 at least on exposed edges; designed towards, not a certificate"
LEAST_CORNER, LEAST_CHILD_CORNER = 10.0, 20.0  # mm; common practice
TRAP = (7.0, 12.0)  # mm wide
TRAP_SOURCE = "EN 581-1 as reported: no holes or gaps of 7 to 12 that are deeper than 10"
MOVING = (8.0, 25.0)  # mm
MOVING_SOURCE = "EN 581-1 as reported: gaps of moving parts under 8 or over 25"
DEEP = 10.0  # mm


def touch_findings(scene: Scene) -> Iterator[Finding]:
    """All of them."""
    yield from _edges(scene)
    yield from _corners(scene)
    yield from _holes(scene)
    yield from _gaps(scene)


def _edges(scene: Scene) -> Iterator[Finding]:
    """What is set against the least, and the rims of the panels that end outside: the sides and what lies over them."""
    given = scene.assembly.cabinet.round
    place = scene.read.file.place(("cabinet", "round"))
    if given < LEAST_ROUND:
        text = f"edges that people touch are rounded {given:g}: {LEAST_ROUND:g} at least"
        yield Finding(check="edges", verdict="fails", text=text, place=place, source=ROUND_SOURCE)
        return
    square = [(index, had) for index, had in _rims(scene) if had < given]
    for index, had in square:
        name = scene.name(index)
        said = f'the rim of "{name}" is rounded {had:g}, {given:g} are set' if had else f'"{name}" has no rounded rim'
        text = f"{said}: a [[panel.edge]] with round = {given:g}"
        yield Finding(check="edges", verdict="look", text=text, place=scene.place(index), source=ROUND_SOURCE)
    if not square:
        text = f"edges that people touch are rounded {given:g}, {LEAST_ROUND:g} at least"
        yield Finding(check="edges", verdict="ok", text=text, place=place, source=ROUND_SOURCE)


def _rims(scene: Scene) -> Iterator[tuple[int, float]]:
    """Panels whose own rim is touched, and the largest rounding that its job file gives it."""
    for index in dict.fromkeys(piece.index for piece in scene.assembly.pieces):
        position = scene.position(index)
        if position.side is not None or position.sides == "overlaid":
            edges = (edge for edge in scene.read.job.panel[index].edge if edge.opening is None)
            yield index, max((edge.round or 0.0 for edge in edges), default=0.0)


def _corners(scene: Scene) -> Iterator[Finding]:
    """The profile's outer corners away from floor and back."""
    cabinet = scene.assembly.cabinet
    least = LEAST_CHILD_CORNER if cabinet.site.children else LEAST_CORNER
    corners = cabinet.profile
    low, back = min(c.to[1] for c in corners), min(c.to[0] for c in corners)
    for number, corner in enumerate(corners):
        (ay, az), (by, bz), (cy, cz) = (corners[n % len(corners)].to for n in (number - 1, number, number + 1))
        sticks_out = (by - ay) * (cz - bz) - (bz - az) * (cy - by) > 0
        if sticks_out and bz > low + 1 and by > back + 1 and corner.radius < least:
            text = f"corner {corner.name} of the sides has a radius of {corner.radius:g}: {least:g} or more"
            place = scene.read.file.place(("cabinet", "profile", number))
            yield Finding(check="corners", verdict="look", text=text, place=place, source="common practice, no source")


def _holes(scene: Scene) -> Iterator[Finding]:
    """Holes and slots that nothing fills."""
    filled = {one.label for one in scene.fitted} | {f"{one.label}'s screws" for one in scene.fitted}
    low, high = TRAP
    found = False
    for index, panel in scene.panels.items():
        if not scene.assembly.of_panel(index) or panel.stock.thickest <= DEEP:
            continue
        widths = {h.name: h.diameter for h in panel.holes if h.depth is None and h.top < panel.stock.thickest - DEEP}
        widths |= {o.name: min(x2 - x, y2 - y) for o in panel.openings for x, y, x2, y2 in [o.contour.bounds]}
        drawn = {one.part.hole for one in scene.fitted if one.index == index and one.fitting.drawn}
        for name, width in widths.items():
            if low <= width <= high and name not in filled and width not in drawn:
                found = True
                text = f'"{name}" in "{panel.name}", {width:g} wide, holds a finger: under {low:g} or over {high:g}'
                yield Finding(check="fingers", verdict="look", text=text, place=panel.place, source=TRAP_SOURCE)
    if not found:
        place = scene.read.file.place(("cabinet",))
        text = f"no hole or slot of {low:g} to {high:g} is left open"
        yield Finding(check="fingers", verdict="ok", text=text, place=place, source=TRAP_SOURCE)


def _gaps(scene: Scene) -> Iterator[Finding]:
    """Gaps round what moves."""
    low, high = MOVING
    for index in dict.fromkeys(piece.index for piece in scene.assembly.pieces):
        position = scene.position(index)
        if position.opens is None:
            continue
        gaps = {position.inset, position.gap} | {end.gap for end in (position.start, position.end) if end}
        bad = [gap for gap in gaps if low <= gap <= high]
        if bad:
            text = f'a gap of {max(bad):g} round "{scene.name(index)}", which moves: under {low:g} or over {high:g}'
            place = scene.place(index)
            yield Finding(check="fingers", verdict="fails", text=text, place=place, source=MOVING_SOURCE)
