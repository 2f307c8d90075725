"""The whole flow on one screen: job file -> panels -> operations -> layout -> passes -> programs -> proof."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field, replace
from pathlib import Path

from cncpanel.cabinet.derive import Whole, read_cabinet
from cncpanel.errors import Gathering, Place, ProblemsFound
from cncpanel.errors.toml import TomlFile, read_toml
from cncpanel.job.model import OffcutSize, Stock
from cncpanel.job.read import ReadJob
from cncpanel.layout.layout import Layout
from cncpanel.layout.leftover import Left
from cncpanel.layout.nut_room import with_nut_room
from cncpanel.layout.saw.plan import SawPlan
from cncpanel.layout.saw.planner import saw_plan
from cncpanel.layout.turned import reverses
from cncpanel.machine.model import Machine
from cncpanel.machine.read import read_machine
from cncpanel.make.arrange import arranged
from cncpanel.make.batch import joined
from cncpanel.make.choice import SAW, Choice
from cncpanel.make.fit_flow import tell_misfits
from cncpanel.make.floor_checks import tell_floors
from cncpanel.make.holding_checks import tell_hold, tell_lone, tell_screws, tell_screws_turned
from cncpanel.make.inch_words import InchWords
from cncpanel.make.keeping import given_back_on_failure, kept_pieces
from cncpanel.make.left import left_of
from cncpanel.make.rack import Rack, offering, rack_of
from cncpanel.make.sheet_id import identities
from cncpanel.make.sheet_set import SheetSet
from cncpanel.make.turned_set import made_set
from cncpanel.make.unprintable import tell_unprintable
from cncpanel.operation.operation import PanelPlan
from cncpanel.operation.plan import plan, tool_reach
from cncpanel.panel.panel import Panel
from cncpanel.panel.resolve import resolve
from cncpanel.sequence.envelope import check_stock

Tell = Callable[[str], None]


@dataclass(frozen=True, slots=True, kw_only=True)
class Prepared:
    """A job whose parts lie on their sheets, before anything is cut."""

    read: ReadJob
    machine: Machine
    panels: tuple[Panel, ...]
    plans: tuple[PanelPlan, ...]
    layout: Layout
    gathering: Gathering
    rack: Rack | None = None
    whole: Whole | None = None
    reverse: tuple[PanelPlan, ...] = ()
    """The plans of the panels' other faces, where any has something on it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Made:
    """Everything that one run made of a job, before it is written."""

    read: ReadJob
    machine: Machine
    panels: tuple[Panel, ...]
    plans: tuple[PanelPlan, ...]
    layout: Layout
    sheets: tuple[SheetSet, ...]
    gathering: Gathering
    rack: Rack | None = None
    whole: Whole | None = None
    left: Left = field(default_factory=dict)
    saw: SawPlan | None = None
    reverse: tuple[PanelPlan, ...] = ()

    @property
    def passed(self) -> bool:
        """Whether every program of the job passed its proof."""
        return all(sheet.report.passed for sheet in self.sheets)


def make(path: Path, choice: Choice, tell: Tell) -> Made:
    """Make and prove everything; raises ProblemsFound with every mistake that could be found."""
    prepared = prepare(path, choice, tell)
    while not _kept(prepared):
        tell("another run took one of the offcuts; beginning again")
        prepared = prepare(path, choice, tell)
    with given_back_on_failure(prepared.rack, prepared.layout.sheets):
        return _made(prepared, choice, tell)


def _kept(prepared: Prepared) -> bool:
    """Whether the offcuts of the layout are kept for the set now."""
    sheets = prepared.layout.sheets
    return kept_pieces(prepared.rack, prepared.read, identities(prepared.read, prepared.machine, sheets), sheets)


