"""Which part of a rim an edge is for: a side of its box, edges by number, between named corners, and part of that."""

from collections.abc import Callable, Sequence
from itertools import pairwise
from math import atan2, radians

from cncpanel.geometry.contour import Contour
from cncpanel.geometry.point import Point
from cncpanel.geometry.ring import Ring, ring_of
from cncpanel.geometry.tolerance import PATH
from cncpanel.job import model
from cncpanel.job.model import Corner, RimEdge, RimPart, Side
from cncpanel.panel.draft import Draft
from cncpanel.panel.edge import Stretch
from cncpanel.panel.outline import Outline

SHORTEST = 1.0  # mm; a shorter stretch of a side is none
SHARP = radians(20)  # a corner that turns less is rounded along
BESIDE = 1e-3  # mm from a corner: where the rim's direction before and after it is looked at
RUN_OUT = 3.0  # of the form's width
RECTANGLE = ("lower left", "lower right", "upper right", "upper left")

Tell = Callable[..., None]
Span = tuple[float, float]


def stretches(
    edge: RimEdge, contour: Contour, inside: bool, width: float, outline: Outline, tell: Tell, draft: Draft
) -> list[Stretch | None]:
    """None alone for all round; one for each stretch of a side; nothing where a problem was told."""
    ring = ring_of(contour)
    whole = _spans(edge, ring, contour, outline, tell, draft)
    if whole is None:
        return [None]
    found: list[Stretch | None] = []
    for span in whole:
        part = _part(edge, span, tell, draft)
        made = part and _stretch(edge, part, ring, inside, width, tell, draft)
        if made:
            found.append(made)
    return found


def spans(edge: RimPart, contour: Contour, outline: Outline, tell: Tell, draft: Draft) -> list[Span] | None:
    """From where to where along the contour, mm; None for all round, nothing where a problem was told."""
    found = _spans(edge, ring_of(contour), contour, outline, tell, draft)
    if found is None:
        return None
    return [part for part in (_part(edge, span, tell, draft) for span in found) if part is not None]


def _spans(
    edge: RimPart, ring: Ring, contour: Contour, outline: Outline, tell: Tell, draft: Draft
) -> list[Span] | None:
    """Where the whole stretches lie, mm along the ring; None for all round."""
    if edge.side is not None:
        spans = _side_spans(ring, contour, edge.side)
        if not spans:
            tell(f"no straight stretch lies on the {edge.side} side", "edges by number, or between corners", "side")
        return spans
    if not isinstance(edge, model.Edge | model.TabFree):
        return None
    if edge.edges is not None:
        return _numbered(edge.edges, ring, outline, tell)
    if edge.between is not None:
        return _between(edge.between, ring, outline, tell, draft)
    return None


def _side_spans(ring: Ring, contour: Contour, side: Side) -> list[Span]:
    """The straight stretches that lie on a side of the contour's box, joined where one leads to the next."""
    left, low, right, high = contour.bounds
    axis, at = {"left": (0, left), "bottom": (1, low), "right": (0, right), "top": (1, high)}[side]
    found: list[Span] = []
    for index, segment in enumerate(ring.segments):
        on_side = abs(segment.start[axis] - at) <= PATH and abs(segment.end[axis] - at) <= PATH
        if segment.is_arc or not on_side:
            continue
        begin, end = ring.start_of(index), ring.ends[index]
        if found and abs(found[-1][1] - begin) < PATH:
            found[-1] = (found[-1][0], end)
        else:
            found.append((begin, end))
    if len(found) > 1 and found[0][0] < PATH and abs(found[-1][1] - ring.length) < PATH:
        (_, end), (begin, _) = found.pop(0), found.pop()
        found.append((begin, end + ring.length))
    return [span for span in found if span[1] - span[0] >= SHORTEST]


