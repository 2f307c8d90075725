"""A panel's holes, cuts and corners with the letters and numbers that its drawing and its tables share."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from itertools import groupby
from math import inf
from string import ascii_uppercase

from cncpanel.geometry.contour import Contour, circle, joined_bounds
from cncpanel.geometry.point import Point
from cncpanel.geometry.segment import Bounds, Segment
from cncpanel.geometry.tolerance import PATH
from cncpanel.job.model import Face
from cncpanel.panel.panel import Hole, Panel, Recess

MOST_HOLES = 40  # of one feature in the table; more are told as a field
MOST_CORNERS = 80  # of an outline with each its own row; more stand three a row
NO_LETTERS = "IOPR"  # I and O read as figures, P1 is a corner, R8 a radius
LETTERS = "".join(letter for letter in ascii_uppercase if letter not in NO_LETTERS)
SAME = PATH  # mm; what lies nearer is one place


@dataclass(frozen=True, slots=True, kw_only=True)
class LetteredHole:
    """A hole by its letter and number, with the counterbore that it starts from, and the face of each."""

    letter: str
    hole: Hole
    face: Face
    counterbore: Recess | None
    bored_from: Face


@dataclass(frozen=True, slots=True, kw_only=True)
class Field:
    """Many alike cells of one feature: a grille, a large pattern; `size` tells one of them, `bounds` hold all."""

    letter: str
    name: str
    count: int
    cell: Contour
    bounds: Bounds
    through: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class LetteredCut:
    """An opening, a recess, a groove, a rabbet; `depth` None goes through."""

    letter: str
    kind: str
    name: str
    contour: Contour
    depth: float | None
    face: Face


@dataclass(frozen=True, slots=True, kw_only=True)
class Lettered:
    """All of a panel."""

    holes: tuple[LetteredHole, ...]
    fields: tuple[Field, ...]
    cuts: tuple[LetteredCut, ...]
    corners: tuple[Segment, ...]


def lettered(panel: Panel) -> Lettered:
    """The panel's features, lettered in the job's order. Corners only of an outline that is no plain rectangle."""
    holes: list[LetteredHole] = []
    fields: list[Field] = []
    names = _letters()
    grilles = {grille.name for grille in panel.grilles}
    faced = [(hole, side.face) for side in panel.sides for hole in side.holes]
    for (_, face), group in groupby(faced, key=lambda one: (one[0].place, one[1])):
        alike = [hole for hole, _ in group]
        if len(alike) > MOST_HOLES or (len(alike) > 1 and alike[0].name in grilles):
            fields.append(_hole_field(next(names), alike))
        else:
            letter = next(names)
            holes += [_hole(f"{letter}{n}", hole, face, panel) for n, hole in enumerate(alike, start=1)]
    cuts: list[LetteredCut] = []
    for number, cut in enumerate(_cuts(panel, fields, grilles, names), start=1):
        cuts.append(replace(cut, letter=f"{number}"))
    needless = is_rectangle(panel.outline) or is_circle(panel.outline)
    corners = () if needless else panel.outline.segments
    return Lettered(holes=tuple(holes), fields=tuple(fields), cuts=tuple(cuts), corners=corners)


def _letters() -> Iterator[str]:
    """A, B ... Z, AA, AB ..."""
    yield from LETTERS
    for first in _letters():
        yield from (first + letter for letter in LETTERS)


def _hole(letter: str, hole: Hole, face: Face, panel: Panel) -> LetteredHole:
    """A blind hole starts from a counterbore on its own face; one that goes through may have it on either."""
    for side in panel.sides:
        for bore in side.recesses if hole.depth is None or side.face == face else ():
            if bore.kind == "counterbore" and _middle(bore.region.bounds).distance(hole.centre) <= SAME:
                return LetteredHole(letter=letter, hole=hole, face=face, counterbore=bore, bored_from=side.face)
    return LetteredHole(letter=letter, hole=hole, face=face, counterbore=None, bored_from=face)


def _hole_field(letter: str, holes: list[Hole]) -> Field:
    cells = [circle(hole.centre, hole.diameter / 2) for hole in holes]
    return _field(letter, holes[0].name, cells, through=holes[0].depth is None)


def _field(letter: str, name: str, cells: list[Contour], *, through: bool) -> Field:
    return Field(
        letter=letter,
        name=name,
        count=len(cells),
        cell=cells[0],
        bounds=joined_bounds(cell.bounds for cell in cells),
        through=through,
    )


def _cuts(panel: Panel, fields: list[Field], grilles: set[str], names: Iterator[str]) -> Iterator[LetteredCut]:
    """Openings but for a grille's cells, which become a field; then recesses and their like. No letters yet."""
    for _, group in groupby(panel.openings, key=lambda opening: opening.place):
        alike = list(group)
        if len(alike) > 1 and (alike[0].name in grilles or len(alike) > MOST_HOLES):
            fields.append(_field(next(names), alike[0].name, [o.contour for o in alike], through=True))
        else:
            yield from (_cut("opening", o.name, o.contour, None, panel.face) for o in alike)
    for side in panel.sides:
        for recess in side.recesses:
            if recess.kind != "counterbore":
                yield _cut(recess.kind, recess.name, recess.region.outer, recess.depth, side.face)


