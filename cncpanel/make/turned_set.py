"""A sheet that is cut from both faces: two set-ups, the turn between them, and the proof that joins them."""

from collections.abc import Iterator, Mapping
from dataclasses import replace

from cncpanel import wanted
from cncpanel.errors import Gathering
from cncpanel.geometry.area import Area
from cncpanel.geometry.contour import circle
from cncpanel.geometry.placement import Placement
from cncpanel.geometry.region import region_of
from cncpanel.geometry.ring import ring_of
from cncpanel.job.model import Settings
from cncpanel.job.read import ReadJob
from cncpanel.layout.layout import Sheet, placement
from cncpanel.layout.side import Side
from cncpanel.layout.turned import flipped, needs_turning, turned_over
from cncpanel.machine.model import Machine
from cncpanel.make.sheet_set import SheetSet, Written, cut, sheet_set, target_of, witnessed_set, written_of
from cncpanel.operation.operation import (
    Bore,
    Clear,
    Drill,
    EdgeCut,
    Engrave,
    Operation,
    PanelPlan,
    SideKerf,
    SlotChannel,
)
from cncpanel.panel.panel import Panel
from cncpanel.passes.dowel import dowel_places, dowel_runs
from cncpanel.passes.run import SheetRuns
from cncpanel.passes.sheet import sheet_runs
from cncpanel.passes.shop import Shop
from cncpanel.proof.both_sides import Turn, both_sides_findings, dowel_discs
from cncpanel.proof.report import Report
from cncpanel.proof.setup import Setup
from cncpanel.proof.sheet_ground import as_it_lies

Plans = tuple[PanelPlan, ...]
OFF_BESIDE = 1.0  # mm; as finely as the witness looks beside a tab for what was cut beneath


def made_set(
    sheet: Sheet,
    sheets: int,
    plans: Plans,
    reverse: Plans,
    machine: Machine,
    read: ReadJob,
    gathering: Gathering,
) -> SheetSet:
    """The sheet's set, of one set-up or of two; `reverse` are the plans of the panels' other faces."""
    panels = {plan.panel.index: plan.panel for plan in plans}
    if not needs_turning(sheet, panels):
        return sheet_set(sheet, sheets, plans, machine, read, gathering)
    first, second = set_ups(sheet, plans, reverse, machine, read.job.settings, gathering)
    spots = tuple(spot for plan in reverse for spot in plan.spots)
    assert first[0].side is not None, "a sheet that is turned has sides"
    wanted_first = wanted.turned_target(read, sheet, first[0].side.axis, spots)
    wanted_second = target_of(second[0], second[1], plans, machine, read)
    before, under = witnessed_set(*_in(first, sheets), wanted_first, machine, read, gathering)
    after, over = witnessed_set(*_in(second, sheets), wanted_second, machine, read, gathering)
    setup = Setup(machine, sheet.stock.thickest)
    turn = turn_of(first[0], machine, read.job.settings)
    found = both_sides_findings(under.carved, over.carved, as_it_lies(wanted_second, setup), setup, turn)
    joined = Report(findings=tuple(found), dropped=0, numbers={})
    return replace(after, before=before, report=after.report.and_also(before.report).and_also(joined))


def cut_both(
    sheet: Sheet,
    sheets: int,
    plans: Plans,
    reverse: Plans,
    machine: Machine,
    read: ReadJob,
    gathering: Gathering,
) -> tuple[Written, ...]:
    """All programs of the sheet with their times, of one set-up or of two, not proven yet."""
    if not needs_turning(sheet, {plan.panel.index: plan.panel for plan in plans}):
        return cut(sheet, sheets, plans, machine, read, gathering)[1]
    both = set_ups(sheet, plans, reverse, machine, read.job.settings, gathering)
    return tuple(one for lies, runs in both for one in written_of(lies, sheets, runs, machine, read, gathering))


def _in(set_up: tuple[Sheet, SheetRuns], sheets: int) -> tuple[Sheet, int, SheetRuns]:
    return set_up[0], sheets, set_up[1]


def set_ups(
    sheet: Sheet, plans: Plans, reverse: Plans, machine: Machine, settings: Settings, gathering: Gathering
) -> tuple[tuple[Sheet, SheetRuns], tuple[Sheet, SheetRuns]]:
    """The sheet before and after its turn, with the runs of each; dowels that find no room are told."""
    side = _side(machine, settings)
    panels = {plan.panel.index: plan.panel for plan in plans}
    under = turned_over(sheet, panels, side.axis)
    before = sheet_runs(under, _by_panel(reverse), machine, settings, gathering)
    low = undercut(sheet, reverse)
    _tell_skin(sheet, reverse, settings, gathering)
    _tell_struck(sheet, plans, low, machine, settings, gathering)
    beneath = _under(sheet, plans, reverse, machine, settings)
    after = sheet_runs(sheet, _by_panel(plans), machine, settings, gathering, beneath, low)
    if side.by == "dowels":
        shop = Shop(machine, under.stock, settings)
        places = dowel_places((sheet, after), (under, before), panels, side, shop)
        side = replace(side, dowels=tuple(places))
        before = _with_dowels(before, under, side, machine, settings, panels, gathering)
    board = (sheet.length, sheet.width)
    first = replace(side, number=1, dowels=tuple(flipped(p, board, side.axis) for p in side.dowels))
    return (replace(under, side=first), before), (replace(sheet, side=side), after)


def undercut(sheet: Sheet, reverse: Plans) -> float:
    """How deep rims all round were cut from below, mm: tabs on such a wall stand over that, and are so much higher."""
    kerfs = [one for plan in _on(sheet, reverse) for one in plan.operations if isinstance(one, SideKerf)]
    return max((one.depth for one in kerfs if one.edge.stretch is None), default=0.0)


