"""The feeds-and-speeds sheet: one row for each kind of cut with each tool, and every limit that clipped a value.

The values are those that the programs go at; a dash stands where no program uses one.
"""

import re
from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from math import floor

from cncpanel.drawing.directions import direction_words
from cncpanel.drawing.measures import WORDS, Measures, number
from cncpanel.drawing.paper import Bullets, Heading, Piece, Sentence, Table
from cncpanel.job.model import Settings, Stock
from cncpanel.machine.model import Machine
from cncpanel.machine.tool import Tool
from cncpanel.passes.run import SheetRuns
from cncpanel.sequence.trace import trace_feed
from cncpanel.tooling.cut import Kind
from cncpanel.tooling.feeds import CuttingData
from cncpanel.tooling.materials import MATERIALS
from cncpanel.units import Unit, in_millimetres

CUT_WORDS: dict[Kind, str] = {
    "profile": "along a wall",
    "slot": "full width",
    "clear": "stepped over",
    "bore": "bore, helix",
    "drill": "drill",
    "finish": "finish",
    "mark": "mark",
    "edge": "edge",
}
FEED_IN_NOTE = re.compile(r"(\d+(?:\.\d+)?) mm/min")
FLOW: dict[Unit, tuple[str, str]] = {"mm": ("Rim m/s", "cm3/min"), "inch": ("Rim ft/min", "in3/min")}
EXPECT_SHARES = (9, 22, 15, 15, 14, 14, 13, 13, 13, 12, 14)
FEED_DECIMALS: dict[Unit, int] = {"mm": 0, "inch": 1}
NEARLY = 1e-6  # of the last decimal: a whole feed in binary may lie just under it
DEEP = 2  # the column whose figures may be ranges
NONE: frozenset[float] = frozenset()
SET_SHARES = (9, 24, 24, 14, 13, 10, 18, 13, 13)


@dataclass(frozen=True, slots=True, kw_only=True)
class CutRow:
    """What one kind of cut with one tool was given; `feeds` are those that runs of the tool at its speed use."""

    tool: Tool
    kind: Kind
    stock: Stock
    depth: float
    width: float
    data: CuttingData
    share: float
    feeds: frozenset[float] = field(repr=False)

    @property
    def word(self) -> str:
        """What kind of cut it is, as the sheet calls it."""
        return CUT_WORDS[self.kind] + (f" in bends at {100 * self.share:.0f} %" if self.share < 1 else "")

    def name(self, measures: Measures) -> str:
        """`full width 6 mm deep`: how notes call it."""
        return measures.told(f"{self.word} {self.depth:.1f} mm deep")


def cut_rows(sheets: Iterable[tuple[Stock, SheetRuns]]) -> list[CutRow]:
    """The rows of all sheets, those of the same cut in the same stock once, by tool."""
    rows: dict[tuple[str, int, Kind, float, float, float, float], CutRow] = {}
    for stock, runs in sheets:
        used = _feeds(runs)
        for cut in runs.cuts:
            key = (
                stock.name,
                cut.tool.number,
                cut.kind,
                round(cut.depth, 3),
                round(cut.width, 3),
                cut.data.rpm,
                cut.share,
            )
            feeds = used.get((cut.tool, cut.data.rpm), NONE) | (rows[key].feeds if key in rows else NONE)
            rows[key] = CutRow(
                tool=cut.tool,
                kind=cut.kind,
                stock=stock,
                depth=cut.depth,
                width=cut.width,
                data=cut.data,
                share=cut.share,
                feeds=feeds,
            )
    return [rows[key] for key in sorted(rows, key=lambda key: (key[1], list(CUT_WORDS).index(key[2]), key[3:]))]


def _feeds(runs: SheetRuns) -> dict[tuple[Tool, float], frozenset[float]]:
    """The feeds of all runs of a tool at a speed."""
    used: defaultdict[tuple[Tool, float], set[float]] = defaultdict(set)
    for run in runs.runs:
        used[run.tool, run.rpm].update(step.feed for step in run.steps)
    return {key: frozenset(feeds) for key, feeds in used.items()}


