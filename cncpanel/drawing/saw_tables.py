"""What a saw plan tells in rows: cuts with their settings, parts as they come from the saw, bevels."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from math import isclose

from cncpanel.drawing.dimension import Dimensioning
from cncpanel.drawing.measures import SIZED, number
from cncpanel.drawing.paper import Table
from cncpanel.layout.saw.plan import WHOLE, Bevel, Cut, Guide, SawnPart, SawSheet, size_of
from cncpanel.panel.panel import Panel

OFF_SCALE = "*"
GUIDES: dict[Guide, str] = {"fence": "fence", "stop": "stop", "line": "line"}
CUT_HEAD = (
    *("sheet", "cut", "kind", "guide", "setting mm", "setting in", "set anew", "between scale marks"),
    *("piece", "gives", "part", "falls off"),
)
PART_HEAD = (
    *("sheet", "piece", "part", "stock", "grain", "sawn length mm", "sawn width mm", "sawn length in", "sawn width in"),
    *("finished x mm", "finished y mm", "last cut", "to a template", "bevels", "edges and notes"),
)


@dataclass(frozen=True, slots=True)
class Scale:
    """The fence's own scale: its finest division, mm."""

    division: float

    def between(self, setting: float) -> bool:
        """Whether the setting lies between two marks."""
        marks = setting / self.division
        return not isclose(marks, round(marks), abs_tol=0.02)


def cut_kind(cut: Cut) -> str:
    """In a word or two."""
    if cut.guide == "line":
        return "square the end"
    if cut.axis == "y":
        return "crosscut"
    return "rip" if cut.guide == "fence" else "cross the piece"


def cut_table(sheet: SawSheet, told: Dimensioning, scale: Scale) -> Table:
    """The cuts in their order; a setting is told where it is to be set anew."""
    names = {part.piece: part.label for part in sheet.parts}
    rows = []
    before: Cut | None = None
    for cut in sheet.cuts:
        same = before is not None and before.set_to == cut.set_to and cut.guide != "line"
        setting = "as before" if same else _setting(cut, sheet, told, scale)
        rows.append((str(cut.number), cut_kind(cut), GUIDES[cut.guide], setting, cut.piece, *_gives(cut, sheet, names)))
        before = cut
    head = ("Cut", "Kind", "Guide", "Set to", "Piece", "Gives", "Part")
    return Table(head=head, rows=tuple(rows), shares=(9, 25, 14, 28, 22, 46, 46))


def _setting(cut: Cut, sheet: SawSheet, told: Dimensioning, scale: Scale) -> str:
    if cut.guide == "line":
        return f"{told.told(trimmed(cut, sheet))} off"
    return f"{told.told(cut.setting)}{OFF_SCALE if scale.between(cut.setting) else ''}"


def trimmed(cut: Cut, sheet: SawSheet) -> float:
    """What a cut to a line takes off the end, its kerf in it: the strip is the sheet's length until then."""
    return sheet.length - cut.setting


def _gives(cut: Cut, sheet: SawSheet, names: Mapping[str, str]) -> tuple[str, str]:
    """The piece that comes of it, and the part that this is."""
    parts = [name for name in (cut.kept, cut.freed) if name in names and _is_last(cut, name, sheet)]
    made = " and ".join(parts) if parts else _made(cut)
    beyond = ", beyond the blade" if cut.kept == cut.piece and parts == [cut.freed] else ""
    return f"{made}{beyond}", " and ".join(names[name] for name in parts)


def _made(cut: Cut) -> str:
    if cut.edge == "high" and cut.axis == "x":
        return f"{cut.kept}, turned round"
    if cut.kept == cut.piece:
        waste = not cut.freed or cut.freed.startswith("waste")
        return f"{cut.kept}, trimmed" if waste else f"{cut.freed}, beyond the blade"
    rough = ", rough" if cut.stage == 1 and cut.piece == WHOLE and cut.number == 1 else ""
    return f"{cut.kept}{rough}"


def _is_last(cut: Cut, name: str, sheet: SawSheet) -> bool:
    """Whether no later cut is made on the piece."""
    return not any(later.piece == name for later in sheet.cuts[cut.number :])


def last_cut(sheet: SawSheet, part: SawnPart) -> int:
    """The number of the cut that the part comes from; 0 where the sheet is the part."""
    return max((cut.number for cut in sheet.cuts if part.piece in (cut.kept, cut.freed)), default=0)


