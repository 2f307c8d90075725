"""All runs of one sheet: each part's operations, slivers cut away, tabs that hold what would come free."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace

from cncpanel.errors import Gathering
from cncpanel.geometry.area import Area
from cncpanel.geometry.pieces import Pieces
from cncpanel.geometry.point import Point
from cncpanel.geometry.region import region_of
from cncpanel.job.model import Settings
from cncpanel.layout.layout import Sheet
from cncpanel.machine.model import Machine
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
from cncpanel.passes.alike import Cleared
from cncpanel.passes.blocked import blocked, blocked_beside, used
from cncpanel.passes.bore import LEAST_HELIX, bore
from cncpanel.passes.bridge import Bar, lifted_near
from cncpanel.passes.crossed import Crossed
from cncpanel.passes.crumbs import crumbs
from cncpanel.passes.doors import Doors, Way
from cncpanel.passes.draft import Draft
from cncpanel.passes.drill import drill
from cncpanel.passes.edge import edge
from cncpanel.passes.edge_room import tell_room
from cncpanel.passes.engrave import engrave
from cncpanel.passes.grip import freeing_force, grip, outline_force
from cncpanel.passes.hold import frame_of, held
from cncpanel.passes.kerf import side_kerf
from cncpanel.passes.limits import named
from cncpanel.passes.nub import Nubs, nubs_of
from cncpanel.passes.otherwise import Otherwise
from cncpanel.passes.profile import Closed, profile, track
from cncpanel.passes.release import releases
from cncpanel.passes.run import CutUsed, Freed, Run, SheetRuns, Tab
from cncpanel.passes.screws import Waste, screwed
from cncpanel.passes.shop import Shop
from cncpanel.passes.skin import through_skin
from cncpanel.passes.slot import rim_slot
from cncpanel.passes.slot_channel import slot_channel
from cncpanel.passes.slot_room import tell_channel_room, tell_slot_room
from cncpanel.passes.spot import Spot, Wall, spots, wall_of
from cncpanel.passes.strength import Owner
from cncpanel.passes.tabs import wood
from cncpanel.passes.waste import Kerf, clearing, flakes, slivers, swept_through, with_entries
from cncpanel.passes.work import Work, works

SKIN = 1.0  # mm; a floor thinner than this holds no piece: common practice
UNDER = 0.01  # mm under a skin: what goes deeper parts what hangs on it
TOUCH = 0.01  # mm by which a kerf may seem to enter a neighbour: chords decide no finer
CUT_BENEATH = (
    "; none stands where the other face is cut beneath: cut the panel from that face alone (face) if it can be"
)
NO_ROOM = "a wider place, a narrower tool (tool), or one that may go straight down: this one needs room for a slope"
LONGEST_TAB = 150.0  # mm along the wall, flanks and all; a longer one is a floor
LEAST_OVER_TAB = 1.0  # mm of material over a tab; a higher tab is no tab


@dataclass(slots=True)
class _Cut:
    """What has been drawn up so far."""

    cleared: Cleared
    drafts: list[Draft] = field(default_factory=list)
    kerfs: list[Kerf] = field(default_factory=list)
    walls: list[Wall] = field(default_factory=list)  # of each kerf
    quiet: list[Point] = field(default_factory=list)
    gone: Area = field(default_factory=lambda: Area.of(()))
    closed: dict[int, tuple[Closed, Way]] = field(default_factory=dict)  # by the number of their draft


@dataclass(frozen=True, slots=True)
class _Bridged:
    """The tabs, what else holds each part, and what the sheet falls into."""

    spots: tuple[Spot, ...] = ()
    freed: tuple[Freed, ...] = ()
    waste: Waste | None = None
    owners: Mapping[int, Owner] = field(default_factory=dict)


def sheet_runs(
    sheet: Sheet,
    plans: Mapping[int, PanelPlan],
    machine: Machine,
    settings: Settings,
    gathering: Gathering,
    under: Sequence[Area] = (),
    undercut: float = 0.0,
) -> SheetRuns:
    """Runs and tabs of the sheet; what cannot be cut or held is gathered as Problems.

    `under` was cut from below before the sheet was turned over: no tab stands there. `undercut`: as in `Shop`.
    """
    shop = Shop(machine, sheet.stock, settings, undercut)
    parts = works(sheet, plans, shop, gathering)
    cut = _Cut(Cleared(shop))
    for work in parts:
        for operation in work.operations:
            _add(operation, work, parts, sheet, shop, cut, gathering)
    bridged = _hold(sheet, parts, plans, shop, cut, gathering, under) if cut.walls else _Bridged()
    chosen = bridged.spots
    bars = [spot.bar for spot in chosen]
    runs = tuple(_over_tabs(draft, bars, shop) for draft in cut.drafts)
    if bridged.waste is not None:
        runs = tuple(_entered(cut, runs, bridged.waste.pieces, bars, shop))
    tabs = tuple(_tab(spot, bridged, shop) for spot in chosen)
    panels = {index: known.panel for index, known in plans.items()}
    screws = screwed(sheet, runs, panels, bridged.waste, shop, gathering)
    runs = (*screws.runs, *runs)
    cuts = tuple(_made(shop.cuts, runs))
    return SheetRuns(
        sheet=sheet.number,
        runs=runs,
        tabs=tabs,
        cuts=cuts,
        freed=bridged.freed,
        screw=settings.screws,
        screws=screws.places,
    )


def _made(cuts: Iterable[CutUsed], runs: Iterable[Run]) -> Iterator[CutUsed]:
    """The cuts that some run goes at: a run that is paced for clearing may have nothing to clear."""
    feeds = {(run.tool, run.rpm, step.feed) for run in runs for step in run.steps}
    for cut in cuts:
        data = cut.data
        going: tuple[float, ...] = (data.feed,)
        if cut.kind == "slot":
            going = (data.feed, data.ramp_feed, data.plunge_feed)
        if any((cut.tool, data.rpm, feed) in feeds for feed in going):
            yield cut


def _add(
    operation: Operation,
    work: Work,
    parts: Sequence[Work],
    sheet: Sheet,
    shop: Shop,
    cut: _Cut,
    gathering: Gathering,
) -> None:
    if isinstance(operation, Profile):
        drafts = list(_profile(operation, work, parts, sheet, shop, cut, gathering))
    elif isinstance(operation, EdgeCut):
        drafts = list(edge(operation, work.title(operation), shop))
        tell_room(operation, drafts, work, parts, sheet, gathering)
    elif isinstance(operation, SlotCut):
        drafts = list(rim_slot(operation, work.title(operation), work.body, shop))
        tell_slot_room(operation, drafts, work, parts, sheet, gathering)
    elif isinstance(operation, SlotChannel):
        drafts = list(slot_channel(operation, work.title(operation), shop))
        tell_channel_room(operation, drafts, work, parts, sheet, gathering)
    else:
        drafts = list(_plain(operation, work, shop, cut.cleared))
        if isinstance(operation, Clear) and operation.depth is None:
            cut.gone = cut.gone.plus(Area.of([operation.region]))
    nothing_left = isinstance(operation, Clear) and operation.after is not None
    if not drafts and not nothing_left and not isinstance(operation, Engrave | SlotCut):
        text = f"{operation.panel}, {operation.feature}: {named(operation.tool)} does not fit into it"
        gathering.problem(work.place, text, "" if operation.tool.plunges else NO_ROOM)
    cut.drafts.extend(drafts)


def _plain(operation: Operation, work: Work, shop: Shop, cleared: Cleared) -> Iterator[Draft]:
    """Runs of what needs to know nothing of its neighbours."""
    title = work.title(operation)
    match operation:
        case SideKerf():
            yield from side_kerf(operation, title, shop)
        case Clear():
            yield from cleared.runs(operation, title)
        case Bore(tool=tool) if tool.plunges or operation.diameter - tool.cut_diameter > 2 * LEAST_HELIX:
            yield bore(operation, title, shop)
        case Drill():
            yield drill(operation, title, shop)
        case Engrave():
            yield from engrave(operation, title, shop)


def _profile(
    operation: Profile,
    work: Work,
    parts: Sequence[Work],
    sheet: Sheet,
    shop: Shop,
    cut: _Cut,
    gathering: Gathering,
) -> Iterator[Draft]:
    others = [other for other in parts if other is not work] if operation.side == "outside" else []
    clamps = blocked_beside(sheet, operation.tool, shop.bottom, shop.machine)
    room = _room(operation, work, others, gathering)
    if clamps and operation.side == "outside":
        room = min(room, work.area.gap(clamps) - operation.tool.cut_diameter)
    way = track(operation, room, shop)
    if way is None:
        return
    drafts: list[Draft] = []
    for closed in profile(operation, way, _scrap(operation, work, parts, sheet, clamps), work.title(operation), shop):
        first = closed.first()
        cut.closed[len(cut.drafts) + len(drafts)] = closed, first
        drafts.append(closed.entered(first))
        cut.quiet.append(closed.met(first))
    drafts += through_skin(operation, way, work.title(operation), shop)
    label = work.part.label
    on_skin = operation.side == "outside" and shop.skin is not None
    area = swept_through(drafts, -shop.outline_depth - UNDER if on_skin else SKIN - shop.stock.thinnest)
    cut.kerfs.append(Kerf(label, operation.panel, operation.tool, area, operation.side == "outside"))
    force = outline_force if operation.side == "outside" else freeing_force
    cut.walls.append(wall_of(operation, label, force(operation.tool, shop)))
    yield from drafts


def _room(operation: Profile, work: Work, others: Sequence[Work], gathering: Gathering) -> float:
    """What is free beyond the tool's width before the nearest part begins, mm."""
    if not others:
        return float("inf")
    gaps = [(_apart(work, other), other.part.label) for other in others]
    least, label = min(gaps)
    room = least - operation.tool.cut_diameter
    if room < -TOUCH:
        gathering.problem(
            work.place,
            f"{work.part.label}: {named(operation.tool)} cuts {-room:.2f} mm into {label}, {least:.2f} mm away",
            f"a gap of {operation.tool.cut_diameter:g} mm at least",
        )
    return room