def _numbered(numbers: Sequence[int], ring: Ring, outline: Outline, tell: Tell) -> list[Span] | None:
    count = len(outline.edges)
    wrong = [number for number in numbers if not 0 <= number < count]
    if wrong:
        tell(f"the outline has no edge {wrong[0]}", f"0 to {count - 1}", "edges")
        return []
    if len(set(numbers)) < len(numbers):
        tell("an edge is named twice", "each once", "edges")
        return []
    chain = [outline.edges[number] for number in numbers]
    for way in (chain, chain[::-1]):
        if all(a.end.distance(b.start) <= PATH for a, b in pairwise(way)):
            if len(numbers) == count:
                return None
            return [_span(ring, way[0].start, way[-1].end)]
    tell("the edges do not follow one another", "an edge table for each stretch", "edges")
    return []


def _between(names: tuple[str, str], ring: Ring, outline: Outline, tell: Tell, draft: Draft) -> list[Span]:
    corners = _named_corners(draft, outline)
    unknown = [name for name in names if name not in corners]
    if unknown or names[0] == names[1]:
        known = ", ".join(corners) or "give its corners names: { to = [x, y], name = ... }"
        said = f'no corner is named "{unknown[0]}"' if unknown else "it begins and ends at one corner"
        tell(said, known, "between")
        return []
    return [_span(ring, corners[names[0]], corners[names[1]])]


def _named_corners(draft: Draft, outline: Outline) -> dict[str, Point]:
    """Named corners in the panel's frame; a rectangle's have their own names."""
    panel = draft.panel
    if panel.size is not None:
        width, height = panel.size
        places = (Point(0.0, 0.0), Point(width, 0.0), Point(width, height), Point(0.0, height))
        return dict(zip(RECTANGLE, places, strict=True))
    given = [spot for spot in panel.outline or () if isinstance(spot, Corner) and spot.name]
    return {corner.name: Point(*corner.to).minus(outline.shift) for corner in given}


def _span(ring: Ring, start: Point, stop: Point) -> Span:
    """From one place of the ring on to another; a rounded corner's is the middle of its rounding."""
    first, last = ring.nearest(start)[0], ring.nearest(stop)[0]
    return (first, last) if last > first + PATH else (first, last + ring.length)


def _part(edge: RimPart, span: Span, tell: Tell, draft: Draft) -> Span | None:
    """What start and stop leave of a stretch."""
    length, said = span[1] - span[0], draft.subject.length
    stop = length if edge.stop is None else edge.stop
    if stop > length + PATH:
        tell(f"stop {said(stop)} is beyond the stretch's end, {said(round(length, 3))}", "", "stop")
        return None
    if edge.start >= stop:
        tell(f"start {said(edge.start)} is not before its end {said(round(stop, 3))}", "", "start")
        return None
    return span[0] + edge.start, span[0] + stop


def _stretch(
    edge: RimEdge, span: Span, ring: Ring, inside: bool, width: float, tell: Tell, draft: Draft
) -> Stretch | None:
    run_out = RUN_OUT * width if edge.run_out is None else edge.run_out
    is_open = [_runs_off(ring, s, inside) for s in span]
    length, needed = span[1] - span[0], run_out * is_open.count(False)
    if needed > length + PATH and not (edge.by_hand or edge.t_slot):
        said = draft.subject.length
        text = f"the stretch, {said(round(length, 3))} long, is shorter than its run-outs, {said(round(needed, 3))}"
        tell(text, "a longer stretch, or less run_out", "run_out" if edge.run_out else "side" if edge.side else "start")
        return None
    return Stretch(start=span[0], stop=span[1], open_start=is_open[0], open_stop=is_open[1], run_out=run_out)


def _runs_off(ring: Ring, s: float, inside: bool) -> bool:
    """Whether a corner lies there that sticks out of the material: the tool goes straight on past it."""
    before, after = ring.direction(s - BESIDE), ring.direction(s + BESIDE)
    turn = atan2(before.cross(after), before.dot(after))
    return -turn > SHARP if inside else turn > SHARP
