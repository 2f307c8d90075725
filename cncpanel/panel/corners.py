"""Points with radii and through-points, as a drawing gives them, turned into lines and arcs."""

from collections.abc import Iterable, Sequence

from cncpanel.geometry.point import Point
from cncpanel.geometry.segment import Segment
from cncpanel.geometry.shape import arc_through
from cncpanel.geometry.tolerance import SAME_POINT
from cncpanel.job.model import Corner
from cncpanel.panel.fillet import SMOOTH, Fillet, fillet, turn
from cncpanel.panel.subject import Key, Subject

FULLEST = 1e3  # bulge; beyond it the arc is a full circle but for its 500th part: the points were meant otherwise

Given = tuple[float, float] | Corner


def corners_of(given: Iterable[Given]) -> tuple[Corner, ...]:
    """Plain points as corners without radius."""
    return tuple(c if isinstance(c, Corner) else Corner.model_construct(to=c) for c in given)


def edges_of(corners: Sequence[Corner], subject: Subject, key: Key, closed: bool) -> tuple[Segment, ...] | None:
    """The unrounded edges, number n from corner n to the next; None with problems told where that cannot be."""
    if not closed and corners[0].through is not None:
        subject.problem("the path's first point has a through point", "no stretch leads to it", key, 0)
        return None
    ends = (*corners[1:], corners[0]) if closed else corners[1:]
    numbers = range(1, len(ends) + 1)
    made = [
        _edge(a, b, subject, (key, number % len(corners))) for a, b, number in zip(corners, ends, numbers, strict=False)
    ]
    edges = tuple(edge for edge in made if edge is not None)
    return edges if len(edges) == len(made) else None


def _edge(begin: Corner, end: Corner, subject: Subject, keys: tuple[Key, ...]) -> Segment | None:
    start, stop = Point(*begin.to), Point(*end.to)
    if start.distance(stop) <= SAME_POINT:
        hint = "a closed outline returns to its first point by itself"
        subject.problem(f"two points follow each other at {subject.told(stop)}", hint, *keys)
        return None
    if end.through is None:
        return Segment(start, stop)
    try:
        edge = arc_through(start, Point(*end.through), stop)
    except ValueError:
        edge = None
    if edge is None or abs(edge.bulge) > FULLEST:
        subject.problem("no arc leads through these points", "through lies between the two ends", *keys)
        return None
    return edge


def rounded_edges(
    edges: Sequence[Segment], radii: Sequence[float], subject: Subject, key: Key, closed: bool
) -> tuple[Segment, ...] | None:
    """The edges with their corners rounded; radius n belongs to the corner where edge n begins."""
    fillets: dict[int, Fillet] = {}
    for corner in range(0 if closed else 1, len(edges)):
        before, after = edges[corner - 1], edges[corner]
        if radii[corner] <= SAME_POINT or abs(turn(before, after)) < SMOOTH:
            continue
        made = fillet(before, after, radii[corner])
        if made is None or made.before < -SMOOTH or made.after > 1 + SMOOTH:
            text = f"radius {subject.length(radii[corner])} does not fit at {subject.told(after.start)}"
            subject.problem(text, "both edges must be longer than the rounding takes of them", key, corner)
            return None
        fillets[corner] = made
    return _joined(edges, fillets, subject, key, closed)


def _joined(
    edges: Sequence[Segment], fillets: dict[int, Fillet], subject: Subject, key: Key, closed: bool
) -> tuple[Segment, ...] | None:
    chain: list[Segment] = []
    for number, edge in enumerate(edges):
        following = (number + 1) % len(edges) if closed else number + 1
        first = fillets[number].after if number in fillets else 0.0
        last = fillets[following].before if following in fillets else 1.0
        if number in fillets:
            chain.append(fillets[number].arc)
        missing = (first - last) * edge.length
        if missing > SAME_POINT:
            text = f"the radii at both ends of the edge from {subject.told(edge.start)} to {subject.told(edge.end)}"
            subject.problem(f"{text} need {subject.length(missing)} more than it has", "smaller radii", key, number)
            return None
        if missing < -SAME_POINT:
            chain.append(edge.part(first, last))
    return tuple(chain)


def ends_joined(chain: Iterable[Segment]) -> tuple[Segment, ...]:
    """The chain with every start set to the end before it, so that rounding of the last bits leaves no gap."""
    joined: list[Segment] = []
    for segment in chain:
        start = joined[-1].end if joined else segment.start
        joined.append(Segment(start, segment.end, segment.bulge))
    return tuple(joined)