def _apart(work: Work, other: Work) -> float:
    """The distance between two parts, of which one may lie in the waste of the other's opening."""
    if work.lies_in(other) or other.lies_in(work):
        return work.body.gap(other.body)
    return work.area.gap(other.area)


def _scrap(operation: Profile, work: Work, parts: Sequence[Work], sheet: Sheet, clamps: Area | None) -> Area:
    """Where leads may go: an opening's inside, or the sheet beside the parts and the clamps, centres over the sheet."""
    if operation.side == "inside":
        scrap = Area.of([region_of(operation.contour)])
        for other in parts:
            scrap = scrap.minus(other.area) if other.lies_in(work) else scrap
        return scrap
    r = operation.tool.radius
    scrap = Area.box((-r, -r, sheet.length + r, sheet.width + r))
    for other in parts:
        scrap = scrap.minus(other.body if work.lies_in(other) else other.area)
    return scrap.minus(clamps) if clamps else scrap


def _hold(
    sheet: Sheet,
    parts: Sequence[Work],
    plans: Mapping[int, PanelPlan],
    shop: Shop,
    cut: _Cut,
    gathering: Gathering,
    under: Sequence[Area],
) -> _Bridged:
    _tab_size(parts, cut.walls, shop, gathering)
    whole = Area.box((0.0, 0.0, sheet.length, sheet.width))
    cut_before = used(sheet)
    whole = whole.minus(cut_before) if cut_before else whole
    gone = cut.gone
    for kerf in cut.kerfs:
        gone = gone.plus(kerf.area)
    gone = gone.plus(_cut_away(Pieces(whole, gone), parts, shop, cut, sheet))
    pieces = Pieces(whole, gone)
    owners = _owners(pieces, parts)
    for crumb in crumbs(pieces, parts, cut.kerfs, whole, tuple(owners)):
        gathering.warn(crumb.place, crumb.text, crumb.allowed)
    otherwise = Otherwise(pieces, sheet, cut.kerfs, shop)
    firm = {owner.label for number, owner in owners.items() if not otherwise.is_weak_on_skin(number)}
    freed = tuple(releases(cut.walls, parts, firm, sheet, shop))
    alone = {one.part for one in freed if one.alone}
    free = {number for number, owner in owners.items() if owner.label in alone}
    nubs = nubs_of(parts, plans, {number: owner.label for number, owner in owners.items()})
    kerfs = Crossed(cut.kerfs, {owner.label: number for number, owner in owners.items()})
    found = [kerfs.clear(_spots(wall, pieces, parts, shop, under, nubs)) for wall in cut.walls]
    remedy = CUT_BENEATH if under else ""
    chosen = held(found, pieces, owners, cut.quiet, shop, gathering, otherwise, free, remedy)
    return _Bridged(chosen, freed, Waste(pieces, chosen, frame_of(pieces, owners)), owners)


