"""What is near a slot that the machine cuts into a rim: as much board must stay between them as under a floor."""

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import combinations

from cncpanel.geometry.area import Area
from cncpanel.geometry.contour import circle
from cncpanel.geometry.offset import offset
from cncpanel.geometry.region import Region, region_of
from cncpanel.geometry.ring import ring_of
from cncpanel.panel.draft import Draft
from cncpanel.panel.edge import RimSlot
from cncpanel.panel.panel import Panel
from cncpanel.panel.web import share

TOUCH = 0.05  # mm2; less is two shapes that touch


@dataclass(frozen=True, slots=True)
class _Near:
    """Something that is cut from one depth under the face that lies up to another, where it is."""

    name: str
    region: Region
    top: float
    bottom: float


def judge_slots(panel: Panel, draft: Draft) -> None:
    """Tell every slot that leaves no board beside it, or too little between it and what else is cut there."""
    for slot in panel.slots:
        band = _band(slot, panel)
        if not slot.inside and not offset((Region(panel.outline),), -slot.form.depth - draft.settings.least_web / 2):
            _tell(slot, f"a slot {draft.subject.length(slot.form.depth)} deep leaves no board behind it", draft)
            continue
        for near in _near(panel, draft):
            if band.overlap(Area.of([near.region])) > TOUCH:
                _judge(slot, near.name, near.top, near.bottom, draft)
        for side in panel.sides:
            for edge in side.edges:
                if edge.rim == slot.rim and edge.contour == slot.contour and share(edge, slot):
                    deep = edge.form.depth
                    ends = (0.0, deep) if side is panel else (draft.stock.thinnest - deep, draft.stock.thickest)
                    _judge(slot, edge.told, *ends, draft)
    for first, second in combinations(panel.slots, 2):
        if first.rim == second.rim and first.contour == second.contour and share(first, second):
            _judge(second, first.told, first.top, first.bottom, draft)


def _band(slot: RimSlot, panel: Panel) -> Area:
    """What the slot takes, seen from above."""
    ring = ring_of(slot.contour)
    chain = list(ring.segments) if slot.stretch is None else ring.stretch(slot.stretch.start, slot.stretch.stop)
    band = Area.swept([chain], slot.form.depth).within(Area.of([Region(panel.outline)]))
    return band.minus(Area.of([region_of(slot.contour)])) if slot.inside else band


def _near(panel: Panel, draft: Draft) -> Iterator[_Near]:
    """Everything that is cut out of the panel but for its own rims; openings are not told at their own rims."""
    thinnest, thickest = draft.stock.thinnest, draft.stock.thickest
    for opening in panel.openings:
        yield _Near(opening.name, region_of(opening.contour), 0.0, thickest)
    for side in panel.sides:
        for recess in side.recesses:
            ends = (0.0, recess.depth) if side is panel else (thinnest - recess.depth, thickest)
            yield _Near(recess.name, recess.region, *ends)
        for hole in side.holes:
            region = Region(circle(hole.centre, hole.diameter / 2))
            if hole.depth is None:
                yield _Near(hole.name, region, 0.0, thickest)
            else:
                ends = (0.0, hole.depth) if side is panel else (thinnest - hole.depth, thickest)
                yield _Near(hole.name, region, *ends)


def _judge(slot: RimSlot, name: str, top: float, bottom: float, draft: Draft) -> None:
    left, least, said = max(slot.top - bottom, top - slot.bottom), draft.settings.least_floor, draft.subject.length
    if left < least - 1e-9:
        met = "they meet" if left <= 0 else f"{said(round(left, 3))} is left between them"
        _tell(slot, f"{met}, the slot and {name}", draft, f"at least {said(least)}, settings.least_floor")


def _tell(slot: RimSlot, text: str, draft: Draft, allowed: str = "") -> None:
    draft.subject.gathering.problem(slot.place, f"panel {draft.panel.name}: {slot.told}: {text}", allowed)
