"""What is to be sawn of each panel: its finished rectangle, or a larger one where it is cut to a template after."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from cncpanel.errors import Gathering
from cncpanel.geometry.contour import Contour
from cncpanel.geometry.segment import Segment
from cncpanel.geometry.tolerance import PATH
from cncpanel.job.model import Saw, Side
from cncpanel.layout.item import angles_of
from cncpanel.panel.panel import Panel

MOST_EASED = 0.5  # of a side that its corners may take: on what is left the panel is set against fence and stop
SIDES: tuple[Side, ...] = ("bottom", "right", "top", "left")


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Blank:
    """One part's rectangle; `ways` are (along the sheet, across it, panel turned across), the allowed ones."""

    panel: Panel
    copy: int
    mirrored_copy: bool
    shaped: bool
    ways: tuple[tuple[float, float, bool], ...]

    @property
    def area(self) -> float:
        """mm2."""
        return self.ways[0][0] * self.ways[0][1]


def blanks_of(panels: Sequence[Panel], saw: Saw, gathering: Gathering) -> list[Blank]:
    """Every part, copies first, then mirrored copies; a panel that may only lie askew is a Problem."""
    return [blank for panel in panels for blank in _blanks(panel, saw, gathering)]


def _blanks(panel: Panel, saw: Saw, gathering: Gathering) -> Iterator[Blank]:
    shaped = is_shaped(panel.outline)
    ways = _ways(panel, 2 * saw.oversize if shaped else 0.0)
    if not ways:
        text = f"panel {panel.name}: may lie only askew on the sheet, and a saw plan has right angles only"
        gathering.problem(panel.place, text, "a turn of 0 or 90 degrees among the allowed ones")
        return
    kinds = [(n + 1, False) for n in range(panel.copies)] + [(n + 1, True) for n in range(panel.mirrored)]
    for copy, mirrored in kinds:
        yield Blank(panel=panel, copy=copy, mirrored_copy=mirrored, shaped=shaped, ways=ways)


def _ways(panel: Panel, more: float) -> tuple[tuple[float, float, bool], ...]:
    left, low, right, high = panel.outline.bounds
    width, height = right - left + more, high - low + more
    turned = {round(angle, 6) % 180 for angle in angles_of(panel)}
    along = [(width, height, False)] if 0 in turned else []
    across = [(height, width, True)] if 90 in turned and (abs(width - height) > 1e-9 or not along) else []
    return tuple(sorted((*along, *across), key=lambda way: -way[0]))


def is_shaped(outline: Contour) -> bool:
    """Whether more than eased corners keeps it from being its box: then it is cut to a template."""
    stretches = [straight(outline, side) for side in SIDES]
    if any(len(found) != 1 for found in stretches):
        return True
    left, low, right, high = outline.bounds
    sides = [right - left, high - low] * 2
    if any(found[0].length < MOST_EASED * side for found, side in zip(stretches, sides, strict=True)):
        return True
    others = len(outline.segments) - 4
    return others > 4 or any(_turns_back(segment, outline) for segment in outline.segments)


def _turns_back(segment: Segment, outline: Contour) -> bool:
    """Whether it leaves the box's sides other than at a corner, or curves inwards."""
    return segment.is_arc and (segment.bulge > 0) != (outline.area > 0)


def straight(outline: Contour, side: Side) -> list[Segment]:
    """The straight stretches that lie on a side of the outline's box."""
    return [segment for segment in outline.segments if lies_on(segment, outline, side)]


def lies_on(segment: Segment, outline: Contour, side: Side) -> bool:
    """Whether it is straight and lies on that side of the outline's box."""
    left, low, right, high = outline.bounds
    axis, at = {"left": (0, left), "bottom": (1, low), "right": (0, right), "top": (1, high)}[side]
    return not segment.bulge and abs(segment.start[axis] - at) <= PATH and abs(segment.end[axis] - at) <= PATH
