"""Every feature of every panel becomes an operation; tools are chosen over all panels of a stock together."""

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from functools import partial

from cncpanel.errors import Gathering
from cncpanel.geometry.combine import difference
from cncpanel.geometry.offset import offset
from cncpanel.geometry.point import Point
from cncpanel.geometry.region import Region
from cncpanel.geometry.tolerance import PATH
from cncpanel.job.model import Settings, Stock
from cncpanel.machine.model import Machine
from cncpanel.machine.tool import Tool
from cncpanel.operation.choose import choose
from cncpanel.operation.edge_kerf import opened_beside
from cncpanel.operation.edge_way import Kerf, edge_ways, kerf_of
from cncpanel.operation.flutes import LIFTED_SKIN
from cncpanel.operation.operation import (
    Clear,
    EdgeCut,
    Operation,
    PanelPlan,
    Profile,
    SideKerf,
    SlotCut,
    Spot,
)
from cncpanel.operation.rack import Bench
from cncpanel.operation.second import Made, with_second_clearing
from cncpanel.operation.slot_way import AT_THE_BENCH, slot_need
from cncpanel.operation.way import ORDER, Need, Refusal, Way, refused
from cncpanel.operation.ways import RUN_OUT, centre_of, hole_way, mark_way, opening_way, outline_way, recess_way
from cncpanel.panel.edge import Edge
from cncpanel.panel.panel import Hole, Mark, Opening, Panel, Recess

TOLD = 24  # spots listed in one warning, largest first; all of them are in the plan and in job.json
CORNER = 1.5  # tool diameters across; a corner's spot is smaller, a larger one lies where the tool does not go at all
Feature = Mark | Recess | Hole | Opening
Try = Callable[[Tool], Way | Refusal]


def plan(
    panels: Sequence[Panel],
    machine: Machine,
    settings: Settings,
    gathering: Gathering,
    later: Sequence[PanelPlan] = (),
) -> tuple[PanelPlan, ...]:
    """Operations for each panel, in the panels' order; a feature that no tool makes is a Problem.

    Of panels before their turn `later` are the plans after it: their rims follow the walls that are cut there.
    """
    plans: dict[int, PanelPlan] = {}
    walls = {one.panel.index: one.operations for one in later}
    for stock in dict.fromkeys(panel.stock for panel in panels):
        plans |= _stock_plans([p for p in panels if p.stock == stock], stock, machine, settings, gathering, walls)
    return tuple(plans[panel.index] for panel in panels)


def _stock_plans(
    panels: Sequence[Panel],
    stock: Stock,
    machine: Machine,
    settings: Settings,
    gathering: Gathering,
    walls: Mapping[int, Sequence[Operation]],
) -> dict[int, PanelPlan]:
    bench = Bench(machine=machine, stock=stock, settings=settings)
    needs = [(panel, need) for panel in panels for need in _needs(panel, bench)]
    met = [(panel, need) for panel, need in needs if _told_if_unmet(need, gathering)]
    chosen = choose([need for _, need in met])
    made = [(panel, need, way) for (panel, need), way in zip(met, chosen, strict=True)]
    made = with_second_clearing(made, bench)
    _tell_lifted_skins(made, settings, gathering)
    rims = _edges_made(panels, made, bench, gathering, walls)
    made += [*_kerfs_made(rims, walls), *rims, *_slots_made(panels, made, bench, gathering)]
    return {panel.index: _panel_plan(panel, [m for m in made if m[0] is panel], gathering) for panel in panels}


def _tell_lifted_skins(made: Sequence[Made], settings: Settings, gathering: Gathering) -> None:
    for panel, need, way in made:
        if settings.hold == "skin" and need.feature == "outline" and way.tool.kind == "compression":
            gathering.warn(
                need.place,
                f"panel {panel.name}: outline: T{way.tool.number} {way.tool.name} on a skin: {LIFTED_SKIN}",
                'settings.hold = "tabs", or "vacuum" on a table that has it, for a compression tool',
            )


