"""Doors swing and drawers slide through their whole path without meeting anything."""

from collections.abc import Iterator, Sequence
from functools import lru_cache
from math import ceil, cos, degrees, radians

import numpy as np

from cncpanel.cabinet.cell import Cell, Floats, rotation
from cncpanel.cabinet.finding import Finding
from cncpanel.cabinet.overlap import crowd, deepest_in, whole_box
from cncpanel.cabinet.piece import Piece
from cncpanel.cabinet.scene import Scene
from cncpanel.cabinet.solid import Solid
from cncpanel.cabinet.space import Vector
from cncpanel.job.cabinet import Opens

STEP = 10.0  # mm at most between looks at a drawer
TURN = 2.0  # degrees at most between looks at a door
LEAST = 3.0  # mm; looks lie no farther apart than the panel is thick, or than this: nothing thin is stepped over


def path_findings(scene: Scene) -> Iterator[Finding]:
    """One finding for each panel that moves."""
    for piece, solid in zip(scene.assembly.pieces, scene.panel_solids, strict=True):
        opens = scene.position(piece.index).opens
        if opens is not None:
            yield _moved(scene, piece, solid, opens)


def _moved(scene: Scene, piece: Piece, solid: Solid, opens: Opens) -> Finding:
    riding = tuple(s for s in scene.fitting_solids if s.index == piece.index)
    moving, box = (solid, *riding), panel_box(scene, piece)
    others = [s for s in scene.solids if s not in moving and _may_meet(s, piece)]
    swept = _swept(moving, piece, opens, box)
    near = tuple(s for s in others if _touch(swept, whole_box(s)))
    met = _first_met(moving, piece, opens, box, near)
    if met is not None:  # again with small openings and holes: it may go through one
        met = _first_met(moving, piece, opens, box, tuple(map(scene.in_detail, near)))
    if met is not None:
        said, depth, other = met
        text = (
            f'"{piece.label}" meets {other.label} when it is {said}, {depth:.2f} mm deep: '
            f"more gap, or {_remedy(scene, other)}"
        )
        return Finding(check="path", verdict="fails", text=text, place=scene.place(piece.index, "opens"))
    how = f"swings {opens.turn_deg:g} degrees" if opens.hinged else f"slides out {opens.slides:g} mm"
    return Finding(
        check="path", verdict="ok", text=f'"{piece.label}" {how} clear of everything', place=scene.place(piece.index)
    )


def _remedy(scene: Scene, met: Solid) -> str:
    if met.kind == "load":
        return f"move {met.label}"
    return f'change "{scene.name(met.index)}"'


Box = tuple[float, float, float, float]


@lru_cache(maxsize=128)
def _first_met(
    moving: tuple[Solid, ...], piece: Piece, opens: Opens, box: Box, near: tuple[Solid, ...]
) -> tuple[str, float, Solid] | None:
    """When it first meets another, how deep, and which."""
    others = crowd(near)
    for said, where in _steps([cell for one in moving for cell in one.cells], piece, opens, box):
        met = deepest_in(where, others)
        if met is not None:
            return said, *met
    return None


def _swept(moving: tuple[Solid, ...], piece: Piece, opens: Opens, box: Box) -> Floats:
    """A box (low x, y, z, high x, y, z) round the whole path."""
    points = np.concatenate([cell.points for one in moving for cell in one.cells])
    if opens.slides is not None:
        ends = np.concatenate((points, points + opens.slides * np.array(piece.frame.out)))
        return np.concatenate((ends.min(axis=0), ends.max(axis=0)))
    axis, about = hinge(piece, opens, box)
    arms = points - np.array(about)
    count = max(int(opens.turn_deg / TURN), 1)
    step = radians(opens.turn_deg / count)
    ways = np.concatenate([arms @ rotation(axis, step * n).T for n in range(count + 1)])
    beyond = float(np.linalg.norm(arms, axis=1).max()) * (1 - cos(step / 2))  # of the arc between two looks
    return np.concatenate((ways.min(axis=0) + about - beyond, ways.max(axis=0) + about + beyond))


def _touch(box: Floats, other: tuple[float, ...]) -> bool:
    return bool((box[:3] <= np.array(other[3:])).all() and (np.array(other[:3]) <= box[3:]).all())


def _may_meet(other: Solid, piece: Piece) -> bool:
    """A moving panel's own cleats are its stops; what it rests on at home is the overlap check's."""
    return not (other.kind == "cleat" and other.index == piece.index)


def panel_box(scene: Scene, piece: Piece) -> Box:
    """The panel's box as its author wrote it: what its frame takes."""
    panel = scene.panels[piece.index]
    x, y, x2, y2 = panel.outline.bounds
    return x + panel.drawn_at.x, y + panel.drawn_at.y, x2 + panel.drawn_at.x, y2 + panel.drawn_at.y


def _steps(cells: Sequence[Cell], piece: Piece, opens: Opens, box: Box) -> Iterator[tuple[str, list[Cell]]]:
    if opens.slides is not None:
        count = _looks(cells, piece, opens, box)
        for step in range(1, count + 1):
            way = opens.slides * step / count
            yield f"{way:.0f} mm out", [cell.moved(piece.frame.out.scaled(way)) for cell in cells]
        return
    axis, about = hinge(piece, opens, box)
    count = _looks(cells, piece, opens, box)
    for step in range(1, count + 1):
        angle = opens.turn_deg * step / count
        yield f"{angle:.0f} degrees open", [cell.turned(axis, about, radians(angle)) for cell in cells]


def _looks(cells: Sequence[Cell], piece: Piece, opens: Opens, box: Box) -> int:
    """How often a moving panel is looked at on its way: it moves by no more than its own thickness in between."""
    points = np.concatenate([cell.points for cell in cells])
    ways = cells[0].points @ np.array(piece.frame.out)
    thickness = max(float(ways.max() - ways.min()), LEAST)
    if opens.slides is not None:
        return max(ceil(opens.slides / min(STEP, thickness)), 1)
    axis, about = hinge(piece, opens, box)
    reach = float(np.linalg.norm(np.cross(points - np.array(about), np.array(axis)), axis=1).max())
    return max(ceil(opens.turn_deg / min(TURN, degrees(thickness / reach))), 1)


def hinge(piece: Piece, opens: Opens, box: Box) -> tuple[Vector, Vector]:
    """The hinge's axis, along which a right-handed turn opens outwards, and a point on it: the show face's arris."""
    xmin, ymin, xmax, ymax = box
    frame = piece.frame
    corner = {"left": (xmin, ymin), "right": (xmax, ymin), "bottom": (xmin, ymin), "top": (xmin, ymax)}
    side = opens.hinged or "left"
    inwards = {"left": frame.along, "right": frame.along.scaled(-1), "bottom": frame.up, "top": frame.up.scaled(-1)}
    return inwards[side].cross(frame.out), frame.at(*corner[side])
