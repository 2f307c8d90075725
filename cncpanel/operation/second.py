"""A second clearing: a larger tool takes all that it reaches of a recess, the chosen one only what that left.

Whether it is worth it is weighed: what the larger tool saves, over all copies, against the change of tools it asks for.
"""

from collections.abc import Collection, Sequence
from dataclasses import replace

from cncpanel.operation.choose import NEGLIGIBLE
from cncpanel.operation.operation import Clear
from cncpanel.operation.rack import Bench
from cncpanel.operation.way import Need, Way
from cncpanel.panel.panel import Panel
from cncpanel.tooling.step_down import CLEAR_WIDTH

LARGER = 1.3  # times as wide, at least: between tools nearer to each other hardly anything is left: own choice
SPOT_S = 2.0  # s for every place that is left, at every depth: in and out again: own estimate

Made = tuple[Panel, Need, Way]
Split = tuple[float, Way]


def with_second_clearing(made: Sequence[Made], bench: Bench) -> list[Made]:
    """The ways, some of them in two clearings, as the job's settings have it."""
    mode = bench.settings.second_clearing
    if mode == "never":
        return list(made)
    splits = [_splits(panel, need, way, bench) for panel, need, way in made]
    least = float("-inf") if mode == "always" else 0.0
    tools = {way.tool.number for _, _, way in made}
    others = sorted({number for options in splits for number in options} - tools)
    saved = _saved(splits, tools, least)
    worth = [
        (_saved(splits, {*tools, one}, least) - saved - bench.machine.motion.tool_change_s, -one) for one in others
    ]
    if worth and (max(worth)[0] > 0 or mode == "always"):
        tools = {*tools, *others} if mode == "always" else {*tools, -max(worth)[1]}
    best = [_best(options, tools, least) for options in splits]
    return [(panel, need, split[1] if split else way) for (panel, need, way), split in zip(made, best, strict=True)]


def _saved(splits: Sequence[dict[int, Split]], tools: Collection[int], least: float) -> float:
    best = (_best(options, tools, least) for options in splits)
    return sum(split[0] for split in best if split)


def _best(options: dict[int, Split], tools: Collection[int], least: float) -> Split | None:
    """What saves most, with the larger tool among `tools`, if it saves more than `least` s."""
    usable = [(option[0], -number) for number, option in options.items() if number in tools and option[0] > least]
    return options[-max(usable)[1]] if usable else None


def _splits(panel: Panel, need: Need, way: Way, bench: Bench) -> dict[int, Split]:
    """By the larger tool's number: the seconds saved over all copies, and the way in two clearings."""
    found: dict[int, Split] = {}
    if isinstance(way.operation, Clear) and way.operation.depth is not None:
        for other in need.ways:
            split = _split(way, way.operation, other, bench)
            if split is not None:
                found[other.tool.number] = ((way.time_s - split.time_s) * panel.copies, split)
    return found


def _split(way: Way, rest: Clear, other: Way, bench: Bench) -> Way | None:
    first, tool = other.operation, way.tool
    if not isinstance(first, Clear) or other.slender or other.tool.cut_diameter < LARGER * tool.cut_diameter:
        return None
    left = sum(region.area for region in other.missed) - sum(region.area for region in way.missed)
    if left <= NEGLIGIBLE:
        return None
    _, passes = bench.cutting(tool, rest.depth, "clear")
    time = bench.time_s(tool, left / (CLEAR_WIDTH * tool.cut_diameter), rest.depth, "clear")
    time += other.time_s * (1 - left / rest.region.area) + SPOT_S * len(other.missed) * passes
    return replace(way, first=first, operation=replace(rest, after=first), time_s=time)
