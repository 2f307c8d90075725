"""The saw plan on paper: how to go about it, each board with its cuts in order, bevels, cautions."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field

from cncpanel.drawing.cautions import LIFT_ALONE
from cncpanel.drawing.dimension import Dimensioning
from cncpanel.drawing.measures import Measures
from cncpanel.drawing.paper import Bullets, Cautions, Heading, Picture, Piece, Sentence, Table, Together
from cncpanel.drawing.saw_map import KEY, USEFUL, SawView, saw_map
from cncpanel.drawing.saw_tables import OFF_SCALE, Scale, bevel_table, cut_table, saw_part_table
from cncpanel.job.model import JobHead, Saw
from cncpanel.layout.saw.plan import Leftover, SawPlan, SawSheet
from cncpanel.panel.panel import Panel
from cncpanel.tooling.materials import MATERIALS
from cncpanel.units import in_millimetres

MAP_HEIGHT = 112.0  # mm; cautions and the first cuts stay on the picture's page
SCALES = {"mm": 0.5, "inch": in_millimetres("inch") / 64, "fraction": in_millimetres("inch") / 64}


@dataclass(frozen=True, slots=True, kw_only=True)
class SawPages:
    """What the pages are made from; `names` are those of leftovers for the rack, by sheet and piece."""

    head: JobHead
    plan: SawPlan
    panels: Mapping[int, Panel]
    told: Dimensioning
    names: Mapping[int, Mapping[str, str]] = field(default_factory=dict)

    @property
    def measures(self) -> Measures:
        """How sentences tell lengths."""
        return Measures(self.head.units, "mm" if self.head.units == "mm" else "inch")

    @property
    def scale(self) -> Scale:
        """The fence's."""
        return Scale(self.plan.saw.scale or SCALES[self.told.unit])


def saw_cautions(saw: Saw, measures: Measures) -> tuple[str, ...]:
    """At the saw; after the HSE's sheet on circular saw benches, and common practice. Local rules come first."""
    return (
        "Guard on and low over the work; riving knife within 8 mm of the blade, thicker than its plate, thinner "
        "than its "
        "kerf. Blade just above the work.",
        "Push stick of at least 450 mm for the last 300 mm of every cut and beside narrow pieces. Hands never in "
        "line "
        "with the blade; stand beside it.",
        "Full sheets: a second person, or supports on every side; a take-off table of at least 1200 mm behind "
        "the blade.",
        f"Nothing narrower than {measures.length(saw.safe_strip)} between fence and blade. Never fence and mitre "
        "gauge "
        "together, never freehand; short pieces at the gauge or sled with a stop, clamped.",
        "Glasses, ear defenders, extraction. Unplug before the blade is touched. The saw maker's manual and "
        "local safety "
        "rules come before this sheet.",
    )


def sheet_caution(saw: Saw, mass: float, measures: Measures) -> str:
    """What stands beside every sheet's cuts."""
    lift = f" of about {mass:.0f} kg" if mass > LIFT_ALONE else ""
    return (
        "Guard and riving knife on. Push stick of 450 mm for the last 300 mm. Nothing narrower than "
        f"{measures.length(saw.safe_strip)} on the fence; crosscuts at the gauge with a stop. A second person "
        f"for the full sheet{lift}."
    )


def saw_pieces(pages: SawPages, width: float) -> Iterator[Piece]:
    """All pages of the plan, `width` mm wide."""
    yield Heading(f"{pages.head.name}: saw plan", 1)
    yield Sentence(f"{_needed(pages)} {pages.told.words}")
    yield _summary(pages)
    yield Bullets(tuple(_ways(pages)))
    yield Cautions(saw_cautions(pages.plan.saw, pages.measures))
    for sheet in pages.plan.sheets:
        yield from _sheet_pieces(pages, sheet, width)
    if pages.plan.bevels or pages.plan.by_hand:
        yield from _bevel_pieces(pages)


def _needed(pages: SawPages) -> str:
    told = [f"{_count(one.sheets, 'sheet')} of {one.stock}" for one in pages.plan.sawn]
    return f"Straight cuts from edge to edge, for {' and '.join(told)}."


def _summary(pages: SawPages) -> Table:
    rows = tuple(
        (
            one.stock,
            str(one.sheets),
            str(one.least),
            f"{100 * one.part_m2 / one.board_m2:.1f} %",
            "-" if one.price is None else f"{one.price:.2f}",
            f"{sum(len(s.cuts) for s in pages.plan.sheets if s.stock.name == one.stock)}",
            f"{sum(s.settings for s in pages.plan.sheets if s.stock.name == one.stock)}",
        )
        for one in pages.plan.sawn
    )
    head = ("Stock", "Sheets", "At least, by area", "Used", "Price", "Cuts", "Settings")
    table = Table(head=head, rows=rows, shares=(46, 20, 32, 20, 22, 20, 20))
    return table if any(one.price is not None for one in pages.plan.sawn) else table.without(head.index("Price"))