def _spots(
    wall: Wall, pieces: Pieces, parts: Sequence[Work], shop: Shop, under: Sequence[Area], nubs: Nubs
) -> list[Spot]:
    """Where the wall could have tabs: not where a recess runs out deeper than their tops."""
    here = spots(wall, shop.tab_width, pieces, shop.tab_flank)
    deep = [area for work in parts if work.part.label == wall.part for area in work.deep(-shop.tab_top)]
    deep += under
    free = [spot for spot in here if all(area.distance(spot.bar.centre) > shop.tab_width for area in deep)]
    free = [spot if _is_free_of(deep, spot, shop) else spot.upright for spot in free]
    return nubs.graded(free, shop.tab_width)


def _is_free_of(deep: Sequence[Area], spot: Spot, shop: Shop) -> bool:
    """Whether the spot's flanks keep away from all of it too."""
    reach = shop.tab_width + spot.bar.flank
    return not spot.bar.flank or all(area.distance(spot.bar.centre) > reach for area in deep)


def _owners(pieces: Pieces, parts: Sequence[Work]) -> dict[int, Owner]:
    found: dict[int, Owner] = {}
    for work in parts:
        number = pieces.holding(work.body)
        if number is not None:
            found[number] = Owner(work.part.label, work.place)
    return found


