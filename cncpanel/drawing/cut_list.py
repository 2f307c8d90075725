"""The cut list: every panel and cleat with its finished and its rough sizes, in both units."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from cncpanel.drawing.dimension import Dimensioning
from cncpanel.drawing.measures import SIZED, WORDS, number
from cncpanel.drawing.paper import Heading, Piece, Sentence, Table
from cncpanel.job.model import Cleat
from cncpanel.panel.panel import Panel
from cncpanel.units import Unit

HEAD = (
    *("no", "name", "quantity", "mirrored of these", "stock", "material", "grain"),
    *("finished length mm", "finished width mm", "thickness mm", "rough length mm", "rough width mm"),
    *("finished length in", "finished width in", "thickness in", "rough length in", "rough width in"),
    *("edges", "notes"),
)

CUT_SHARES = (9, 26, 18, 20, 15, 15, 14, 15, 15, 56)


@dataclass(frozen=True, slots=True, kw_only=True)
class ListedPart:
    """One line: `length` along the grain where there is one, else the longer side; mm, finished."""

    number: str
    name: str
    quantity: int
    mirrored: int
    stock: str
    material: str
    grain: str
    length: float
    width: float
    thickness: float
    rough: float
    edges: str
    notes: str


def listed_parts(
    panels: Sequence[Panel], notes: Sequence[str], cleats: Sequence[Cleat], rough: float
) -> tuple[ListedPart, ...]:
    """Panels in the job's order, each with its note, then cleats; `rough` mm are added to panels' rough sizes."""
    rows = [_panel_row(panel, note, rough) for panel, note in zip(panels, notes, strict=True)]
    return (*rows, *(_cleat_row(number, cleat, rough) for number, cleat in enumerate(cleats, start=1)))


def _panel_row(panel: Panel, note: str, rough: float) -> ListedPart:
    left, low, right, high = panel.outline.bounds
    across, along = right - left, high - low
    length, width = (across, along) if _length_is_x(panel, across, along) else (along, across)
    return ListedPart(
        number=str(panel.index + 1),
        name=panel.name,
        quantity=panel.copies + panel.mirrored,
        mirrored=panel.mirrored,
        stock=panel.stock.name,
        material=panel.stock.material,
        grain=_grain_words(panel),
        length=length,
        width=width,
        thickness=panel.stock.thickness,
        rough=rough,
        edges=panel.edge_words,
        notes=note.removesuffix("."),
    )


def _length_is_x(panel: Panel, across: float, along: float) -> bool:
    if panel.stock.grain == "long" and panel.turn in ("along", "across"):
        return panel.turn == "along"
    return across >= along


def _grain_words(panel: Panel) -> str:
    if panel.stock.grain == "none":
        return "none"
    words = {"along": "along the length", "across": "along the length"}
    return words.get(str(panel.turn), "either way")


def _cleat_row(number: int, cleat: Cleat, rough: float) -> ListedPart:
    thickness, width = cleat.size
    return ListedPart(
        number=f"C{number}",
        name=cleat.name or f"cleat for {cleat.panel}",
        quantity=cleat.count,
        mirrored=0,
        stock="cleat stock",
        material="",
        grain="along the length",
        length=cleat.length,
        width=width,
        thickness=thickness,
        rough=0.0,
        edges="",
        notes="; ".join(part for part in (cleat.panel if cleat.name else "", cleat.where) if part),
    )


def list_table(rows: Iterable[ListedPart], *, fractions: bool = False) -> list[tuple[str, ...]]:
    """HEAD's columns of every row; inches to the nearest 1/64 with what is over it where `fractions`."""
    return [
        (
            row.number,
            row.name,
            str(row.quantity),
            str(row.mirrored),
            row.stock,
            row.material,
            row.grain,
            *_sizes(row, "mm", fractions=False),
            *_sizes(row, "inch", fractions=fractions),
            row.edges,
            row.notes,
        )
        for row in rows
    ]


def _sizes(row: ListedPart, unit: Unit, *, fractions: bool) -> tuple[str, ...]:
    """Finished length and width, thickness (one decimal more), rough length and width."""
    sizes = row.length, row.width, row.length + row.rough, row.width + row.rough
    if fractions and unit == "inch":
        told = Dimensioning("fraction").told
        length, width, *rough = map(told, sizes)
        return length, width, told(row.thickness), *rough
    length, width, *rough = (number(value, unit, SIZED[unit]) for value in sizes)
    return length, width, number(row.thickness, unit, SIZED[unit] + 1), *rough


def cut_list_pieces(
    rows: Sequence[ListedPart], rough: float, first: Unit = "mm", *, fractions: bool = False
) -> list[Piece]:
    """The list on paper, one table for each unit, the job's first."""
    other: Unit = "mm" if first == "inch" else "inch"
    more = number(rough, first, SIZED[first])
    return [
        Heading("Cut list", 1),
        Sentence(
            "Length: along the grain where the stock has one, else the longer side. Sizes are those of the box round "
            f"the finished panel; rough sizes have {more} {WORDS[first]} more each way, cleats none."
        ),
        *_unit_pieces(rows, first, fractions=fractions),
        *_unit_pieces(rows, other, fractions=fractions),
    ]


def _unit_pieces(rows: Sequence[ListedPart], unit: Unit, *, fractions: bool) -> list[Piece]:
    sizes = (f"{what} {WORDS[unit]}" for what in ("Length", "Width", "Thick", "Rough length", "Rough width"))
    head = ("No.", "Name", "Qty", "Stock", *sizes, "Edges, notes")
    told = tuple(
        (
            row.number,
            row.name,
            f"{row.quantity}{f' ({row.mirrored} mirrored)' if row.mirrored else ''}",
            row.stock,
            *_sizes(row, unit, fractions=fractions),
            ". ".join(part for part in (row.edges, row.notes) if part) or "-",
        )
        for row in rows
    )
    title = f"In {'millimetres' if unit == 'mm' else 'inches'} ({WORDS[unit]})"
    if fractions and unit == "inch":
        title += " to the nearest 1/64; a signed decimal: what the true length has over it"
    return [Heading(title), Table(head=head, rows=told, shares=CUT_SHARES)]
