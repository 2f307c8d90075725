"""Match marks: drawn on both tiles of a joint, each unlike every other and unlike itself turned round.

A cross to lay on the other tile's cross, one slanting stroke up and to the right, and the joint's name with a or b.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from cncpanel.drawing.clear_first import Boxed, crossed, meeting
from cncpanel.drawing.page import Line, Pen
from cncpanel.drawing.paper import Label
from cncpanel.drawing.tiles import Joint
from cncpanel.drawing.words import is_free, label_box
from cncpanel.geometry.contour import joined_bounds, path_of
from cncpanel.geometry.point import Point
from cncpanel.geometry.segment import Bounds, Segment

PEN = Pen(width=0.18)
LAYER = "MATCH"
ARM = 4.0  # mm; the most that a cross reaches from its centre
CLEAR = 0.5  # mm from the strip's rim
TEXT = 1.8  # mm capitals
SHARES = ((0.2, 0.1, 0.3, 0.0, 0.4), (0.8, 0.9, 0.7, 1.0, 0.6))  # of the strip's stretch: marks a and b


@dataclass(frozen=True, slots=True)
class MatchMark:
    """One mark: its name and the centre of its cross, in the drawing's frame."""

    name: str
    centre: Point
    arm: float
    upright: bool

    def lines(self) -> Iterator[Line]:
        """The cross and the slanting stroke."""
        along, up, slant = Point(self.arm, 0.0), Point(0.0, self.arm), Point(self.arm, self.arm).times(0.8)
        for start, end in (
            (self.centre.minus(along), self.centre.plus(along)),
            (self.centre.minus(up), self.centre.plus(up)),
            (self.centre, self.centre.plus(slant)),
        ):
            yield Line(shape=path_of([Segment(start, end)]), pen=PEN, layer=LAYER)

    @property
    def label(self) -> Label:
        """Its name, along the strip."""
        if self.upright:
            x, y = self.centre.x + TEXT / 2, self.centre.y - self.arm - 1.0
            return Label(x=x, y=y, text=self.name, size=TEXT, anchor="right", turn_deg=90.0)
        return Label(x=self.centre.x + self.arm + 1.0, y=self.centre.y - TEXT / 2, text=self.name, size=TEXT)

    @property
    def box(self) -> Bounds:
        """Round the cross and its name."""
        (x, y), arm = self.centre, self.arm
        return joined_bounds([(x - arm, y - arm, x + arm, y + arm), label_box(self.label)])


def match_marks(joint: Joint, taken: Sequence[Bounds] = (), lines: Sequence[Boxed] = ()) -> tuple[MatchMark, ...]:
    """Two marks in the strip of a joint, clear of what is `taken` where there is a place that is, at best of lines."""
    marks = []
    near = meeting(joint.strip, lines)
    for letter, shares in zip("ab", SHARES, strict=True):
        marks.append(_best([(joint, letter, share) for share in shares], taken, near))
    return tuple(marks)


def _best(tried: Sequence[tuple[Joint, str, float]], taken: Sequence[Bounds], lines: Sequence[Boxed]) -> MatchMark:
    """The first that is free and on no line; else the first that is free; else the first."""
    free: MatchMark | None = None
    for one in tried:
        mark = _mark(*one)
        if is_free(mark.box, taken):
            if not crossed(mark.box, lines):
                return mark
            free = free or mark
    return free or _mark(*tried[0])


def _mark(joint: Joint, letter: str, share: float) -> MatchMark:
    """The mark at a share of the stretch of the strip that no third tile shows."""
    left, low, right, high = joint.strip
    across, along = (right - left, high - low) if joint.upright else (high - low, right - left)
    mark = MatchMark(f"{joint.name}{letter}", Point(0.0, 0.0), min(ARM, across / 2 - CLEAR), joint.upright)
    axis = 1 if joint.upright else 0
    first, last = across - mark.box[axis], along - across - mark.box[axis + 2]
    at = first + share * (last - first) if first < last else along / 2
    x, y = ((left + right) / 2, low + at) if joint.upright else (left + at, (low + high) / 2)
    return replace(mark, centre=Point(x, y))
