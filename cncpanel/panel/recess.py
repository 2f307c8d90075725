"""Recesses: a flat floor, deeper steps in it, islands that stay."""

from collections.abc import Sequence

from cncpanel.geometry.combine import contains, difference, overlap_area
from cncpanel.geometry.region import Region
from cncpanel.geometry.tolerance import PATH
from cncpanel.job import model
from cncpanel.panel.draft import Draft
from cncpanel.panel.pocket import Pocket
from cncpanel.panel.relief import relieved
from cncpanel.panel.shape import regions_of
from cncpanel.panel.subject import Subject


def recesses(draft: Draft) -> list[Pocket]:
    """The panel's recesses and their steps, islands taken out; depths count from the face it is cut from."""
    return [
        pocket
        for recess, subject in draft.on_cut_face("recess", draft.panel.recess)
        for pocket in _recess(recess, subject, draft.settings.relief_radius)
    ]


def _recess(recess: model.Recess, subject: Subject, radius: float) -> list[Pocket]:
    drawn = relieved(regions_of(recess, subject), recess.relief, radius)
    islands = [
        region
        for number, island in enumerate(recess.island)
        for region in _island(island, subject.part("island", number), drawn)
    ]
    parts = [(drawn, recess.depth, subject)] if drawn else []
    for number, step in enumerate(recess.step):
        part = subject.part("step", number)
        parts.append((_step(step, part, recess.depth, drawn), step.depth, part))
    return [
        Pocket(
            kind="recess",
            regions=difference(regions, islands) if islands else regions,
            depth=depth,
            tool=recess.tool,
            subject=part,
            family=subject.keys,
            lines=recess.lines,
        )
        for regions, depth, part in parts
        if regions
    ]


def _island(island: model.Shape, subject: Subject, recess: Sequence[Region]) -> tuple[Region, ...]:
    regions = regions_of(island, subject)
    if recess and regions and not any(overlap_area(a, b) for a in regions for b in recess):
        subject.warn("the island lies outside its recess and changes nothing")
    return regions


def _step(step: model.Step, subject: Subject, depth: float, recess: Sequence[Region]) -> tuple[Region, ...]:
    regions = regions_of(step, subject)
    if step.depth <= depth:
        text = f"depth {subject.length(step.depth)} is no deeper than the recess, {subject.length(depth)}"
        subject.problem(text, "a step's depth counts from the face and is more than the recess's", "depth")
    for region in regions:
        if recess and not any(contains(outer, region, PATH) for outer in recess):
            subject.problem("the step reaches outside its recess")
    return regions
