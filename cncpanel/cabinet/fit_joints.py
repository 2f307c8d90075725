"""Every end where its mate is: butts on the plane, housings filled, gaps as declared, all in numbers."""

from collections.abc import Iterator
from dataclasses import dataclass

from cncpanel.cabinet.finding import Finding
from cncpanel.cabinet.overlap import TOUCH, gap
from cncpanel.cabinet.piece import Piece
from cncpanel.cabinet.scene import Scene
from cncpanel.cabinet.solid import Solid
from cncpanel.cabinet.standing import Standing
from cncpanel.cabinet.width import housing_depth
from cncpanel.geometry.point import Point
from cncpanel.job.cabinet import PanelEnd

CHECK = "joint"
MOST_SLACK = 2.0  # mm; a housing deeper than its panel reaches by more is weak glue and a slip (common practice)
LEAST_MET = 0.5  # of an end's thickness that must lie on its mate (common practice)


def joint_findings(scene: Scene) -> Iterator[Finding]:
    """What is wrong with ends and widths; one line where all is well."""
    joints = 0
    found: list[Finding] = []
    for standing in scene.assembly.standings:
        position = scene.position(standing.index)
        for key, end in (("start", position.start), ("end", position.end)):
            if end is not None and end.mate is not None:
                joints += 1
                found += _end(scene, standing, key, end)
        joints += 1
        found += _width(scene, standing)
    for piece, solid in zip(scene.assembly.pieces, scene.panel_solids, strict=True):
        joints += len(scene.position(piece.index).meets)
        found += _meetings(scene, piece, solid)
    yield from found
    if not found:
        text = f"{joints} joints, every end on its mate's plane and every gap as declared, within {TOUCH:g} mm"
        yield Finding(check=CHECK, verdict="ok", text=text, place=scene.read.file.place(("cabinet",)))


@dataclass(frozen=True, slots=True, kw_only=True)
class _Ends:
    """How far along its line a panel really starts and ends, at half its thickness."""

    start: float
    end: float


def _real(scene: Scene, standing: Standing) -> _Ends:
    _, ymin, _, ymax = scene.panels[standing.index].outline.bounds
    start = (standing.start.outer + standing.start.inner) / 2
    end_lag = max(standing.end.outer, standing.end.inner) - (standing.end.outer + standing.end.inner) / 2
    return _Ends(start=start, end=standing.low + (ymax - ymin) - end_lag)


def _end(scene: Scene, standing: Standing, key: str, end: PanelEnd) -> Iterator[Finding]:
    assert end.mate is not None
    kind, name = end.mate
    mate = next((other for other in scene.assembly.standings if other.name == name), None)
    if mate is None:
        return
    is_start = key == "start"
    real = _real(scene, standing)
    here = real.start if is_start else real.end
    wanted = _wanted(scene, standing, mate, end, is_start)
    if wanted is None:
        return
    short = here - wanted if is_start else wanted - here
    if abs(short) > TOUCH:
        said = f"ends {short:.2f} mm short of" if short > 0 else f"runs {-short:.2f} mm past"
        change = f'make "{standing.name}" {abs(short):.2f} {"longer" if short > 0 else "shorter"}'
        what = f"its {end.gap:g} mm gap to" if kind == "clear_of" else f"its place at ({kind.replace('_', ' ')})"
        text = f'the {key} of "{standing.name}" {said} {what} "{name}": {change}'
        yield Finding(check=CHECK, verdict="fails", text=text, place=scene.place(standing.index, key))
    if kind == "butts":
        yield from _met(scene, standing, mate, key)


def _wanted(scene: Scene, standing: Standing, mate: Standing, end: PanelEnd, is_start: bool) -> float | None:
    """Where the end should be, at half the thickness: taken from the mate as it really is."""
    assert end.mate is not None
    kind, _ = end.mate
    middle = standing.line.inside(standing.thickness / 2)
    if kind == "clear_of":
        real = _real(scene, mate)
        corners = [line.at(way) for line in (mate.line, mate.inner_line) for way in (real.start, real.end)]
        ways = [standing.line.way(corner) for corner in corners]
        return max(ways) + end.gap if is_start else min(ways) - end.gap
    if kind in ("mitred", "set_back"):
        outer, inner = standing.line.crossing(mate.line), standing.inner_line.crossing(mate.inner_line)
        if outer is None or inner is None:
            return None
        return inner if kind == "set_back" else (outer + inner) / 2
    faces = [middle.crossing(face) for face in (mate.line, mate.inner_line)]
    ways = [way for way in faces if way is not None]
    if len(ways) < 2:
        return None
    way = max(ways) if is_start != (kind == "covers") else min(ways)
    if kind in ("housed", "rabbeted"):
        depth = end.depth or housing_depth(scene.assembly.cabinet, None, scene.panels[mate.index].stock)
        deeper = depth - scene.assembly.cabinet.slack / 2
        return way - deeper if is_start else way + deeper
    return way