def _ways(pages: SawPages) -> Iterator[str]:
    saw, told = pages.plan.saw, pages.measures
    yield (
        f"Kerf {told.length(saw.kerf)}: measure a test cut first. Another kerf is another plan: write it in the "
        "job and "
        "make the plan anew."
    )
    if saw.trim:
        yield (
            "The first strip of a sheet is ripped with the sheet's own edge on the fence, "
            f"{told.length(saw.trim)} wider, "
            "then turned round: its sawn edge goes to the fence for its true width. The rest goes on with its "
            "sawn edge on "
            "the fence."
        )
    yield (
        "Fence: from the fence to the near side of the blade. Stop: from the stop on mitre gauge or sled to the "
        "near side "
        "of the blade. Line: to a line on the piece, the other end loose."
    )
    yield "Cuts of one setting follow one another: leave fence or stop where it is until the table says another number."
    if any(part.shaped for sheet in pages.plan.sheets for part in sheet.parts):
        yield (
            f"Shaped panels are sawn {told.length(saw.oversize)} larger on each side and then cut to their full-size "
            "templates."
        )


def _sheet_pieces(pages: SawPages, sheet: SawSheet, width: float) -> Iterator[Piece]:
    stock, told = sheet.stock, pages.measures
    table = cut_table(sheet, pages.told, pages.scale)
    yield Heading(f"Saw sheet {sheet.number} of {len(pages.plan.sheets)}", 1)
    if sheet.piece:
        yield Sentence(f"From the rack: offcut {sheet.piece}. Say so when it is cut: cncpanel offcuts cut.")
    yield Sentence(
        f"{stock.name}, {MATERIALS[stock.material].title}, {told.size(*stock.sheet)}, "
        f"{told.length(stock.thickness)}. "
        f"{_count(len(sheet.parts), 'part')}, {_count(len(sheet.cuts), 'cut')}, {_count(sheet.settings, 'setting')}."
        f"{' The grain runs along the length.' if stock.grain == 'long' else ''}"
    )
    yield saw_picture(pages, sheet, width)
    yield Sentence(KEY)
    mass = MATERIALS[stock.material].mass(sheet.length, sheet.width, stock.thickest)
    yield Cautions((sheet_caution(pages.plan.saw, mass, told),))
    yield Heading("Cuts, in this order")
    yield table
    if any(OFF_SCALE in row[3] for row in table.rows):
        yield Sentence(
            f"{OFF_SCALE} lies between the marks of a fence's scale ({pages.told.told(pages.scale.division)}): "
            "set it by a "
            "caliper or a test cut."
        )
    yield Heading("Parts")
    yield saw_part_table(sheet, pages.panels, pages.plan.bevels, pages.told)
    yield from _left_pieces(pages, sheet)


def _left_pieces(pages: SawPages, sheet: SawSheet) -> Iterator[Piece]:
    """What is left over: pieces for the rack with the names to write on them, then what else is useful."""
    names = pages.names.get(sheet.number, {})
    useful = [one for one in sheet.leftovers if min(one.size) >= USEFUL or one.piece in names]
    kept = [f"{names[one.piece]} ({_left(one, pages)})" for one in useful if one.piece in names]
    rest = [_left(one, pages) for one in useful if one.piece not in names]
    if kept:
        yield Sentence(f"For the rack, each with its name written on it: {'; '.join(kept)}.")
    if rest:
        yield Sentence(f"Left over: {'; '.join(rest)}.")


def _left(one: Leftover, pages: SawPages) -> str:
    return f"{one.piece}: {_size(one.size, pages.told)}"


def saw_picture(pages: SawPages, sheet: SawSheet, width: float) -> Picture:
    """One board's drawing."""
    names = pages.names.get(sheet.number, {})
    return saw_map(SawView.within(sheet, pages.plan.saw.kerf, width, MAP_HEIGHT, names), pages.told)


def _bevel_pieces(pages: SawPages) -> Iterator[Piece]:
    names = {index: panel.name for index, panel in pages.panels.items()}
    left = [f"{names[index]}: {words}" for index, words in pages.plan.by_hand]
    if left:
        yield Heading("Bevels that this saw leaves to other tools")
        yield Bullets(tuple(left))
    if not pages.plan.bevels:
        return
    told: Sequence[Piece] = (
        Heading("Bevels"),
        Sentence(
            "Sawn last, on panels that have their size. Tilt is the blade's, from square. Long point: from the "
            "opposite "
            "edge to the sharp edge, the panel's drawn size. At the table: the setting from guide to blade, "
            "measured on the "
            "table with the blade tilted away from the fence; the piece is set by its opposite edge, at its "
            "thickest reading. "
            "Mirrored copies: left and right change places."
        ),
        bevel_table(pages.plan.bevels, pages.panels, pages.told),
    )
    yield Together(tuple(told))
    yield Cautions(
        (
            "Blade tilted: check that guard, riving knife and fence clear it, by hand and unplugged. The wedge "
            "must fall "
            "free, never between blade and fence.",
            "A sharp edge slips under a fence: close the gap at the table with a straight strip before it runs there.",
        )
    )


def _size(size: tuple[float, float], told: Dimensioning) -> str:
    return f"{told.told(size[0])} x {told.told(size[1])}"


def _count(count: int, word: str) -> str:
    return f"{count} {word}{'' if count == 1 else 's'}"