def feeds_pieces(rows: Sequence[CutRow], machine: Machine, measures: Measures, settings: Settings) -> list[Piece]:
    """The sheet's pieces."""
    stocks = {row.stock.name: row.stock for row in rows}
    pieces: list[Piece] = [Heading("Feeds and speeds", 1), Sentence(f"{machine.title}. {_source_words(rows, machine)}")]
    for name, stock in stocks.items():
        pieces += _stock_pieces(stock, [row for row in rows if row.stock.name == name], measures)
    return [
        *pieces,
        Sentence(f"{_other_feeds(machine, measures)} {direction_words(machine, settings)}"),
        Heading("Tools"),
        Bullets(tuple(dict.fromkeys(_tool_words(row.tool, measures) for row in rows))),
        *_notes("What held a value back", [(row, row.data.limits) for row in rows], measures),
        *_notes("Look out", [(row, row.data.warnings) for row in rows], measures),
        Sentence(
            "Starting values. Listen and feel: raise the feed until the edge suffers, then go back a little. The speed "
            "marked on the bit and the machine maker's manual come first."
        ),
    ]


def _stock_pieces(stock: Stock, rows: list[CutRow], measures: Measures) -> Iterator[Piece]:
    title = f"{stock.name}, {MATERIALS[stock.material].title}"
    groups = _grouped(rows)
    for unit in measures.units:
        head = ("Tool", "Cut", f"Deep {WORDS[unit]}", f"Wide {WORDS[unit]}", "rpm", "Dial", f"Feed {WORDS[unit]}/min")
        yield Heading(f"What the programs go at in {title}")
        set_rows = tuple(_set_row(group, unit) for group in groups)
        yield _without_empty(
            "Dial", Table(head=(*head, "Ramp", "Plunge"), rows=set_rows, shares=SET_SHARES, right=(2,))
        )
    yield Heading(f"What to expect in {title}, at the deepest of each")
    yield _expected([group[-1] for group in groups], measures.units[0])


def _without_empty(title: str, table: Table) -> Table:
    """The table without that column if it holds dashes only."""
    at = table.head.index(title)
    if any(row[at] != "-" for row in table.rows):
        return table
    return table.without(at)


def _grouped(rows: Iterable[CutRow]) -> list[list[CutRow]]:
    """Rows that differ in depth only, the deepest last."""
    groups: dict[tuple[str, ...], list[CutRow]] = {}
    for row in rows:
        tool, cut, _, *rest = _set_row([row], "mm")
        groups.setdefault((tool, cut, *rest), []).append(row)
    return [sorted(group, key=lambda row: row.depth) for group in groups.values()]


def _set_row(group: Sequence[CutRow], unit: Unit) -> tuple[str, ...]:
    row, data = group[-1], group[-1].data
    depths = list(dict.fromkeys(_sized(found.depth, unit) for found in group))
    return (
        f"T{row.tool.number}",
        row.word,
        depths[0] if len(depths) == 1 else f"{depths[0]} to {depths[-1]}",
        _sized(row.width, unit),
        f"{data.rpm:.0f}",
        data.dial or "-",
        *(_feed(value, row, unit) for value in (data.feed, *_downward(row))),
    )


def _downward(row: CutRow) -> tuple[float, float]:
    """Ramp and plunge; finishes and bends are cut in a kerf that is there, bores and drills go down at their feeds."""
    if row.kind == "finish" or row.share < 1:
        return 0.0, 0.0
    return (0.0 if row.kind in ("bore", "drill") else row.data.ramp_feed), row.data.plunge_feed


def _sized(value: float, unit: Unit) -> str:
    return f"{value:.2f}" if unit == "mm" else f"{value / in_millimetres(unit):.3f}"


def _feed(value: float, row: CutRow, unit: Unit) -> str:
    return feed_words(value, unit) if value in row.feeds else "-"


def feed_words(feed: float, unit: Unit) -> str:
    """A feed (mm/min) as a program of that unit writes it: rounded down, whole mm/min or tenths of an inch."""
    decimals = FEED_DECIMALS[unit]
    return number(floor(feed / in_millimetres(unit) * 10**decimals + NEARLY) / 10**decimals, "mm", decimals)


def _expected(rows: Iterable[CutRow], unit: Unit) -> Table:
    """What comes of the values, in the unit that people think in."""
    sizes, bends = (f"{what} {WORDS[unit]}" for what in ("Deep", "Wide", "Chip", "Least")), f"Bends {WORDS[unit]}"
    head = ("Tool", "Cut", *sizes, *FLOW[unit], "Power W", "of W", bends)
    return Table(head=head, rows=tuple(_expected_row(row, unit) for row in rows), shares=EXPECT_SHARES)


