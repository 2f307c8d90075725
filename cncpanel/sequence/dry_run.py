"""A program that goes every way of a sheet above it, the spindle off: what will be cut, seen before it is."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import hypot

from cncpanel.geometry.point import Point
from cncpanel.geometry.segment import Segment
from cncpanel.job.model import JobHead
from cncpanel.layout.layout import Sheet
from cncpanel.machine.model import Machine
from cncpanel.passes.run import SheetRuns
from cncpanel.sequence.attend import parked, started
from cncpanel.sequence.envelope import highest
from cncpanel.sequence.frame import programmed
from cncpanel.sequence.header import dry_run_header
from cncpanel.sequence.program import Block, Comment, Cut, End, Program, Rapid
from cncpanel.sequence.setting import Setting
from cncpanel.sequence.sheet import setting_of
from cncpanel.sequence.wording import sheet_stem


def dry_run(
    sheet: Sheet, runs: SheetRuns, programs: Sequence[Program], machine: Machine, job: JobHead, *, sheets: int | None
) -> Program | None:
    """All cuts of the sheet's programs in their order, one tool, no stops; None for a sheet without cuts.

    Everything is lifted so far that its deepest place lies at the clearance over sheet and clamps; what would then
    be beyond the highest place of Z stays below it.
    """
    blocks = [block for program in programs for block in program.blocks]
    depths = [block.z for block in blocks if isinstance(block, Cut)]
    if not depths:
        return None
    placed = tuple(programmed(run, sheet, machine) for run in runs.runs if run.steps)
    setting = setting_of(sheet, placed, machine, job, sheets=sheets)
    tool = programs[0].tools[0]
    lift = _Lift(setting.clearance - min(depths), highest(sheet.stock, machine))
    dry = (
        *dry_run_header(setting, lift.rise),
        *started(setting, tool),
        *_above(blocks, lift, setting),
        *parked(setting),
        End(),
    )
    name = f"{sheet_stem(job.name, sheet)}-dry"
    return Program(name=name, purpose="dry run", sheet=sheet.number, run=1, of=1, tools=(tool,), blocks=dry)


@dataclass(frozen=True, slots=True)
class _Lift:
    """`rise` mm up, but no higher than `ceiling`, program Z."""

    rise: float
    ceiling: float

    def of(self, z: float) -> float:
        return min(z + self.rise, self.ceiling)


def _above(blocks: Sequence[Block], lift: _Lift, setting: Setting) -> Iterator[Block]:
    """What moves once the first cut is gone to, and what the parts are called."""
    motion = setting.machine.motion
    here, z, begun = Point(*motion.park), setting.clearance, False
    for index, block in enumerate(blocks):
        begun = begun or _begins(blocks[index : index + 2])
        match block:
            case Comment(text) if text.startswith("PART "):
                yield block
            case Rapid() if begun and block.z is None:
                yield block
                here = Point(here.x if block.x is None else block.x, here.y if block.y is None else block.y)
            case Rapid() if begun and block.z is not None:
                z = lift.of(block.z)
                yield Rapid(z=z)
            case Cut():
                there, up = Point(block.x, block.y), lift.of(block.z)
                level = Segment(here, there, block.bulge).length if here != there else 0.0
                feed = _feed(level, up - z, motion.feed_xy_max, motion.feed_z_max)
                yield Cut(x=block.x, y=block.y, z=up, feed=feed, bulge=block.bulge)
                here, z = there, up


def _begins(two: Sequence[Block]) -> bool:
    """Over a start, then down to it: what every cut begins with."""
    match two:
        case [Rapid(x=x), Rapid(z=z)]:
            return x is not None and z is not None
    return False


def _feed(level: float, rise: float, most: float, most_z: float) -> float:
    """mm/min: as fast as the machine feeds, Z no faster than it may."""
    return most_z * hypot(level, rise) / abs(rise) if abs(rise) * most > most_z * hypot(level, rise) else most
