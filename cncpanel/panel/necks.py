"""Necks of one contour by itself: an outline that nearly falls apart, an opening that nearly comes round to itself."""

from cncpanel.geometry.combine import difference
from cncpanel.geometry.contour import Contour
from cncpanel.geometry.nearness import Body, near_pairs
from cncpanel.geometry.offset import offset
from cncpanel.geometry.point import Point
from cncpanel.geometry.region import Region
from cncpanel.panel.draft import Draft
from cncpanel.panel.fillet import SMOOTH, turn
from cncpanel.panel.judge import SLACK
from cncpanel.panel.panel import Opening
from cncpanel.panel.subject import Subject


def judge_necks(opened: tuple[tuple[Opening, Subject], ...], draft: Draft) -> None:
    """Tell where material narrower than the least web holds a piece; webs between two cuts are the judge's."""
    half = draft.settings.least_web / 2 - SLACK
    if half <= 0:
        return
    if neck := _neck_of_outline(draft.contour, half):
        _tell(draft.subject, neck, draft)
    for opening, subject in opened:
        if neck := _neck_round(opening.contour, half):
            _tell(subject, neck, draft)


def _tell(subject: Subject, neck: Point, draft: Draft) -> None:
    least = subject.length(draft.settings.least_web)
    subject.problem(
        f"its outline leaves a neck too thin at {subject.at(neck)}", f"at least {least}, settings.least_web"
    )


def _neck_of_outline(outline: Contour, half: float) -> Point | None:
    """Shrinking by half a web must leave one piece; else the middle between two that are left."""
    if _is_convex(outline):
        return None
    pieces = [Body(piece) for piece in offset((Region(outline),), -half)]
    apart = near_pairs(pieces, outline.length)
    return min(apart, key=lambda pair: pair.width).middle if apart else None


def _neck_round(opening: Contour, half: float) -> Point | None:
    """Growing by half a web must not close a ring; else a place where the ring closed."""
    if _is_convex(opening):
        return None
    grown = offset((Region(opening.counter_clockwise),), half)
    if not any(region.holes for region in grown):
        return None
    closed = offset(grown, -half)
    bridges = difference(closed, (Region(opening.counter_clockwise),))
    xmin, ymin, xmax, ymax = max(bridges, key=lambda piece: piece.area).bounds
    return Point((xmin + xmax) / 2, (ymin + ymax) / 2)


def _is_convex(contour: Contour) -> bool:
    """Whether it turns one way only: nothing of it can come near another part of it but at a plain width."""
    segments = contour.counter_clockwise.segments
    corners = zip(segments, segments[1:] + segments[:1], strict=True)
    return all(s.bulge >= 0 for s in segments) and all(turn(a, b) >= -SMOOTH for a, b in corners)
