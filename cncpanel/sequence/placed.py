"""A sheet's runs in program coordinates, with those doors that machine and table allow."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from cncpanel.geometry.segment import Bounds
from cncpanel.layout.layout import Sheet
from cncpanel.machine.model import Machine
from cncpanel.machine.tool import Tool
from cncpanel.passes.run import Door, Entries, Run, SheetRuns
from cncpanel.sequence.chain import overlap
from cncpanel.sequence.envelope import within_travel
from cncpanel.sequence.frame import CLEARANCE, grown, programmed, programmed_door, programmed_keep_outs


@dataclass(frozen=True, slots=True)
class PlacedEntries:
    """A run's entries in program coordinates; `numbers` are theirs in the sheet's frame."""

    entries: Entries
    numbers: tuple[int, ...]
    doors: tuple[Door, ...]
    sheet: Sheet
    machine: Machine

    def run(self, number: int) -> Run:
        """The run that is entered by that door."""
        return programmed(self.entries.run(self.numbers[number]), self.sheet, self.machine)


def placed_runs(sheet: Sheet, runs: SheetRuns, machine: Machine) -> tuple[Run, ...]:
    """The runs that have steps; leads keep off clamps, screws and dowels as ways over them do."""
    standing = programmed_keep_outs(sheet, machine, runs.screws)
    return tuple(_placed(run, sheet, machine, standing) for run in runs.runs if run.steps)


def lead_boxes(runs: Sequence[Run]) -> Iterator[Bounds]:
    """What leads of doors might sweep, beyond what the runs do."""
    for run in runs:
        for door in run.entries.doors if run.entries else ():
            if door.lead is not None:
                yield grown(door.lead, run.tool.radius)


def _placed(run: Run, sheet: Sheet, machine: Machine, standing: Sequence[Bounds]) -> Run:
    placed, entries = programmed(run, sheet, machine), run.entries
    if entries is None:
        return placed
    doors = [(number, programmed_door(door, sheet, machine)) for number, door in enumerate(entries.doors)]
    kept = [(number, door) for number, door in doors if _is_allowed(door, run.tool, machine, standing)]
    if not kept:
        return replace(placed, entries=None)
    numbers, allowed = zip(*kept, strict=True)
    return replace(placed, entries=PlacedEntries(entries, numbers, allowed, sheet, machine))


def _is_allowed(door: Door, tool: Tool, machine: Machine, standing: Sequence[Bounds]) -> bool:
    if door.lead is None:
        return True
    swept = grown(door.lead, max(tool.cut_diameter, tool.shank_diameter, tool.nut_diameter) / 2 + CLEARANCE)
    return within_travel(door.lead, machine) and not any(overlap(swept, box) for box in standing)