def _cut(kind: str, name: str, contour: Contour, depth: float | None, face: Face) -> LetteredCut:
    return LetteredCut(letter="", kind=kind, name=name, contour=contour, depth=depth, face=face)


def called(kind: str, name: str) -> str:
    """`recess tray`; `drawn opening` where the name says already what it is; `recess` where there is none."""
    return name if kind in name.lower().split() else f"{kind} {name}".strip()


def is_rectangle(outline: Contour) -> bool:
    """Whether four straight sides lie on the outline's box; corners may be rounded."""
    straight = [segment for segment in outline.segments if not segment.bulge]
    return len(straight) == 4 and len(outline.segments) <= 8 and all(_on_box(s, outline.bounds) for s in straight)


def _on_box(side: Segment, bounds: Bounds) -> bool:
    left, low, right, high = bounds
    xs, ys = (side.start.x, side.end.x), (side.start.y, side.end.y)
    return any(all(abs(x - at) <= SAME for x in xs) for at in (left, right)) or any(
        all(abs(y - at) <= SAME for y in ys) for at in (low, high)
    )


def is_circle(contour: Contour) -> bool:
    """Whether it is nothing but arcs about one centre."""
    segments = contour.segments
    return all(s.bulge for s in segments) and all(
        s.centre.distance(segments[0].centre) <= SAME and abs(s.radius - segments[0].radius) <= SAME for s in segments
    )


def is_plain(contour: Contour) -> bool:
    """Whether its box and its radii say all: a rectangle, a circle, a slot that lies along an axis."""
    return is_rectangle(contour) or is_circle(contour) or _is_slot(contour)


def _is_slot(contour: Contour) -> bool:
    """Two straight sides on the box, half turns between them."""
    straight = [segment for segment in contour.segments if not segment.bulge]
    round_ends = [segment for segment in contour.segments if segment.bulge]
    ends = {(round(arc.centre.x / SAME), round(arc.centre.y / SAME)) for arc in round_ends}
    return len(straight) == 2 and len(ends) == 2 and all(_on_box(side, contour.bounds) for side in straight)


def radii(segments: Iterable[Segment]) -> list[float]:
    """The radii of all arcs, each once, ascending."""
    found: list[float] = []
    for radius in sorted(segment.radius for segment in segments if segment.bulge):
        if radius - (found[-1] if found else -inf) > SAME:
            found.append(radius)
    return found


def _middle(bounds: Bounds) -> Point:
    left, low, right, high = bounds
    return Point((left + right) / 2, (low + high) / 2)
