"""Hardware and what is used up, marking, and the order of assembly with small pictures and what to measure."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from itertools import combinations
from math import hypot

from cncpanel.drawing.check_points import NAMES, check_points
from cncpanel.drawing.cleat_pieces import cleat_pieces
from cncpanel.drawing.dimension import Dimensioning
from cncpanel.drawing.lettered import is_rectangle
from cncpanel.drawing.panel_group import PICTURE_HEIGHT, panel_group
from cncpanel.drawing.paper import Bullets, Heading, Piece, Sentence, Table, Together
from cncpanel.geometry.contour import Contour
from cncpanel.geometry.point import Point
from cncpanel.job.assembly import Check
from cncpanel.job.model import Assembly, Cleat, Job
from cncpanel.panel.panel import Panel
from cncpanel.panel.placed_cleat import PlacedCleat, placed_cleats

ACTIONS = {
    "glue": "glue",
    "staple": "staple",
    "screw": "screw",
    "nail": "nail",
    "dowel": "dowel",
    "clamp": "clamp",
    "fit": "fit dry",
    "hang": "hang",
}
POINTS = f"{NAMES}, as on the panel's template; on a mirrored copy left and right change places."
DIAGONALS = "Equal diagonals: square. Off by more than 1 in 1000: push the long one shorter before the glue sets."


def hardware_pieces(job: Job) -> list[Piece]:
    """Bought-in parts and what is used up, only what the job names; nothing where it names none."""
    pieces: list[Piece] = [Heading("Hardware and consumables", 1)]
    if job.hardware:
        rows = tuple((str(item.count), item.name, item.note or "-") for item in job.hardware)
        pieces += [Heading("Bought in"), Table(head=("Count", "What", "Note"), rows=rows, shares=(12, 70, 98))]
    if job.consumable:
        used = tuple((str(i.count) if i.count else "as needed", i.name, i.note or "-") for i in job.consumable)
        pieces += [Heading("Used up"), Table(head=("Count", "What", "Note"), rows=used, shares=(18, 64, 98))]
    return pieces if len(pieces) > 1 else []


def assembly_pieces(job: Job, panels: Sequence[Panel], told: Dimensioning, width: float) -> list[Piece]:
    """Marking first, then every panel's own measures, cleats, and the steps in the job's order."""
    by_name = {panel.name: panel for panel in panels}
    cleats = placed_cleats(job.cleat, panels)
    return [
        Heading("Marking and assembly", 1),
        Heading("Marking"),
        Bullets(tuple(_marking(panels))),
        Heading("Measure every panel before anything is glued"),
        Sentence(f"{told.words} {DIAGONALS} {POINTS}"),
        _measures(panels, told),
        *_cleats(job.cleat, told),
        *cleat_pieces(panels, cleats, told, width),
        *_steps(job.assembly, by_name, cleats, told, width),
    ]


def _marking(panels: Sequence[Panel]) -> Iterator[str]:
    yield "As soon as a part comes off its sheet, stick its label on it, or write its name, face and top on it."
    yield "Mark where cleats go from the board itself, never from paper: hold the mate in place and draw along it."
    mirrored = [panel.name for panel in panels if panel.mirrored]
    if mirrored:
        yield f"In pairs, one mirrored: {', '.join(mirrored)}. Lay them face to face and see that they match."
    back = [panel.name for panel in panels if panel.face == "back"]
    if back:
        yield f"Cut from the back, so that the cuts lie inside: {', '.join(back)}."


def _measures(panels: Iterable[Panel], told: Dimensioning) -> Table:
    rows = tuple(
        (f"{panel.index + 1} {panel.name}", *_size(panel.outline, told), _between(panel.outline, told))
        for panel in panels
    )
    head = ("Panel", "Over all, X", "Over all, Y", "Diagonals, and sides where they are not over all")
    return Table(head=head, rows=rows, shares=(36, 24, 24, 96))


def _size(outline: Contour, told: Dimensioning) -> tuple[str, str]:
    left, low, right, high = outline.bounds
    return told.told(right - left), told.told(high - low)


def _between(outline: Contour, told: Dimensioning) -> str:
    """Distances between the outline's corners; a plain rectangle's two diagonals are one figure."""
    if is_rectangle(outline):
        one, other = map(told.told, diagonals(outline))
        where = ", over the rounds' middles" if any(segment.bulge for segment in outline.segments) else ""
        return f"both {one}{where}" if one == other else f"{one} and {other}{where}"
    spans = {f"{a.name}-{b.name}": a.at.distance(b.at) for a, b in combinations(check_points(outline), 2)}
    if not spans:
        return "-"
    return ", ".join(f"{name} {told.told(span)}" for name, span in spans.items())


def diagonals(outline: Contour) -> tuple[float, float]:
    """Of a rectangle, lower left to upper right first; a rounded corner is taken at the middle of its arc."""
    left, low, right, high = outline.bounds
    ends = [segment.start for segment in outline.segments]
    ends += [segment.point_at(0.5) for segment in outline.segments if segment.bulge]
    corners = (Point(left, low), Point(right, low), Point(right, high), Point(left, high))
    first, second, third, fourth = (min(ends, key=corner.distance) for corner in corners)
    return first.distance(third), second.distance(fourth)


def _cleats(cleats: Sequence[Cleat], told: Dimensioning) -> list[Piece]:
    if not cleats:
        return []
    rows = tuple(
        (
            f"C{number}",
            str(cleat.count),
            " x ".join(map(told.told, cleat.size)),
            told.told(cleat.length),
            cleat.panel,
            ". ".join(part for part in (cleat.name, cleat.where) if part) or "-",
        )
        for number, cleat in enumerate(cleats, start=1)
    )
    head = ("Cleat", "Count", "Section", "Length", "Along", "Where")
    return [Heading("Cleats"), Table(head=head, rows=rows, shares=(12, 12, 26, 24, 34, 72))]


def _steps(
    steps: Sequence[Assembly],
    by_name: Mapping[str, Panel],
    cleats: Sequence[PlacedCleat],
    told: Dimensioning,
    width: float,
) -> Iterator[Piece]:
    for number, step in enumerate(steps, start=1):
        opened = (Heading("Order of assembly"),) if number == 1 else ()
        yield Together((*opened, *_step(number, step, by_name, cleats, told, width)))


def _step(
    number: int,
    step: Assembly,
    by_name: Mapping[str, Panel],
    cleats: Sequence[PlacedCleat],
    told: Dimensioning,
    width: float,
) -> Iterator[Piece]:
    yield Heading(f"{number}. {step_words(step)}")
    yield panel_group([by_name[n] for n in step.panels], [by_name[n] for n in step.to], cleats, width, PICTURE_HEIGHT)
    if step.note:
        yield Sentence(step.note)
    if step.check:
        yield Bullets(tuple(f"Measure dry: {check.what}: {_measured(check, told)}" for check in step.check))


def _measured(check: Check, told: Dimensioning) -> str:
    """`400`, or `both diagonals 994.44 (604 x 790)`."""
    if check.rectangle is None:
        return told.told(check.distance or 0.0)
    width, height = check.rectangle
    return f"both diagonals {told.told(hypot(width, height))} ({told.told(width)} x {told.told(height)})"


def step_words(step: Assembly) -> str:
    """`Glue and staple: lower front, back rail; to side, bottom`."""
    actions = " and ".join(ACTIONS[action] for action in step.action)
    joined = f"; to {', '.join(step.to)}" if step.to else ""
    return f"{actions[:1].upper()}{actions[1:]}: {', '.join(step.panels)}{joined}"