def _edges_made(
    panels: Sequence[Panel],
    made: Sequence[Made],
    bench: Bench,
    gathering: Gathering,
    walls: Mapping[int, Sequence[Operation]],
) -> list[Made]:
    """Edges after all else, since they need to know by which tool their wall was cut."""
    needs = []
    for panel in panels:
        operations = (
            walls.get(panel.index, ()) if panel.first else [way.operation for one, _, way in made if one is panel]
        )
        for edge in panel.edges:
            kerf = kerf_of(edge, operations)
            if kerf is not None:  # else its rim has been told already
                needs.append((panel, _edge_need(panel, edge, kerf.opened if panel.first else kerf, bench)))
    met = [(panel, need) for panel, need in needs if _told_if_unmet(need, gathering)]
    chosen = choose([need for _, need in met])
    return [(panel, need, way) for (panel, need), way in zip(met, chosen, strict=True)]


def _slots_made(panels: Sequence[Panel], made: Sequence[Made], bench: Bench, gathering: Gathering) -> list[Made]:
    """Slots into rims likewise; their channels are opened by the tool that has cut the wall."""
    needs = []
    for panel in panels:
        operations = [way.operation for one, _, way in made if one is panel]
        for slot in panel.slots:
            wall = next((one for one in operations if one.feature == slot.rim), None)
            if isinstance(wall, Profile | Clear):  # else its rim has been told already
                needs.append((panel, slot_need(panel, slot, wall, bench)))
    met = [(panel, need) for panel, need in needs if _told_if_unmet(need, gathering, AT_THE_BENCH)]
    return [(panel, need, way) for (panel, need), way in zip(met, choose([need for _, need in met]), strict=True)]


def _kerfs_made(rims: Sequence[Made], walls: Mapping[int, Sequence[Operation]]) -> Iterator[Made]:
    """Before the turn no wall is cut yet: a kerf beside each rim for its tool's end, by the tool that cuts the wall."""
    for panel, need, way in rims:
        cut, edge = (
            way.operation,
            next(one for one in panel.edges if one.place == need.place and one.name == need.feature),
        )
        if panel.first and isinstance(cut, EdgeCut):
            operation = opened_beside(edge, cut, walls[panel.index])
            kerf = replace(need, feature=operation.feature, order=ORDER["recess"])
            yield panel, kerf, Way(tool=operation.tool, operation=operation, time_s=0.0)


def _edge_need(panel: Panel, edge: Edge, kerf: Kerf, bench: Bench) -> Need:
    tools = [tool for tool in bench.machine.tool if edge.tool in (None, tool.name)]
    tried = edge_ways(panel, edge, kerf, bench, tools)
    return Need(
        panel=panel.name,
        feature=edge.name,
        order=ORDER["edge"],
        place=edge.place,
        asked=edge.tool,
        ways=tuple(way for way in tried if isinstance(way, Way)),
        refusals=tuple(way for way in tried if isinstance(way, Refusal)),
    )


def _needs(panel: Panel, bench: Bench) -> Iterable[Need]:
    for mark in panel.marks:
        yield _need(panel, mark, "mark", partial(mark_way, panel, mark, bench), bench)
    for recess in panel.recesses:
        yield _need(panel, recess, "recess", partial(recess_way, panel, recess, bench), bench)
    for hole in panel.holes:
        yield _need(panel, hole, "hole", partial(hole_way, panel, hole, bench), bench)
    for opening in panel.openings:
        yield _need(panel, opening, "opening", partial(opening_way, panel, opening, bench), bench)
    if not panel.first:
        yield _need(panel, None, "outline", partial(outline_way, panel, bench), bench)


def _need(panel: Panel, feature: Feature | None, kind: str, attempt: Try, bench: Bench) -> Need:
    asked = feature.tool if feature else None
    tried = [attempt(tool) for tool in bench.machine.tool if asked in (None, tool.name)]
    return Need(
        panel=panel.name,
        feature=feature.name if feature else "outline",
        order=ORDER[kind],
        place=feature.place if feature else panel.place,
        asked=asked,
        ways=tuple(t for t in tried if isinstance(t, Way)),
        refusals=tuple(t for t in tried if isinstance(t, Refusal)),
    )


