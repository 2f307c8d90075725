"""What each stretch of cutting asks of tool and spindle: chip, removal rate, power, and engagement against its feed.

What is taken comes from the height map; a stretch is as long as the map can tell (STRETCH) or one plunge.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from math import pi, sqrt

from cncpanel.machine.model import Machine
from cncpanel.machine.tool import Tool
from cncpanel.proof.carved import Carved, Share
from cncpanel.proof.finding import Finding, finding_at_end
from cncpanel.proof.heightmap import CELL
from cncpanel.proof.material import Placed
from cncpanel.proof.motion import Move
from cncpanel.proof.setup import Setup

STRETCH = 5.0  # mm; ten cells, so that a cell more or less is a tenth
COARSE = 1.15  # of a limit; what cells and a stretch's ends may add
SAME_FEED = 1.0  # mm/min; two feeds that differ by rounding are one


@dataclass(frozen=True, slots=True, kw_only=True)
class Allowed:
    """A kind of cut that was given a feed: `section` is the mm2 that goes for each mm of way."""

    tool: int
    feed: float
    section: float


@dataclass(frozen=True, slots=True, kw_only=True)
class CuttingLimits:
    """`specific_force` in N/mm2; `chip_most` the thickest chip of each tool, mm; `allowed` what passes were given.

    `tab_strength`: N for each mm2 of a tab's section when it is pushed along its piece's wall or off it.
    """

    specific_force: float
    tab_strength: float = 5.0
    chip_most: Mapping[int, float] = field(default_factory=dict)
    allowed: tuple[Allowed, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Stretch:
    """Cutting of one tool at one feed: mm3, mm2 seen from above, mm of way (`across` from above).

    `placed` is its last move, `begun` the number of cuts before its first.
    """

    placed: Placed
    begun: int
    volume: float
    area: float
    length: float
    across: float

    @property
    def rate(self) -> float:
        """Removal rate, mm3/s."""
        return self.volume / self.length * self.placed.move.feed / 60

    @property
    def section(self) -> float:
        """mm2 for each mm of way."""
        return self.volume / self.length

    def force(self, tool: Tool, rpm: float, specific_force: float) -> float:
        """Mean force along the rim, N: power over the rim's speed (F = P / v)."""
        return self.rate * specific_force / (pi * tool.cut_diameter * rpm / 60)

    @property
    def untold(self) -> float:
        """mm2 for each mm of way that the cells may say too much: half a cell, as deep as the cut."""
        return CELL / 2 * self.volume / self.area if self.area else 0.0

    def chip(self, tool: Tool, rpm: float) -> float:
        """The thickest part of the chip: the advance a tooth, thinner where less than half the tool is engaged."""
        advance = self.placed.move.feed / (rpm * tool.flutes)
        share = self.area / self.across / tool.cut_diameter if self.across > 0 else 1.0
        return advance * (2 * sqrt(share * (1 - share)) if share < 0.5 else 1.0)


def load_findings(taken: Iterable[Stretch], setup: Setup, limits: CuttingLimits) -> Iterator[Finding]:
    """Every stretch past a limit."""
    beyond: dict[tuple[str, int, float], list[Stretch]] = {}
    for stretch in taken:
        placed = stretch.placed
        tool, rpm = setup.tools[placed.move.tool], rpm_of(placed, setup.machine)
        if rpm > 0:
            yield from _judged(stretch, tool, rpm, setup.machine, limits)
        most = given_section(placed.move, limits)
        if most is not None and stretch.section > most * COARSE + stretch.untold:
            beyond.setdefault((placed.program, placed.move.tool, placed.move.feed), []).append(stretch)
    for some in beyond.values():
        yield _engaged(some, limits)


def stretches(carved: Carved) -> Iterator[Stretch]:
    """What the moves take from the sheet, in order."""
    for share in carved.shares:
        yield from _of_one_tool(share)


def _of_one_tool(share: Share) -> Iterator[Stretch]:
    taken = share.taken
    figures = zip(share.moves, taken.volume.tolist(), taken.area.tolist(), taken.across.tolist(), strict=True)
    volume = area = length = across = 0.0
    last: Placed | None = None
    begun = 0
    for placed, more, wider, farther in figures:
        if last is not None and (last.move.feed != placed.move.feed or placed.move.is_vertical):
            volume = area = length = across = 0.0
        begun = placed.before if length == 0 else begun
        volume, area, length, across = volume + more, area + wider, length + placed.move.length, across + farther
        last = placed
        if length >= STRETCH:
            if volume > 0:
                yield Stretch(placed=placed, begun=begun, volume=volume, area=area, length=length, across=across)
            volume = area = length = across = 0.0


def rpm_of(placed: Placed, machine: Machine) -> float:
    """What the spindle turns at; a hand-switched one of many speeds is not known."""
    if machine.spindle.control == "program":
        return placed.move.rpm
    return machine.spindle.rpm_max if machine.spindle.is_fixed else 0.0


def _judged(stretch: Stretch, tool: Tool, rpm: float, machine: Machine, limits: CuttingLimits) -> Iterator[Finding]:
    power, most = stretch.rate * limits.specific_force / 1000, machine.spindle.power_at(rpm)
    if power > most * COARSE:
        text = f"{stretch.rate:.0f} mm3/s takes {power:.0f} W, the spindle gives {most:.0f} W at {rpm:g} rpm"
        yield _finding("power", stretch, text, power, most)
    thickest = limits.chip_most.get(tool.number)
    chip = stretch.chip(tool, rpm)
    if thickest is not None and chip > thickest * COARSE:
        text = f"a chip of {chip:.3f} mm on T{tool.number}, the table's most is {thickest:.3f}"
        yield _finding("chip-load", stretch, text, chip, thickest)


def given_section(move: Move, limits: CuttingLimits) -> float | None:
    """The section of the heaviest kind of cut that was given at least this feed; None for a tool nobody planned."""
    of_tool = [one for one in limits.allowed if one.tool == move.tool]
    fast = (one.section for one in of_tool if one.feed >= move.feed - SAME_FEED)
    return max(fast, default=0.0) if of_tool else None


def _engaged(beyond: Sequence[Stretch], limits: CuttingLimits) -> Finding:
    """The worst of a tool's places at one feed: a remark, since chip and power are judged by themselves."""
    worst = max(beyond, key=lambda stretch: stretch.section)
    move = worst.placed.move
    most = given_section(move, limits) or 0.0
    places = f"{len(beyond)} places" if len(beyond) > 1 else "one place"
    text = (
        f"T{move.tool} at {move.feed:.0f} mm/min has more in its way than that feed was given for at {places}; "
        f"here {worst.section:.1f} mm2 instead of {most:.1f}"
    )
    return replace(_finding("engagement", worst, text, worst.section, most), severity="remark")


def _finding(kind: str, stretch: Stretch, text: str, measure: float, limit: float) -> Finding:
    placed = stretch.placed
    return finding_at_end(
        placed.move, kind, text, program=placed.program, severity="error", measure=measure, limit=limit
    )
