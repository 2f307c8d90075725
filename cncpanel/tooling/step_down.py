"""A depth in equal steps, as few as tool, material, power and the tool's stiffness allow."""

from math import ceil

from cncpanel.machine.model import Machine
from cncpanel.machine.tool import Tool
from cncpanel.tooling.cut import Cut, Kind
from cncpanel.tooling.drilling import pecks
from cncpanel.tooling.materials import Material
from cncpanel.tooling.speed_choice import chip_at, chosen_rpm
from cncpanel.tooling.spindle_speed import usable_speeds
from cncpanel.tooling.step_limit import step_limit

CLEAR_WIDTH = 0.45  # of the diameter, a clearing pass's usual width: common practice
BORE_WIDTH = 1.5  # of the diameter, a usual bore
COMPRESSION_SPARE = 0.5  # mm that a compression tool's first pass goes below its up-cut part: a rule of ours
MOST_STEPS = 3  # times the fewest; beyond it more steps no longer help
_NEAR = 0.99  # a chip this near to the best is as good


def step_downs(
    total_depth: float,
    tool: Tool,
    material: Material,
    machine: Machine,
    kind: Kind,
    width: float | None = None,
) -> tuple[float, ...]:
    """Cumulative depths down to `total_depth`, equal steps; a compression tool's first clears its up-cut part.

    `width` of the cut, mm (a bore's diameter); none: usual for the kind. ValueError as from `cutting_data`.
    """
    if kind == "drill":
        return pecks(total_depth, tool)
    fewest = ceil(total_depth / step_limit(tool, material, machine, kind).depth - 1e-9)
    if kind in ("finish", "mark"):
        return _equal(total_depth, fewest)
    across = width or _usual_width(tool, kind)
    cuts = [
        Cut(tool=tool, material=material, machine=machine, depth=total_depth / count, width=across, kind=kind)
        for count in range(fewest, MOST_STEPS * fewest + 1)
    ]
    return _below_up_cut(_equal(total_depth, fewest + _first_good(cuts)), tool)


def compression_suits(tool: Tool, total_depth: float) -> bool:
    """Whether a compression tool gets its up-cut part below the face, so that the face stays clean; else True."""
    return tool.kind != "compression" or total_depth >= (tool.up_cut_length or 0.0) + COMPRESSION_SPARE


def _usual_width(tool: Tool, kind: Kind) -> float:
    return tool.cut_diameter * {"clear": CLEAR_WIDTH, "bore": BORE_WIDTH}.get(kind, 1.0)


def _first_good(cuts: list[Cut]) -> int:
    """The first whose chip reaches the table's low end, or the best that any of them reaches."""
    speeds = usable_speeds(cuts[0].tool, cuts[0].machine)
    if speeds is None:
        raise ValueError(f"the spindle cannot turn as slowly as {cuts[0].tool.name} allows")
    chips = [chip_at(cut, chosen_rpm(cut, speeds)) for cut in cuts]
    best = max(chips)
    return next(i for i, cut in enumerate(cuts) if chips[i] >= _NEAR * min(cut.load.low, best))


def _equal(total: float, count: int) -> tuple[float, ...]:
    """The last is the total to the last bit."""
    return (*(total * index / count for index in range(1, count)), total)


def _below_up_cut(depths: tuple[float, ...], tool: Tool) -> tuple[float, ...]:
    """With the first pass below the up-cut part, so that the top stays clean; the others equal again."""
    if tool.kind != "compression" or tool.up_cut_length is None:
        return depths
    first = tool.up_cut_length + COMPRESSION_SPARE
    if depths[0] >= first:
        return depths
    total = depths[-1]
    if first >= total:
        return (total,)
    rest = max(1, ceil((total - first) / depths[0] - 1e-9))
    return (first, *(first + further for further in _equal(total - first, rest)[:-1]), total)