def _cut_away(pieces: Pieces, parts: Sequence[Work], shop: Shop, cut: _Cut, sheet: Sheet) -> Area:
    """Clear the slivers that no tab could hold, or no skin before it is cut; what they were."""
    gone, spared = Area.of(()), blocked(sheet) or Area.of(())
    owners = _owners(pieces, parts)
    kept, otherwise = {*owners, frame_of(pieces, owners)}, Otherwise(pieces, sheet, cut.kerfs, shop)
    for work in parts:
        spared = spared.plus(work.body)

    def weak(number: int) -> bool:
        return number not in kept and otherwise.is_weak_on_skin(number)

    for sliver, kerf in slivers(pieces, owners, cut.kerfs, weak):
        wall = cut.walls[cut.kerfs.index(kerf)]
        area = with_entries(sliver, kerf, wall, shop.wall_allowance)
        drafts = list(clearing(area, kerf, spared, shop))
        cut.drafts.extend(drafts)
        gone = gone.plus(area.grown(TOUCH)) if drafts else gone
    for area in flakes(pieces):
        gone = gone.plus(area.grown(TOUCH))
    return gone


def _tab_size(parts: Sequence[Work], walls: Sequence[Wall], shop: Shop, gathering: Gathering) -> None:
    if shop.tab_top > -LEAST_OVER_TAB:
        gathering.problem(
            parts[0].place,
            f"tabs {shop.tab_height:g} mm high in {shop.stock.name}, {shop.stock.thinnest:g} mm thick",
            f"at most {shop.stock.thinnest - shop.undercut - LEAST_OVER_TAB:g} mm, settings.tab_height",
        )
    widest = max((wall.diameter for wall in walls), default=0.0)
    long = shop.tab_width + widest + 2 * shop.tab_flank
    if shop.tab_flank and long > LONGEST_TAB:
        text = f"sloped tabs keep the tool up over {long:.0f} mm of the wall, {shop.tab_flank:.0f} mm on either slope"
        allowed = f"at most {LONGEST_TAB:g} mm: lower or flat tabs (settings.tab_height, tab_shape), a steeper ramp_deg"
        gathering.problem(parts[0].place, text, allowed)


def _over_tabs(draft: Draft, bars: Sequence[Bar], shop: Shop) -> Run:
    return lifted_near(draft, bars, shop.tab_top, shop.ramp_deg).run


def _entered(cut: _Cut, runs: Sequence[Run], pieces: Pieces, bars: Sequence[Bar], shop: Shop) -> Iterator[Run]:
    """The drafts' runs, those of closed passes with their doors."""
    doors = Doors(pieces, tuple(bars), shop)
    for closed, first in cut.closed.values():
        doors.enter_first(closed, first)
    for number, run in enumerate(runs):
        entries = doors.entries(*cut.closed[number]) if number in cut.closed else None
        yield replace(run, entries=entries) if entries else run


def _tab(spot: Spot, bridged: _Bridged, shop: Shop) -> Tab:
    beyond = bridged.owners.get(spot.other)
    return Tab(
        part=spot.wall.part,
        feature=spot.wall.feature,
        centre=spot.bar.centre,
        along=spot.bar.along,
        width=spot.bar.width,
        top=shop.tab_top,
        height=shop.tab_height,
        grip=grip(shop) * wood(spot, bridged.spots) / spot.bar.width,
        force=spot.wall.force,
        nub=spot.nub,
        flank_deg=shop.ramp_deg if spot.bar.flank else None,
        beyond=beyond.label if beyond else "",
    )