def _told_if_unmet(need: Need, gathering: Gathering, or_else: str = "") -> bool:
    if need.ways:
        return True
    who = f"panel {need.panel}: {need.feature}"
    if need.asked is not None and not need.refusals:
        gathering.problem(need.place, f"{who}: tool {need.asked!r} is not in the machine's rack")
        return False
    reasons = "; ".join((*refused(need.refusals), *([or_else] if or_else else [])))
    gathering.problem(need.place, f"{who}: no tool fits", reasons)
    return False


def _panel_plan(panel: Panel, made: Sequence[tuple[Panel, Need, Way]], gathering: Gathering) -> PanelPlan:
    ordered = sorted(made, key=lambda m: m[1].order)
    spots = [spot for _, need, way in ordered for spot in _spots(need, way)]
    for _, need, way in ordered:
        _tell_spots(need, way, panel.drawn_at, gathering)
    return PanelPlan(
        panel=panel, operations=tuple(one for _, _, way in ordered for one in way.operations), spots=tuple(spots)
    )


def _spots(need: Need, way: Way) -> list[Spot]:
    return [
        Spot(
            panel=need.panel,
            feature=need.feature,
            at=centre_of(region),
            size=max(region.bounds[2] - region.bounds[0], region.bounds[3] - region.bounds[1]),
            region=region,
            place=need.place,
        )
        for region in way.missed
    ]


def _tell_spots(need: Need, way: Way, drawn_at: Point, gathering: Gathering) -> None:
    """Positions are told as the author drew them, whose outline need not begin at 0, 0."""
    spots = _spots(need, way)
    if not spots:
        return
    spots = sorted(spots, key=lambda spot: -round(spot.size, 2))
    where = ", ".join(f"({s.at.x + drawn_at.x:.1f}, {s.at.y + drawn_at.y:.1f}) {s.size:.2f} mm" for s in spots[:TOLD])
    more = f" and {len(spots) - TOLD} more, none larger" if len(spots) > TOLD else ""
    wide = way.tool.cut_diameter
    narrow = (
        f"a spot larger than a corner's is a place narrower than {wide:g} mm: draw it wider, fit a narrower tool or "
        "cut it by hand; "
    )
    gathering.warn(
        need.place,
        f"panel {need.panel}: {need.feature}: T{way.tool.number} {way.tool.name} cannot reach {len(spots)} "
        f"spot{'s' if len(spots) > 1 else ''}: {where}{more}",
        f"{narrow if spots[0].size > CORNER * wide else ''}"
        "a round tool leaves its radius in inside corners: finish by hand or draw a radius",
    )


def tool_reach(plans: Iterable[PanelPlan]) -> float:
    """The farthest that any tool of the plans goes past a finished outline, leads into free scrap apart.

    Round the outline it is the tool's width; over the rim, where a rabbet or groove runs out, half of it and RUN_OUT,
    or all of it where it runs out aslant; along an edge as far as its tool flares out over the scrap.
    """
    return max((_reach(plan.panel, operation) for plan in plans for operation in plan.operations), default=0.0)


def _reach(panel: Panel, operation: Operation) -> float:
    match operation:
        case Profile(side="outside", tool=tool):
            return tool.cut_diameter
        case Clear(tool=tool) if difference((operation.open_region,), (Region(panel.outline),)):
            usual = offset((Region(panel.outline),), tool.radius + RUN_OUT + PATH)
            farther = difference((operation.open_region,), usual)
            return (tool.cut_diameter if farther else tool.radius) + RUN_OUT
        case EdgeCut(side="outside", reach=reach):
            return reach
        case SideKerf(edge=EdgeCut(side="outside"), reach=reach):
            return reach
        case SlotCut(side="outside", room=room):
            return room
    return 0.0
