"""The feeds-and-speeds sheet: one row for each kind of cut with each tool, and every limit that clipped a value."""

from collections.abc import Iterable
from dataclasses import dataclass

from cncpanel.drawing.paper import Bullets, Heading, Piece, Sentence, Table
from cncpanel.machine.model import Machine
from cncpanel.machine.tool import Tool
from cncpanel.tooling.feeds import CuttingData

HEAD = (
    "Tool",
    "Cut",
    "Depth a pass mm",
    "rpm",
    "Feed mm/min",
    "Ramp",
    "Plunge",
    "Chip mm",
    "Rim m/s",
    "Removes cm3/min",
    "Power W",
    "Bends mm",
)
SHARES = (9, 14, 12, 12, 13, 11, 12, 11, 10, 15, 11, 11)


@dataclass(frozen=True, slots=True, kw_only=True)
class CutRow:
    """What one kind of cut with one tool was given."""

    tool: Tool
    cut: str
    stock: str
    depth: float
    data: CuttingData


def feeds_pieces(rows: Iterable[CutRow], machine: Machine) -> list[Piece]:
    """The sheet's pieces."""
    listed = list(rows)
    return [
        Heading("Feeds and speeds", 1),
        Sentence(f"{machine.title}. {_source_words(listed, machine)}"),
        Table(head=HEAD, rows=tuple(map(_row, listed)), shares=SHARES),
        Heading("Tools"),
        Bullets(tuple(dict.fromkeys(f"T{row.tool.number}: {row.tool.name}" for row in listed))),
        *_notes("What held a value back", [(row, row.data.limits) for row in listed]),
        *_notes("Look out", [(row, row.data.warnings) for row in listed]),
        Sentence(
            "Starting values. Listen and feel: raise the feed until the edge suffers, then go back a little. The speed "
            "marked on the bit and the machine maker's manual come first."
        ),
    ]


def _row(row: CutRow) -> tuple[str, ...]:
    data = row.data
    return (
        f"T{row.tool.number}",
        row.cut,
        f"{row.depth:.2f}",
        f"{data.rpm:.0f}" + (f" (dial {data.dial})" if data.dial else ""),
        f"{data.feed:.0f}",
        f"{data.ramp_feed:.0f}",
        f"{data.plunge_feed:.0f}",
        f"{data.chip_per_tooth:.3f}",
        f"{data.peripheral_speed_m_s:.1f}",
        f"{data.removal_rate * 0.06:.0f}",
        f"{data.power_w:.0f} of {data.power_available_w:.0f}",
        f"{data.deflection_mm:.3f}",
    )


def _source_words(rows: list[CutRow], machine: Machine) -> str:
    tables = ", ".join(dict.fromkeys(row.data.table for row in rows))
    forces = ", ".join(dict.fromkeys(row.data.force_label for row in rows))
    return f"Chip loads: {machine.cutting.chip_load} column, {tables}. Cutting force: {forces}."


def _notes(title: str, rows: list[tuple[CutRow, tuple[str, ...]]]) -> list[Piece]:
    notes = tuple(dict.fromkeys(f"T{row.tool.number} {row.cut}: {note}" for row, found in rows for note in found))
    return [Heading(title), Bullets(notes)] if notes else []
