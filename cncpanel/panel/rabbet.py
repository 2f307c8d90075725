"""Rabbets: a step along the rim, by the side of the panel's box or by the outline's edge."""

from cncpanel.geometry.combine import intersection
from cncpanel.geometry.contour import path_of
from cncpanel.geometry.segment import Segment
from cncpanel.geometry.shape import rectangle
from cncpanel.geometry.stroke import stroke
from cncpanel.geometry.tolerance import PATH
from cncpanel.job import model
from cncpanel.panel.draft import Draft
from cncpanel.panel.pocket import Pocket
from cncpanel.panel.subject import Subject

_SIDES = ("bottom", "right", "top", "left")


def rabbets(draft: Draft) -> list[Pocket]:
    """The panel's rabbets: all of the panel within `width` of the edge, square at start and stop."""
    made = [_rabbet(rabbet, subject, draft) for rabbet, subject in draft.on_cut_face("rabbet", draft.panel.rabbet)]
    return [pocket for pocket in made if pocket is not None]


def _rabbet(rabbet: model.Rabbet, subject: Subject, draft: Draft) -> Pocket | None:
    edge = _edge(rabbet, subject, draft)
    stretch = edge and _stretch(rabbet, edge, subject)
    if not stretch:
        return None
    band = stroke(path_of([stretch]), 2 * rabbet.width, "flat", "flat")
    regions = intersection(band, (draft.whole,))
    if not regions:
        subject.problem("nothing of the panel lies along this edge")
        return None
    return Pocket(
        kind="rabbet",
        regions=regions,
        depth=rabbet.depth,
        tool=rabbet.tool,
        subject=subject,
        family=subject.keys,
    )


def _edge(rabbet: model.Rabbet, subject: Subject, draft: Draft) -> Segment | None:
    """The edge, run counter-clockwise: of the outline before its corners were rounded, or of its box."""
    if rabbet.side is not None:
        xmin, ymin, xmax, ymax = draft.contour.bounds
        box = rectangle(xmin, ymin, xmax - xmin, ymax - ymin)
        return box.segments[_SIDES.index(rabbet.side)]
    edges, number = draft.outline.edges, rabbet.edge or 0
    if number < len(edges):
        return edges[number]
    subject.problem(f"the outline has no edge {number}", f"0 to {len(edges) - 1}", "edge")
    return None


def _stretch(rabbet: model.Rabbet, edge: Segment, subject: Subject) -> Segment | None:
    stop = edge.length if rabbet.stop is None else rabbet.stop
    if stop > edge.length + PATH:
        text = f"stop {subject.length(stop)} is beyond the edge's end, {subject.length(edge.length)}"
        subject.problem(text, "", "stop")
        return None
    if rabbet.start >= stop:
        subject.problem(
            f"start {subject.length(rabbet.start)} is not before its end {subject.length(stop)}", "", "start"
        )
        return None
    return edge.part(rabbet.start / edge.length, stop / edge.length)