def saw_part_table(sheet: SawSheet, panels: Mapping[int, Panel], bevels: Sequence[Bevel], told: Dimensioning) -> Table:
    """Every part of a sheet: its piece, its size as it comes from the saw, and what is still to be done."""
    rows = tuple(
        (
            part.piece,
            part.label,
            f"{told.told(size_of(part.box)[0])} x {told.told(size_of(part.box)[1])}",
            str(last_cut(sheet, part)),
            "; ".join(after(part, panels[part.panel], bevels)) or "-",
        )
        for part in sheet.parts
    )
    return Table(head=("Piece", "Part", "Sawn", "Cut", "Then"), rows=rows, shares=(18, 46, 42, 10, 70))


def after(part: SawnPart, panel: Panel, bevels: Sequence[Bevel]) -> list[str]:
    """What is to be done to a part once it is sawn."""
    words = ["cut to its template, the shape larger all round"] if part.shaped else []
    if not part.shaped and any(segment.is_arc for segment in panel.outline.segments):
        words.append("round its corners")
    tilts = [f"{bevel.side} {bevel.tilt_deg:g} deg" for bevel in bevels if bevel.panel == part.panel]
    words += [f"saw its bevel: {', '.join(tilts)}"] if tilts else []
    inside = [
        name
        for name, found in (
            ("openings", panel.openings),
            ("recesses and grooves", [recess for side in panel.sides for recess in side.recesses]),
            ("holes", [hole for side in panel.sides for hole in side.holes]),
        )
        if found
    ]
    return [*words, *([f"{', '.join(inside)} by its drawing"] if inside else [])]


def bevel_table(bevels: Sequence[Bevel], panels: Mapping[int, Panel], told: Dimensioning) -> Table:
    """Blade tilt, long point and setting of every bevel."""
    rows = tuple(
        (
            f"{panels[bevel.panel].name}: {bevel.side}",
            f"{bevel.tilt_deg:g}",
            told.told(bevel.long),
            told.told(bevel.short),
            f"{bevel.guide if bevel.guide != 'carrier' else 'fence, on a carrier board'}",
            _bevel_how(bevel),
        )
        for bevel in bevels
    )
    head = ("Panel: edge", "Tilt, deg", "Long point", "At the table", "Guide", "How")
    return Table(head=head, rows=rows, shares=(38, 16, 22, 24, 26, 60))


def _bevel_how(bevel: Bevel) -> str:
    if bevel.passes == 2:
        how = "two cuts, one with each face down; they meet at half the thickness"
    else:
        how = f"{bevel.face} face down on the table, long point up"
    return f"{how}; once it has its shape" if bevel.shaped else how


def cut_rows(sheets: Iterable[SawSheet], scale: Scale) -> list[tuple[str, ...]]:
    """CUT_HEAD's columns of every cut."""
    rows: list[tuple[str, ...]] = []
    for sheet in sheets:
        names = {part.piece: part.label for part in sheet.parts}
        before: Cut | None = None
        for cut in sheet.cuts:
            made, part = _gives(cut, sheet, names)
            anew = "no" if before is not None and before.set_to == cut.set_to else "yes"
            told = ("yes" if scale.between(cut.setting) else "no", cut.piece, made, part, cut.freed)
            rows.append(
                (str(sheet.number), str(cut.number), cut_kind(cut), cut.guide, *_both(cut.setting), anew, *told)
            )
            before = cut
    return rows


def part_rows(
    sheets: Iterable[SawSheet], panels: Mapping[int, Panel], bevels: Sequence[Bevel], notes: Mapping[int, str]
) -> list[tuple[str, ...]]:
    """PART_HEAD's columns of every part."""
    return [_part_row(sheet, part, panels[part.panel], bevels, notes) for sheet in sheets for part in sheet.parts]


def _part_row(
    sheet: SawSheet, part: SawnPart, panel: Panel, bevels: Sequence[Bevel], notes: Mapping[int, str]
) -> tuple[str, ...]:
    length, width = part.size
    left, low, right, high = panel.outline.bounds
    tilts = [
        f"{bevel.side} {bevel.tilt_deg:g} deg, long point {number(bevel.long, 'mm', 2)} mm"
        for bevel in bevels
        if bevel.panel == part.panel
    ]
    return (
        str(sheet.number),
        part.piece,
        part.label,
        sheet.stock.name,
        "along the length" if sheet.stock.grain == "long" else "none",
        *(number(side, "mm", 2) for side in (length, width)),
        *(number(side, "inch", SIZED["inch"]) for side in (length, width)),
        *(number(side, "mm", 2) for side in (right - left, high - low)),
        str(last_cut(sheet, part)),
        "yes" if part.shaped else "no",
        "; ".join(tilts),
        "; ".join(text for text in (*panel.bench, notes.get(panel.index, "")) if text),
    )


def _both(setting: float) -> tuple[str, str]:
    return number(setting, "mm", 2), number(setting, "inch", 4)
