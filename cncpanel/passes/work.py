"""The parts of a sheet with their operations where they lie."""

from collections.abc import Mapping
from dataclasses import dataclass, field

from cncpanel.errors import Gathering, Place
from cncpanel.geometry.area import Area
from cncpanel.geometry.region import region_of
from cncpanel.layout.layout import Part, Sheet, placement
from cncpanel.operation.operation import (
    Bore,
    Clear,
    Drill,
    EdgeCut,
    Engrave,
    Operation,
    PanelPlan,
    Profile,
    SideKerf,
    SlotChannel,
    SlotCut,
)
from cncpanel.passes.draft import Title
from cncpanel.passes.limits import within_limits
from cncpanel.passes.run import RunKind
from cncpanel.passes.shop import Shop


@dataclass(frozen=True, slots=True, kw_only=True)
class Work:
    """One part on the sheet: `area` inside its outline, `body` without openings; `rims`: where each edge is asked."""

    part: Part
    place: Place
    operations: tuple[Operation, ...]
    area: Area
    body: Area
    rims: Mapping[str, Place] = field(default_factory=dict)

    def lies_in(self, other: "Work") -> bool:
        """Whether this part lies in the waste of the other's opening."""
        (left, low, right, high), (x, y, end, top) = self.area.bounds, other.area.bounds
        if self is other or left < x or low < y or right > end or high > top:
            return False
        return self.area.overlap(other.area) > self.area.size / 2

    def deep(self, depth: float) -> list[Area]:
        """Where recesses deeper than `depth` are cleared, over the rim too."""
        return [
            Area.of([operation.open_region])
            for operation in self.operations
            if isinstance(operation, Clear) and operation.depth is not None and operation.depth > depth
        ]

    def title(self, operation: Operation) -> Title:
        """Whose runs the operation's are."""
        kind = kind_of(operation)
        area = abs(operation.contour.area) if isinstance(operation, Profile) and kind == "outline" else 0.0
        return Title(kind, self.part.label, operation.feature, operation.tool, area)


def works(sheet: Sheet, plans: Mapping[int, PanelPlan], shop: Shop, gathering: Gathering) -> tuple[Work, ...]:
    """All parts of the sheet; operations beyond a limit are told and left out."""
    return tuple(_work(part, plans[part.panel], shop, gathering) for part in sheet.parts)


def _work(part: Part, plan: PanelPlan, shop: Shop, gathering: Gathering) -> Work:
    where, place = placement(plan.panel, part), plan.panel.place
    placed = tuple(
        operation.placed(where) for operation in plan.operations if within_limits(operation, place, shop, gathering)
    )
    area = Area.of([region_of(where.contour(plan.panel.outline))])
    later = Area.of([region_of(where.contour(contour)) for contour in plan.panel.later])
    rims = {edge.name: edge.place for edge in plan.panel.edges} | {slot.name: slot.place for slot in plan.panel.slots}
    return Work(part=part, place=place, operations=placed, area=area, body=_body(area, placed).minus(later), rims=rims)


def _body(area: Area, operations: tuple[Operation, ...]) -> Area:
    for operation in operations:
        if isinstance(operation, Profile) and operation.side == "inside":
            area = area.minus(Area.of([region_of(operation.contour)]))
        if isinstance(operation, Clear) and operation.depth is None:
            area = area.minus(Area.of([operation.region]))
    return area


def kind_of(operation: Operation) -> RunKind:
    """What the operation makes, for the order on the sheet."""
    match operation:
        case Engrave():
            return "mark"
        case Bore() | Drill():
            return "hole"
        case Clear(depth=None):
            return "opening"
        case Clear() | SideKerf():
            return "recess"
        case Profile(side="outside"):
            return "outline"
        case EdgeCut() | SlotCut() | SlotChannel():
            return "edge"
    return "opening"