def _on(sheet: Sheet, plans: Plans) -> list[PanelPlan]:
    """The plans of the sheet's panels."""
    panels = {part.panel for part in sheet.parts}
    return [plan for plan in plans if plan.panel.index in panels]


def _tell_skin(sheet: Sheet, reverse: Plans, settings: Settings, gathering: Gathering) -> None:
    """A skin lies at the underside: where a rim of that face was cut there is none."""
    if settings.hold == "skin":
        for plan in _on(sheet, reverse):
            kerfs = [one for one in plan.operations if isinstance(one, SideKerf)]
            if kerfs:
                text = f"{plan.panel.name}: no skin holds it, the {kerfs[0].feature} of the face below is cut before"
                gathering.problem(plan.panel.place, text, 'settings.hold = "tabs", or that rim at the bench')


def _tell_struck(
    sheet: Sheet, plans: Plans, low: float, machine: Machine, settings: Settings, gathering: Gathering
) -> None:
    """Edges of the face that lies up, and channels for slots, whose tools would strike tabs that stand higher."""
    room = -Shop(machine, sheet.stock, settings, low).tab_top
    for plan in _on(sheet, plans) if low else []:
        for one in plan.operations:
            if isinstance(one, EdgeCut | SlotChannel) and one.depth > room + 1e-6:
                text = (
                    f"{plan.panel.name}, {one.feature}: T{one.tool.number} {one.tool.name} goes {one.depth:.2f} mm "
                    f"deep and would strike the tabs: they stand over the other face's rims, {room:.2f} mm down"
                )
                gathering.problem(plan.panel.place, text, "smaller edges, lower tabs, or a thicker board")


def _under(sheet: Sheet, plans: Plans, reverse: Plans, machine: Machine, settings: Settings) -> list[Area]:
    """What set-up one cut and tabs keep off, where it lies under the turned sheet; rims all round have `undercut`.

    Panels' frames are the same for both faces. Narrow tabs are told of more than what is cut: the turned sheet may lie
    farther off its place than the tab's own width keeps it away.
    """
    width = settings.tab_width or machine.cutting.tab_width
    more = max(machine.turning.error + OFF_BESIDE - width / 2, 0.0)
    panels, cut_below = {plan.panel.index: plan.panel for plan in plans}, _by_panel(reverse)
    return [
        area.grown(more) if more else area
        for part in sheet.parts
        for operation in cut_below[part.panel].operations
        for area in _cut_beside_tabs(operation, placement(panels[part.panel], part))
    ]


def _cut_beside_tabs(operation: Operation, where: Placement) -> Iterator[Area]:
    if isinstance(operation, Clear):
        yield Area.of([operation.open_region.placed(where)])
    if isinstance(operation, Bore | Drill):
        yield Area.of([region_of(circle(where.point(operation.centre), operation.diameter / 2))])
    if isinstance(operation, Engrave):
        strokes = map(where.path, (*operation.strokes, *operation.mirrored_strokes))
        yield Area.swept([stroke.segments for stroke in strokes], operation.tool.radius)
    if isinstance(operation, SideKerf) and operation.edge.stretch is not None:
        lies = operation.placed(where).edge
        assert lies.stretch is not None, "a stretch stays one"
        chain = ring_of(lies.contour).stretch(lies.stretch.start, lies.stretch.stop)
        yield Area.swept([chain], operation.tool.cut_diameter)


def _side(machine: Machine, settings: Settings) -> Side:
    """As the job says, else as the machine file does; set-up two's."""
    habit, asked = machine.turning, settings.turning
    return Side(number=2, axis=asked.axis or habit.axis, by=asked.by or habit.by, dowel=asked.dowel or habit.dowel)


def _with_dowels(
    runs: SheetRuns,
    under: Sheet,
    side: Side,
    machine: Machine,
    settings: Settings,
    panels: Mapping[int, Panel],
    gathering: Gathering,
) -> SheetRuns:
    shop = Shop(machine, under.stock, settings)
    places = [flipped(p, (under.length, under.width), side.axis) for p in side.dowels]
    holes = dowel_runs(places, side, shop)
    if not holes:
        _tell_no_dowels(under, side, panels, gathering)
    return replace(runs, runs=(*holes, *runs.runs), cuts=(*runs.cuts, *(cut for cut in shop.cuts if holes)))


def _tell_no_dowels(under: Sheet, side: Side, panels: Mapping[int, Panel], gathering: Gathering) -> None:
    place = panels[under.parts[0].panel].place
    if side.dowels:
        text = f"sheet {under.number} is cut from both faces: no tool bores dowel holes of {side.dowel:g} mm through it"
        gathering.problem(place, text, "a longer tool, another settings.turning.dowel, or settings.turning.by edge")
        return
    text = f"sheet {under.number} is cut from both faces: its waste has no room for two dowels of {side.dowel:g} mm"
    gathering.problem(place, text, "a wider margin of the stock, or settings.turning.by edge")


def _by_panel(plans: Plans) -> dict[int, PanelPlan]:
    return {plan.panel.index: plan for plan in plans}


def turn_of(under: Sheet, machine: Machine, settings: Settings) -> Turn:
    """What the witness is told of the turn; `under` is the sheet before it."""
    side, setup = under.side, Setup(machine, under.stock.thickest)
    assert side is not None, "a sheet before its turn has a side"
    return Turn(
        axis=side.axis,
        error=machine.turning.error,
        thinnest=under.stock.thinnest,
        least=settings.least_floor,
        tab=settings.tab_height or machine.cutting.tab_height,
        dowels=dowel_discs(side.dowels, side.dowel, setup, under.width),
    )