def _made(prepared: Prepared, choice: Choice, tell: Tell) -> Made:
    read, machine, plans, gathering = prepared.read, prepared.machine, prepared.plans, prepared.gathering
    count = len(prepared.layout.sheets)
    sheets = []
    for sheet in prepared.layout.sheets:
        tell(f"cutting and proving sheet {sheet.number} of {count}")
        sheets.append(made_set(sheet, count, plans, prepared.reverse, machine, read, gathering))
    sawn = None
    if SAW in choice.kinds(read.job):
        tell("planning the saw's cuts")
        sawn = saw_plan(read, prepared.panels, gathering)
    gathering.stop_if_any()
    return Made(
        saw=sawn,
        reverse=prepared.reverse,
        read=read,
        machine=machine,
        panels=prepared.panels,
        plans=plans,
        layout=prepared.layout,
        sheets=tuple(sheets),
        gathering=gathering,
        rack=prepared.rack,
        whole=prepared.whole,
        left=left_of(_as_cut(prepared.layout, sheets), read, machine, plans, prepared.rack),
    )


def _as_cut(layout: Layout, sheets: Sequence[SheetSet]) -> Layout:
    """The layout with what screws and dowels take of its sheets."""
    cut = {made.sheet.number: made.sheet for made in sheets}
    known = ((sheet, cut[sheet.number]) for sheet in layout.sheets)
    return replace(layout, sheets=tuple(replace(sheet, stock=made.stock, side=made.side) for sheet, made in known))


def prepare(path: Path, choice: Choice, tell: Tell) -> Prepared:
    """Read the job, choose tools and place its parts; raises ProblemsFound with every mistake that could be found."""
    gathering = Gathering()
    tell("reading the job")
    whole = _read(path, choice, gathering)
    read = whole.read
    machine = _machine(read.file, path, choice, gathering)
    rack = rack_of(read, path, choice, gathering)
    if rack is not None and machine is not None:
        read = offering(read, rack, machine, gathering)
    panels = resolve(read, gathering)
    tell_unprintable(read.file, gathering)
    tell_misfits(whole, panels, gathering)
    if machine is not None:
        _tell_sheets_beyond(read, panels, machine, gathering)
        tell_floors(read, panels, machine, gathering)
        tell_hold(read, panels, machine, gathering)
        tell_lone(read, panels, machine, gathering)
        tell_screws(read, panels, machine, gathering)
        if read.job.job.units == "inch":
            gathering.words = InchWords(panels, machine)
    settings = read.job.settings
    if machine is not None and all(problem.place.key.startswith("panel[") for problem in gathering.problems):
        sound = tuple(_sound(panels, gathering))
        if len(sound) < len(panels):
            plan(sound, machine, settings, gathering)
    gathering.stop_if_any()
    assert machine is not None, "a machine without problems is a machine"

    tell("choosing tools")
    plans = plan(panels, machine, settings, gathering)
    reverse = plan(reverses(panels), machine, settings, gathering, plans)

    tell("placing parts on sheets")
    gap = _gap(read, (*plans, *reverse), gathering)
    read, stocks = _clear_of_nuts(read, (*plans, *reverse), machine, gap)
    panels = tuple(replace(panel, stock=stocks[panel.stock.name]) for panel in panels)
    layout = arranged(path, read, panels, plans, gap, choice, tell, gathering)
    _tell_sheets_short(read, layout, gathering)
    tell_screws_turned(read, layout, panels, gathering)
    gathering.stop_if_any()
    return Prepared(
        read=read,
        machine=machine,
        panels=panels,
        plans=plans,
        layout=layout,
        gathering=gathering,
        rack=rack,
        whole=whole,
        reverse=reverse,
    )


def _sound(panels: Sequence[Panel], gathering: Gathering) -> Iterator[Panel]:
    """Panels with no mistake of their own, in which mistakes of tools can be told beside those of others."""
    wrong = {(problem.place.file, problem.place.key) for problem in gathering.problems}
    for panel in panels:
        file, own = panel.place.file, panel.place.key
        if not any(there == file and (key == own or key.startswith(f"{own}.")) for there, key in wrong):
            yield panel


