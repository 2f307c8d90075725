"""Grilles: a field of holes or slots inside a boundary, whole cells only.

The lattice stands about the middle of the boundary's box, in one of four phases: a cell in the middle, or the middle
half a pitch from a cell along the rows, across them, or both. The phase with the most whole cells is taken, the first
of equals.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import cos, hypot, pi, radians, sin

from cncpanel.geometry.contour import joined_bounds
from cncpanel.geometry.nearness import Body, depths_inside
from cncpanel.geometry.point import Point
from cncpanel.geometry.region import Region
from cncpanel.geometry.segment import Segment
from cncpanel.geometry.shape import slot
from cncpanel.geometry.tolerance import FLATTEN, SAME_POINT
from cncpanel.job import model
from cncpanel.panel.draft import Draft
from cncpanel.panel.hole import bored
from cncpanel.panel.lattice import PHASES, Lattice, square, staggered
from cncpanel.panel.panel import GrilleReport, Hole, Opening
from cncpanel.panel.shape import regions_of
from cncpanel.panel.subject import Subject

MOST_CELLS = 50_000  # a grille beyond this is a slip of the pitch: it would drill for a day
TOUCH = 2 * FLATTEN  # mm; a cell that touches the boundary is inside, as near as chords can tell
# A finger enters and is held: the probe rule of EN 581-1 for outdoor furniture, as kfquality.com (news 57) tells it;
# it counts where the gap is deeper than TRAP_DEPTH.
TRAP = (7.0, 12.0)  # mm
TRAP_DEPTH = 10.0  # mm


@dataclass(frozen=True, slots=True, kw_only=True)
class Grid:
    """A grille's cells, holes or slots, each as the body it cuts, and its report."""

    subject: Subject
    holes: tuple[Hole, ...]
    slots: tuple[Opening, ...]
    bodies: tuple[Body, ...]
    report: GrilleReport


def grilles(draft: Draft) -> list[Grid]:
    """The panel's grilles."""
    made = [_grille(grille, subject, draft) for grille, subject in draft.on_cut_face("grille", draft.panel.grille)]
    return [grid for grid in made if grid is not None]


def _grille(grille: model.Grille, subject: Subject, draft: Draft) -> Grid | None:
    boundary = regions_of(grille, subject)
    if not boundary or not _sound(grille, boundary, subject):
        return None
    _warn_of_fingers(grille, subject, draft)
    bodies = _fullest(grille, boundary)
    if not bodies:
        subject.problem("no whole cell fits inside the boundary", "a wider boundary or smaller cells")
        return None
    return _grid(grille, subject, boundary, bodies)


def _grid(grille: model.Grille, subject: Subject, boundary: Sequence[Region], bodies: tuple[Body, ...]) -> Grid:
    holes = [b for b in bodies if isinstance(b.core, Point)]
    slots = [(b.core, b.reach) for b in bodies if isinstance(b.core, Segment)]
    name, tool, place = subject.name, grille.tool, subject.place
    open_area = sum(pi * body.reach**2 for body in bodies) + sum(2 * r * core.length for core, r in slots)
    share = open_area / sum(region.area for region in boundary)
    return Grid(
        subject=subject,
        holes=tuple(bored(name, Point(*_point(b)), 2 * b.reach, None, tool, place) for b in holes),
        slots=tuple(
            Opening(name=name, contour=slot(core.start, core.end, 2 * reach), tool=tool, place=place)
            for core, reach in slots
        ),
        bodies=bodies,
        report=GrilleReport(name=name, cells=len(bodies), open_area=open_area, open_share=share),
    )


def _point(body: Body) -> Point:
    assert isinstance(body.core, Point)
    return body.core


def lattice_of(grille: model.Grille) -> Lattice:
    """Where its cells may stand, apart from the phase."""
    if grille.holes is not None:
        return staggered(grille.holes.pitch) if grille.holes.arrangement == "staggered" else square(grille.holes.pitch)
    assert grille.slots is not None
    return Lattice(*grille.slots.pitch, turn_deg=grille.slots.turn_deg)


def cell_size(grille: model.Grille) -> tuple[float, float]:
    """Length along the row and width across it."""
    if grille.holes is not None:
        return grille.holes.diameter, grille.holes.diameter
    assert grille.slots is not None
    return grille.slots.length, grille.slots.width


def _fullest(grille: model.Grille, boundary: Sequence[Region]) -> tuple[Body, ...]:
    xmin, ymin, xmax, ymax = joined_bounds(region.bounds for region in boundary)
    middle = Point((xmin + xmax) / 2, (ymin + ymax) / 2)
    reach = hypot(xmax - xmin, ymax - ymin) / 2
    lattice, size = lattice_of(grille), cell_size(grille)
    fullest: tuple[Body, ...] = ()
    for phase in PHASES:
        points = lattice.points(middle, reach, phase)
        near = [point for point in points if xmin < point.x < xmax and ymin < point.y < ymax]
        whole = _whole_cells([_cell(point, size, lattice.turn_deg) for point in near], boundary)
        if len(whole) > len(fullest):
            fullest = whole
    return fullest


def _cell(middle: Point, size: tuple[float, float], turn_deg: float) -> Body:
    length, width = size
    if length - width <= SAME_POINT:
        return Body(middle, width / 2)
    half = Point(cos(radians(turn_deg)), sin(radians(turn_deg))).times((length - width) / 2)
    return Body(Segment(middle.minus(half), middle.plus(half)), width / 2)


def _whole_cells(cells: Sequence[Body], boundary: Sequence[Region]) -> tuple[Body, ...]:
    inside = [False] * len(cells)
    for region in boundary:
        for number, (depth, _) in enumerate(depths_inside(cells, region)):
            inside[number] |= depth >= -TOUCH
    return tuple(cell for cell, whole in zip(cells, inside, strict=True) if whole)


def _sound(grille: model.Grille, boundary: Sequence[Region], subject: Subject) -> bool:
    (length, width), told = cell_size(grille), subject.length
    if length < width:
        subject.problem(f"slots {told(length)} long are shorter than wide, {told(width)}", "", "slots", "length")
        return False
    lattice = lattice_of(grille)
    if min(lattice.along, lattice.across) <= 0 or (grille.holes and lattice.along <= length):
        subject.problem("the pitch leaves nothing between the cells", "more than the cell's size", *_pitch_keys(grille))
        return False
    if grille.slots and (lattice.along <= length or lattice.across <= width):
        text = (
            f"pitch {told(lattice.along)}, {told(lattice.across)} is too small for slots {told(length)} x {told(width)}"
        )
        subject.problem(text, "more than the slot's size, along and across", *_pitch_keys(grille))
        return False
    count = sum(region.area for region in boundary) / (lattice.along * lattice.across)
    if count > MOST_CELLS:
        subject.problem(f"about {count:.0f} cells", f"at most {MOST_CELLS}", *_pitch_keys(grille))
        return False
    return True


def _pitch_keys(grille: model.Grille) -> tuple[str, str]:
    return ("holes" if grille.holes is not None else "slots", "pitch")


def _warn_of_fingers(grille: model.Grille, subject: Subject, draft: Draft) -> None:
    width = cell_size(grille)[1]
    if TRAP[0] <= width <= TRAP[1] and draft.stock.thickest > TRAP_DEPTH:
        text = f"{'holes' if grille.holes else 'slots'} {subject.length(width)} wide can hold a finger"
        habit = "under 7 or over 12 where people touch it and it is deeper than 10: the probe rule of EN 581-1"
        subject.warn(text, habit)