def _met(scene: Scene, standing: Standing, mate: Standing, key: str) -> Iterator[Finding]:
    """How much of a butted end really lies on its mate."""
    ways = [mate.line.crossing(line) for line in (standing.line, standing.inner_line)]
    if ways[0] is None or ways[1] is None:
        return
    low, high = min(ways[0], ways[1]), max(ways[0], ways[1])
    real = _real(scene, mate)
    met = min(high, real.end) - max(low, real.start)
    if met < LEAST_MET * (high - low):
        text = (
            f'the {key} of "{standing.name}" meets {max(met, 0.0):.1f} of its {high - low:.1f} mm on "{mate.name}", '
            f'which lies from {real.start:.1f} to {real.end:.1f} along its line: lengthen "{mate.name}" or move one'
        )
        yield Finding(check=CHECK, verdict="fails", text=text, place=scene.place(standing.index, key))


def _meetings(scene: Scene, piece: Piece, solid: Solid) -> Iterator[Finding]:
    """Whether a panel that faces one way touches those that it is to meet."""
    for number, name in enumerate(scene.position(piece.index).meets):
        for other in scene.panel_solids:
            apart = gap(solid, other) if scene.name(other.index) == name else 0.0
            if apart > TOUCH:
                text = (
                    f'"{piece.label}" is {apart:.2f} mm short of "{other.label}", which it is to meet: '
                    f'make "{scene.name(piece.index)}" {apart:.2f} longer there or move it'
                )
                yield Finding(check=CHECK, verdict="fails", text=text, place=scene.place(piece.index, "meets", number))


def _width(scene: Scene, standing: Standing) -> Iterator[Finding]:
    """Its ends at the sides."""
    position, cabinet = scene.position(standing.index), scene.assembly.cabinet
    xmin, _, xmax, _ = scene.panels[standing.index].outline.bounds
    width, inside = xmax - xmin, scene.assembly.inside
    if position.width is not None or position.middle:
        return
    name, where = standing.name, scene.place(standing.index)
    if position.sides in ("housed", "rabbeted"):
        yield from _housed_width(scene, standing, width)
        return
    wanted = {"butt": inside, "clear": inside - 2 * position.gap, "overlaid": cabinet.width}[position.sides]
    said = {
        "butt": "between the sides",
        "clear": f"between the sides less {position.gap:g} gaps",
        "overlaid": "over all",
    }
    if abs(width - wanted) > TOUCH:
        how = f"{abs(width - wanted):.2f} mm too {'wide' if width > wanted else 'narrow'}"
        text = f'"{name}" is {how}: {width:.2f} instead of {wanted:.2f} {said[position.sides]}: change "{name}"'
        yield Finding(check=CHECK, verdict="fails", text=text, place=where)


def _housed_width(scene: Scene, standing: Standing, width: float) -> Iterator[Finding]:
    """A housed panel's ends in the depth that their housings really have."""
    mid = (standing.low + standing.length / 2, standing.thickness / 2)
    point = standing.line.inside(mid[1]).at(mid[0])
    for side in scene.sides:
        depth = _depth_at(scene, side.index, point)
        if depth is None:
            text = (
                f'"{scene.name(side.index)}" has no housing for "{standing.name}" at y {point.x:.1f}, z {point.y:.1f}'
            )
            yield Finding(check=CHECK, verdict="fails", text=text, place=scene.place(standing.index))
            continue
        slack = scene.assembly.inside / 2 + depth - width / 2
        if not -TOUCH <= slack <= MOST_SLACK:
            said = f"{-slack:.2f} mm too long for" if slack < 0 else f"{slack:.2f} mm short of the floor of"
            text = (
                f'"{standing.name}", {width:.2f} wide, is {said} its housing, {depth:.2f} deep, in '
                f'"{scene.name(side.index)}": change its width or the depth'
            )
            yield Finding(check=CHECK, verdict="fails", text=text, place=scene.place(standing.index))


def _depth_at(scene: Scene, side: int, point: Point) -> float | None:
    """The depth of the side's groove or rabbet at a point of the section."""
    panel = scene.panels[side]
    for recess in (recess for face in panel.sides for recess in face.recesses):
        xmin, ymin, xmax, ymax = recess.region.bounds
        x, y = point.x - panel.drawn_at.x, point.y - panel.drawn_at.y
        if recess.kind in ("groove", "rabbet") and xmin <= x <= xmax and ymin <= y <= ymax:
            return recess.depth
    return None
