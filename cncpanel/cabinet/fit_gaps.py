"""Doors and drawers in their openings, and outer faces inside the sides' rounded edges."""

from collections.abc import Iterator

from cncpanel.cabinet.finding import Finding
from cncpanel.cabinet.overlap import TOUCH
from cncpanel.cabinet.piece import Piece
from cncpanel.cabinet.scene import Scene
from cncpanel.cabinet.standing import Standing
from cncpanel.geometry.nearness import Body, depths_inside
from cncpanel.geometry.point import Point
from cncpanel.geometry.region import Region

PARALLEL = 0.999  # cosine between the show faces of a panel and of the one in whose opening it stands


def inset_findings(scene: Scene) -> Iterator[Finding]:
    """The gap all round a panel that stands in another's opening."""
    for piece in scene.assembly.pieces:
        inset = scene.position(piece.index).inset
        if inset:
            yield _inset(scene, piece, inset)


def _inset(scene: Scene, piece: Piece, inset: float) -> Finding:
    name, place = scene.name(piece.index), scene.place(piece.index, "inset")
    gaps = _gaps(scene, piece)
    if gaps is None:
        return Finding(
            check="gap", verdict="fails", text=f'"{name}" stands in no opening of another panel', place=place
        )
    host, around = gaps
    said = ", ".join(f"{side} {gap:.2f}" for side, gap in around.items())
    off = max(abs(gap - inset) for gap in around.values())
    if off > TOUCH:
        text = f'"{name}" in the opening of "{host}" has {said} instead of {inset:g} all round: change "{name}"'
        return Finding(check="gap", verdict="fails", text=text, place=place)
    return Finding(check="gap", verdict="ok", text=f'"{name}" in the opening of "{host}": {said}', place=place)


def _gaps(scene: Scene, piece: Piece) -> tuple[str, dict[str, float]] | None:
    xmin, ymin, xmax, ymax = scene.panels[piece.index].outline.bounds
    for other in scene.assembly.pieces:
        if other.index == piece.index or abs(other.frame.out.dot(piece.frame.out)) < PARALLEL:
            continue
        host = scene.panels[other.index]
        shift = host.drawn_at
        corners = [other.frame.local(piece.frame.at(x, y)) for x in (xmin, xmax) for y in (ymin, ymax)]
        if abs(corners[0][2]) > host.stock.thickest:
            continue
        left, right = (f(c[0] - shift.x for c in corners) for f in (min, max))
        low, high = (f(c[1] - shift.y for c in corners) for f in (min, max))
        for opening in host.openings:
            ox, oy, ox2, oy2 = opening.contour.bounds
            if ox < (left + right) / 2 < ox2 and oy < (low + high) / 2 < oy2:
                sides = {"left": left - ox, "right": ox2 - right, "below": low - oy, "above": oy2 - high}
                return scene.name(other.index), sides
    return None


def reveal_findings(scene: Scene) -> Iterator[Finding]:
    """Every corner of the section inside the sides' outline; outer ones by the reveal."""
    sides = scene.sides
    if not sides:
        return
    side = scene.panels[sides[0].index]
    asked = [
        (standing, corner, least)
        for standing in scene.assembly.standings
        if scene.position(standing.index).sides != "overlaid"
        for corner, least in _corners(scene, standing)
    ]
    if not asked:
        return
    bodies = [Body(corner.minus(side.drawn_at)) for _, corner, _ in asked]
    depths = [depth for depth, _ in depths_inside(bodies, Region(side.outline))]
    wrong = [(one, depth) for one, depth in zip(asked, depths, strict=True) if depth < one[2] - TOUCH]
    for (standing, corner, least), depth in wrong:
        yield _beyond(scene, standing, corner, depth, least)
    outer = [(depth, one[0].name) for one, depth in zip(asked, depths, strict=True) if one[2]]
    if outer and not wrong:
        nearest, name = min(outer)
        text = f'every outer corner lies inside the sides\' edge, the nearest one, of "{name}", by {nearest:.2f}'
        yield Finding(check="reveal", verdict="ok", text=text, place=scene.read.file.place(("cabinet", "reveal")))


def _reveal(scene: Scene, standing: Standing) -> float:
    position = scene.position(standing.index)
    if position.edge is None:
        return 0.0
    return scene.assembly.cabinet.reveal if position.reveal is None else position.reveal


def _corners(scene: Scene, standing: Standing) -> list[tuple[Point, float]]:
    """The section's corners, with the length that the panel really has, and how far inside each is to lie."""
    _, ymin, _, ymax = scene.panels[standing.index].outline.bounds
    longer = (ymax - ymin) - standing.length
    a, b, c, d = standing.corners
    by = standing.line.along.times(longer)
    outer = _reveal(scene, standing)
    return [(a, outer), (b.plus(by), outer), (c.plus(by), 0.0), (d, 0.0)]


def _beyond(scene: Scene, standing: Standing, corner: Point, depth: float, least: float) -> Finding:
    said = f"{depth:.2f} mm inside" if depth >= 0 else f"{-depth:.2f} mm outside"
    text = (
        f'a corner of "{standing.name}" at y {corner.x:.1f}, z {corner.y:.1f} lies {said} the sides\' edge instead of '
        f'{least:g} inside: change "{standing.name}", the profile or its corner radius'
    )
    return Finding(check="reveal", verdict="fails", text=text, place=scene.place(standing.index))