def _read(path: Path, choice: Choice, gathering: Gathering) -> Whole:
    """The job, or several as one; where it has mistakes, those of its machine are told with them."""
    if choice.together:
        return Whole(read=joined(choice, gathering), assembly=None, fitted=())
    try:
        return read_cabinet(path, gathering)
    except ProblemsFound as found:
        beside = Gathering(list(found.problems))
        _machine(read_toml(path), path, choice, beside)
        raise ProblemsFound(beside.found) from None


def _machine(file: TomlFile, path: Path, choice: Choice, gathering: Gathering) -> Machine | None:
    """The machine that was chosen or that the job names; what is wrong with it goes to the other mistakes."""
    name = _named_machine(file) if choice.machine is None else choice.machine
    if name is None:
        if "saw" in file.data:  # else told with the job's own mistakes
            place = file.place(("job", "machine"))
            gathering.problem(place, "missing: this job is for the saw only", "a machine, or `cncpanel saw`")
        return None
    try:
        return read_machine(name, beside=path.parent if choice.machine is None else Path())  # as one stands
    except ProblemsFound as found:
        unplaced = file.place(("job", "machine")) if choice.machine is None else Place("--machine")
        gathering.found += [replace(p, place=unplaced) if p.place == Place("machine") else p for p in found.problems]
        return None


def _named_machine(file: TomlFile) -> str | None:
    head = file.data.get("job")
    name = head.get("machine") if isinstance(head, dict) else None
    return name if isinstance(name, str) and name else None


def _tell_sheets_beyond(read: ReadJob, panels: tuple[Panel, ...], machine: Machine, gathering: Gathering) -> None:
    used = {panel.stock.name for panel in panels}
    for index, stock in enumerate(read.job.stock):
        if stock.name in used:
            check_stock(stock, read.file.place(("stock", index, "sheet")), machine, gathering)
            written = [size for size in stock.size if not isinstance(size, OffcutSize)]
            for number, size in enumerate(written):
                place = read.file.place(("stock", index, "size", number, "sheet"))
                check_stock(stock.of_size(size), place, machine, gathering)


def _gap(read: ReadJob, plans: tuple[PanelPlan, ...], gathering: Gathering) -> float:
    """The gap between parts: what the job says if the tools have room there, else their reach and a spare."""
    settings, reach = read.job.settings, tool_reach(plans)
    if settings.gap is None:
        return reach + settings.spare
    if settings.gap < reach - 1e-9:
        gathering.problem(
            read.file.place(("settings", "gap")),
            f"a gap of {settings.gap:g} mm is less than the {reach:g} mm a tool reaches past a wall",
            f"at least {reach:g}, or leave it out",
        )
    return settings.gap


def _clear_of_nuts(
    read: ReadJob, plans: Sequence[PanelPlan], machine: Machine, gap: float
) -> tuple[ReadJob, dict[str, Stock]]:
    """The job with room for collet nuts beside its tall clamps, and its stocks by name."""
    job, asked = read.job, read.job.settings.wall_allowance
    spare = max(job.settings.spare, machine.cutting.finish_allowance if asked is None else asked)
    stocks = {
        stock.name: with_nut_room(
            stock, [plan for plan in plans if plan.panel.stock.name == stock.name], machine, gap, spare
        )
        for stock in job.stock
    }
    return replace(read, job=job.model_copy(update={"stock": tuple(stocks.values())})), stocks


def _tell_sheets_short(read: ReadJob, layout: Layout, gathering: Gathering) -> None:
    for index, stock in enumerate(read.job.stock):
        own = stock.model_copy(update={"size": ()})
        needed = sum(sheet.stock == own for sheet in layout.sheets)
        if needed > stock.count:
            gathering.warn(
                read.file.place(("stock", index, "count")),
                f"{stock.name}: {needed} sheets are needed, {stock.count} are at hand",
                f"buy {needed - stock.count} more",
            )
