"""Round holes: through, blind, counterbored; one or a pattern of them."""

from dataclasses import dataclass
from math import cos, radians, sin

from cncpanel.errors import Place
from cncpanel.geometry.contour import circle
from cncpanel.geometry.point import Point
from cncpanel.geometry.region import Region
from cncpanel.job import model
from cncpanel.panel.draft import Draft
from cncpanel.panel.panel import Hole
from cncpanel.panel.pocket import Pocket
from cncpanel.panel.subject import Subject


@dataclass(frozen=True, slots=True, kw_only=True)
class Bored:
    """All holes of one feature, tops still at the face, and the recess that counterbores make."""

    subject: Subject
    holes: tuple[Hole, ...]
    counterbore: Pocket | None

    @property
    def is_blind(self) -> bool:
        """Whether they stop in the material."""
        return self.holes[0].depth is not None


def holes(draft: Draft) -> list[Bored]:
    """The panel's holes, feature by feature, in the author's order."""
    return [_bored(hole, subject, draft) for hole, subject in draft.on_cut_face("hole", draft.panel.hole)]


def _bored(hole: model.Hole, subject: Subject, draft: Draft) -> Bored:
    _judge_depth(hole, subject, draft)
    centres = [centre.minus(subject.shift) for centre in positions(hole)]
    made = tuple(bored(subject.name, c, hole.diameter, hole.depth, hole.tool, subject.place) for c in centres)
    return Bored(subject=subject, holes=made, counterbore=_counterbore(hole, centres, subject))


def bored(name: str, centre: Point, diameter: float, depth: float | None, tool: str | None, place: Place) -> Hole:
    """A hole from the face; `tops.topped` puts it on a recess's floor later."""
    return Hole(name=name, centre=centre, diameter=diameter, depth=depth, top=0.0, tool=tool, place=place)


def positions(hole: model.Hole) -> list[Point]:
    """The centres, in the author's coordinates: a grid row by row from its lower left, a ring and a row in order."""
    middle = Point(*hole.centre)
    if hole.grid:
        across, up = (
            _spread(hole.grid.columns, hole.grid.pitch[0]),
            _spread(hole.grid.rows, hole.grid.pitch[1]),
        )
        return [middle.plus(Point(x, y)) for y in up for x in across]
    if hole.ring:
        step = 360 / hole.ring.count
        angles = [hole.ring.first_deg + step * n for n in range(hole.ring.count)]
        return [middle.plus(_towards(angle).times(hole.ring.diameter / 2)) for angle in angles]
    if hole.row:
        along = _towards(hole.row.direction_deg).times(hole.row.pitch)
        return [middle.plus(along.times(n)) for n in range(hole.row.count)]
    return [middle]


def _spread(count: int, pitch: float) -> list[float]:
    return [(n - (count - 1) / 2) * pitch for n in range(count)]


def _towards(angle_deg: float) -> Point:
    return Point(cos(radians(angle_deg)), sin(radians(angle_deg)))


def _judge_depth(hole: model.Hole, subject: Subject, draft: Draft) -> None:
    if hole.depth is None:
        return
    left, stock = draft.stock.thinnest - hole.depth, draft.stock
    if left <= 0:
        thinnest = f"{stock.name} at its thinnest reading, {subject.length(stock.thinnest)}"
        text = f"depth {subject.length(hole.depth)} comes through {thinnest}"
        subject.problem(text, "less, or no depth for a through hole", "depth")
    elif left < draft.settings.least_floor:
        text = (
            f"depth {subject.length(hole.depth)} leaves {subject.length(left)} under the hole at the thinnest reading"
        )
        subject.warn(text, f"at least {subject.length(draft.settings.least_floor)}, settings.least_floor", "depth")


def _counterbore(hole: model.Hole, centres: list[Point], subject: Subject) -> Pocket | None:
    bore = hole.counterbore
    if bore is None or not _fits(bore, hole, subject):
        return None
    return Pocket(
        kind="counterbore",
        regions=tuple(Region(circle(centre, bore.diameter / 2)) for centre in centres),
        depth=bore.depth,
        tool=None,
        subject=subject,
        family=subject.keys,
    )


def _fits(bore: model.Counterbore, hole: model.Hole, subject: Subject) -> bool:
    """Whether the counterbore is wider than its hole and leaves some of it below."""
    told = subject.length
    if bore.diameter <= hole.diameter:
        text = f"counterbore {told(bore.diameter)} is no wider than its hole, {told(hole.diameter)}"
        subject.problem(text, "a wider one", "counterbore", "diameter")
        return False
    if hole.depth is not None and bore.depth >= hole.depth:
        text = f"counterbore {told(bore.depth)} deep reaches the bottom of its hole, {told(hole.depth)}"
        subject.problem(text, "a shallower one", "counterbore", "depth")
        return False
    return True