def _expected_row(row: CutRow, unit: Unit) -> tuple[str, ...]:
    data = row.data
    return (
        f"T{row.tool.number}",
        row.word,
        _sized(row.depth, unit),
        _sized(row.width, unit),
        _fine(data.chip_per_tooth, unit),
        _fine(data.least_chip, unit),
        *_flow(data, unit),
        f"{data.power_w:.0f}",
        f"{data.power_available_w:.0f}",
        _fine(data.deflection_mm, unit),
    )


def _flow(data: CuttingData, unit: Unit) -> tuple[str, str]:
    """Speed of the tool's rim and volume cut, as FLOW heads them."""
    if unit == "mm":
        return f"{data.peripheral_speed_m_s:.1f}", f"{data.removal_rate * 0.06:.0f}"
    inch = in_millimetres(unit)
    return f"{data.peripheral_speed_m_s * 60_000 / (12 * inch):.0f}", f"{data.removal_rate * 60 / inch**3:.1f}"


def _fine(value: float, unit: Unit) -> str:
    return f"{value:.3f}" if unit == "mm" else f"{value / in_millimetres(unit):.4f}"


def _source_words(rows: Sequence[CutRow], machine: Machine) -> str:
    tables = "; ".join(dict.fromkeys(row.data.table for row in rows))
    forces = "; ".join(dict.fromkeys(row.data.force_label for row in rows))
    return f"Chip loads: {machine.cutting.chip_load} column ({tables}). Cutting force: {forces}."


def _other_feeds(machine: Machine, measures: Measures) -> str:
    motion = machine.motion
    told, trace, dry = (_both(feed, measures) for feed in (motion.feed_z_max, trace_feed(machine), motion.feed_xy_max))
    return (
        f"Up, and down through air to the cut: {told}, the machine's highest Z feed. The frame program: {trace}; the "
        f"dry run: {dry} at most. "
        "Deep: a bore's pitch, else a pass. Wide: a bore's diameter, else how much of the tool is in material. "
        "Chip: the advance of each tooth along the wall; below the least it rubs."
    )


def _tool_words(tool: Tool, measures: Measures) -> str:
    most = f"marked {tool.rpm_max:.0f} rpm at most" if tool.rpm_max else "NO HIGHEST SPEED MARKED"
    edges = "1 cutting edge" if tool.flutes == 1 else f"{tool.flutes} cutting edges"
    return (
        f"T{tool.number}: {tool.name}, {measures.length(tool.diameter)}, {edges}, {most}{_form_words(tool, measures)}"
    )


def _form_words(tool: Tool, measures: Measures) -> str:
    """What to check of a form: a round-over's radius and small end, a slot cutter's disc and neck, a v-bit's point."""
    if tool.kind == "round-over":
        under = f", {measures.length(tool.under_curve)} under its curve" if tool.under_curve else ""
        radius, small = measures.length(tool.profile_radius or 0.0), measures.length(2 * (tool.tip_radius or 0.0))
        return f", radius {radius}, small end {small}{under}: measure all of them on the tool"
    if tool.undercuts:
        disc, neck = measures.length(tool.cutting_length), measures.length(2 * tool.neck_radius)
        return f", disc {disc} thick, neck {neck}: measure all of them on the tool"
    if tool.kind == "v-bit":
        return f", {tool.tip_angle_deg:g} degrees"
    return ""


def _notes(title: str, rows: list[tuple[CutRow, tuple[str, ...]]], measures: Measures) -> list[Piece]:
    """Each note once for a tool, with the cuts it is about."""
    cuts: dict[tuple[int, str], list[str]] = {}
    for row, found in rows:
        for note in found:
            cuts.setdefault((row.tool.number, note), []).append(row.name(measures))
    points = tuple(
        f"T{number}, {', '.join(dict.fromkeys(names))}: {_note_words(note, measures)}"
        for (number, note), names in cuts.items()
    )
    return [Heading(title), Bullets(points)] if points else []


def _note_words(note: str, measures: Measures) -> str:
    """A note with its feeds and lengths in inches too, where inches are told."""
    if not measures.inches:
        return note
    return measures.told(FEED_IN_NOTE.sub(lambda found: _both(float(found[1]), measures), note))


def _both(feed: float, measures: Measures) -> str:
    return " or ".join(f"{feed_words(feed, unit)} {WORDS[unit]}/min" for unit in measures.units)
