"""Runs that belong together: one goes over what the other left, so they follow one another as made."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

import numpy as np

from cncpanel.geometry.contour import joined_bounds
from cncpanel.geometry.point import Point
from cncpanel.geometry.segment import Bounds
from cncpanel.passes.run import Door, Run
from cncpanel.sequence.frame import centre_box, end_of, grown

STAGES = ("screw", "mark", "recess", "hole", "opening", "outline", "edge", "skin")
SCREW, SKIN = STAGES.index("screw"), STAGES.index("skin")
OPENING, OUTLINE = STAGES.index("opening"), STAGES.index("outline")


@dataclass(frozen=True, slots=True, kw_only=True)
class Chain:
    """Runs of one feature, tool and speed that touch; `box` is what they sweep, seen from above.

    A chain of one closed run may have doors: `door` is the number of the one taken, None the run's own beginning.
    """

    runs: tuple[Run, ...]
    box: Bounds
    door: int | None = None

    @property
    def stage(self) -> int:
        """Its place among STAGES."""
        return STAGES.index(self.runs[0].kind)

    @property
    def part(self) -> str:
        """The part it is cut in."""
        return self.runs[0].part

    @property
    def tool(self) -> int:
        """The tool's number."""
        return self.runs[0].tool.number

    @property
    def size(self) -> float:
        """Of the piece that it frees, mm2; its box's where the runs do not say."""
        return max(run.area for run in self.runs) or _area(self.box)

    @property
    def rpm(self) -> float:
        """The spindle's speed."""
        return self.runs[0].rpm

    @property
    def doors(self) -> tuple[Door, ...]:
        """Where else it may be entered."""
        first = self.runs[0]
        return first.entries.doors if len(self.runs) == 1 and first.entries else ()

    @property
    def start(self) -> Point:
        """Where the tool comes down first."""
        return self.runs[0].start if self.door is None else self.doors[self.door].start

    @property
    def end(self) -> Point:
        """Where it lifts off last."""
        return end_of(self.runs[-1]) if self.door is None else self.doors[self.door].end

    def cut(self) -> tuple[Run, ...]:
        """Its runs, entered by the door taken."""
        entries = self.runs[0].entries
        if self.door is None or entries is None:
            return tuple(replace(run, entries=None) if run.entries else run for run in self.runs)
        return (entries.run(self.door),)


def swept_box(run: Run) -> Bounds:
    """The box of what the tool touches."""
    return grown(centre_box(run), run.tool.radius)


def overlap(one: Bounds, other: Bounds) -> bool:
    """Whether two boxes share a place."""
    return one[0] < other[2] and other[0] < one[2] and one[1] < other[3] and other[1] < one[3]


def chains(runs: Iterable[Run]) -> tuple[Chain, ...]:
    """The runs in chains, sorted by stage and otherwise as given: an order in which all could be cut.

    An opening in whose waste other parts lie comes after their outlines.
    """
    found: list[Chain] = []
    for run in runs:
        box = swept_box(run)
        if found and _continues(found[-1], run, box):
            last = found.pop()
            found.append(Chain(runs=(*last.runs, run), box=joined_bounds((last.box, box))))
        else:
            found.append(Chain(runs=(run,), box=box))
    height = _heights(found)
    return tuple(sorted(found, key=lambda chain: _turn(chain, height)))


def _turn(chain: Chain, height: dict[str, int]) -> tuple[int, int, bool]:
    """Within edges slot cutters come last: every channel that they come down in is opened before."""
    around = height.get(chain.part, 0)
    if chain.stage == OUTLINE or (chain.stage == OPENING and around):
        return OUTLINE, around, chain.stage == OUTLINE
    return chain.stage, 0, chain.runs[0].tool.undercuts


def _heights(work: Sequence[Chain]) -> dict[str, int]:
    """How many parts lie in one another's openings under each part that holds any."""
    outlines = [chain for chain in work if chain.stage == OUTLINE]
    found: dict[str, int] = {}
    for hole in sorted((chain for chain in work if chain.stage == OPENING), key=lambda chain: _area(chain.box)):
        inner = [found.get(one.part, 0) for one in outlines if _lies_in(one, hole)]
        if inner:
            found[hole.part] = max(found.get(hole.part, 0), 1 + max(inner))
    return found


def _area(box: Bounds) -> float:
    return (box[2] - box[0]) * (box[3] - box[1])


def _lies_in(outline: Chain, hole: Chain) -> bool:
    """Whether another part's outline is cut within an opening's waste."""
    one, around = outline.box, hole.box
    inside = around[0] < one[0] and around[1] < one[1] and one[2] < around[2] and one[3] < around[3]
    return inside and outline.part != hole.part


def _continues(chain: Chain, run: Run, box: Bounds) -> bool:
    last = chain.runs[-1]
    same = (last.kind, last.part, last.feature, last.tool.number, last.rpm)
    return same == (run.kind, run.part, run.feature, run.tool.number, run.rpm) and overlap(chain.box, box)


def forerunners(work: Sequence[Chain]) -> tuple[int, ...]:
    """For each chain the chains that must be cut before it, as bits of a number.

    In one part: whatever comes earlier in `work` and shares a place with it; for an outline all inside work. Before an
    opening the outlines of other parts that lie in its waste, while that is whole. Holes for the screws that hold the
    sheet come before everything, passes through skins after everything.
    """
    boxes = np.array([chain.box for chain in work]).reshape(len(work), 4)
    parts = np.array([chain.part for chain in work])
    inside = np.array([chain.stage < OUTLINE for chain in work], dtype=bool)
    skins = sum(1 << index for index, chain in enumerate(work) if chain.stage == SKIN)
    screws = sum(1 << index for index, chain in enumerate(work) if chain.stage == SCREW)
    outlines = [index for index, chain in enumerate(work) if chain.stage == OUTLINE]
    found = []
    for index, chain in enumerate(work):
        earlier = boxes[:index]
        shares = (earlier[:, 0] < chain.box[2]) & (chain.box[0] < earlier[:, 2])
        shares &= (earlier[:, 1] < chain.box[3]) & (chain.box[1] < earlier[:, 3])
        if chain.stage == OUTLINE:
            shares |= inside[:index]
        shares &= parts[:index] == chain.part
        needed = sum(1 << int(bit) for bit in np.flatnonzero(shares))
        if chain.stage == OPENING:
            needed |= sum(1 << n for n in outlines if _lies_in(work[n], chain))
        if chain.stage == SKIN:
            needed |= ((1 << len(work)) - 1) & ~skins
        found.append(needed if chain.stage == SCREW else needed | screws)
    return tuple(found)
