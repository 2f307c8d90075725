"""Openings: cut right through inside the outline."""

from cncpanel.panel.draft import Draft
from cncpanel.panel.panel import Opening
from cncpanel.panel.relief import relieved
from cncpanel.panel.shape import regions_of
from cncpanel.panel.subject import Subject


def openings(draft: Draft) -> tuple[tuple[Opening, Subject], ...]:
    """The panel's openings, those that a DXF outline holds inside first, each with what to call it in messages."""
    made = []
    for number, contour in enumerate(draft.outline.inner):
        subject = draft.subject.part("dxf")
        name = f"opening {number + 1} of the drawing"
        made.append((Opening(name=name, contour=contour, tool=None, place=subject.place), subject))
    for feature, subject in draft.on_cut_face("opening", draft.panel.opening):
        regions = regions_of(feature, subject)
        if any(region.holes for region in regions):
            text = "a contour lies inside another: the piece within would come free"
            subject.problem(text, "openings without islands", "dxf")
        for region in relieved(regions, feature.relief, draft.settings.relief_radius):
            opening = Opening(name=subject.name, contour=region.outer, tool=feature.tool, place=subject.place)
            made.append((opening, subject))
    return tuple(made)
