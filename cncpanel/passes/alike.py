"""Equal pockets are cleared once: the others get the same runs, moved to where they lie."""

from dataclasses import replace

from cncpanel.geometry.placement import Placement
from cncpanel.geometry.point import Point
from cncpanel.geometry.region import Region
from cncpanel.operation.operation import Clear
from cncpanel.passes.clear import clear
from cncpanel.passes.draft import Draft, Title
from cncpanel.passes.run import Step
from cncpanel.passes.shop import Shop

SAME = 6  # decimals of mm to which two pockets are equal; what a placement rounds is far finer

Rings = tuple[tuple[tuple[float, ...], ...], ...]
Pocket = tuple[Rings, Rings, float | None, int, int, str]


class Cleared:
    """What has been cleared on one sheet, by the form of the pocket."""

    def __init__(self, shop: Shop) -> None:
        """Nothing yet."""
        self._shop = shop
        self._known: dict[Pocket, tuple[Point, tuple[Draft, ...]]] = {}

    def runs(self, operation: Clear, title: Title) -> tuple[Draft, ...]:
        """As `clear` gives them."""
        left, low, _, _ = operation.region.bounds
        home = Placement(x=-left, y=-low)
        forms = _form(operation.region.placed(home)), _form(operation.open_region.placed(home))
        after = operation.after.tool.number if operation.after else 0
        pocket: Pocket = (*forms, operation.depth, operation.tool.number, after, operation.lines)
        if pocket not in self._known:
            self._known[pocket] = Point(left, low), clear(operation, title, self._shop)
        (x, y), drafts = self._known[pocket]
        return tuple(_moved(draft, left - x, low - y, title) for draft in drafts)


def _form(region: Region) -> Rings:
    return tuple(tuple(tuple(round(v, SAME) for v in vertex) for vertex in c.vertices) for c in region.contours)


def _moved(draft: Draft, x: float, y: float, title: Title) -> Draft:
    run = draft.run
    if x or y:
        steps = tuple(Step(s.x + x, s.y + y, s.z, s.feed, s.bulge) for s in run.steps)
        run = replace(run, start=run.start.plus(Point(x, y)), steps=steps)
    return replace(draft, run=replace(run, kind=title.kind, part=title.part, feature=title.feature))
