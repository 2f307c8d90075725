"""How a tool's load is spread over the time it cuts: chip, power and engagement as shares of what they may be."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import accumulate
from math import floor
from typing import Literal

from cncpanel.proof.load import CuttingLimits, Stretch, given_section, rpm_of
from cncpanel.proof.setup import Setup

BINS = 10  # tenths of a limit; what is over it has a bin of its own
TOLD = 0.15  # of a limit; where cells may say more too much (a light finishing pass) no engagement is told
SAME = 0.005  # of a limit; what is over it by less is at it
BAND = (0.1, 0.9)  # of the time: the load is outside it for a fifth

Measure = Literal["chip", "power", "engagement"]
MEASURES: tuple[Measure, ...] = ("chip", "power", "engagement")


@dataclass(frozen=True, slots=True, kw_only=True)
class LoadSpread:
    """Seconds of one tool's cutting in one program in each tenth of the limit, the last those over it.

    `low` and `high` hold the load for four fifths of that time, `most` is the largest; shares of the limit.
    """

    program: str
    tool: int
    measure: Measure
    seconds: tuple[float, ...]
    low: float
    high: float
    most: float


def load_spreads(taken: Iterable[Stretch], setup: Setup, limits: CuttingLimits) -> tuple[LoadSpread, ...]:
    """A spread for each program, tool and measure whose limit is known, in order of cutting."""
    found: dict[tuple[str, int, Measure], list[tuple[float, float]]] = {}
    for stretch in taken:
        move = stretch.placed.move
        for measure, share in _shares(stretch, setup, limits):
            key = (stretch.placed.program, move.tool, measure)
            found.setdefault(key, []).append((share, stretch.length / move.feed * 60))
    return tuple(_spread(*key, some) for key, some in found.items())


def _shares(stretch: Stretch, setup: Setup, limits: CuttingLimits) -> Iterator[tuple[Measure, float]]:
    placed = stretch.placed
    tool, rpm = setup.tools[placed.move.tool], rpm_of(placed, setup.machine)
    if not placed.move.feed > 0:
        return
    thickest = limits.chip_most.get(tool.number)
    if rpm > 0 and thickest:
        yield "chip", stretch.chip(tool, rpm) / thickest
    if rpm > 0:
        yield "power", stretch.rate * limits.specific_force / 1000 / setup.machine.spindle.power_at(rpm)
    given = given_section(placed.move, limits)
    if given and stretch.untold <= TOLD * given:
        yield "engagement", stretch.section / given


def _spread(program: str, tool: int, measure: Measure, some: Sequence[tuple[float, float]]) -> LoadSpread:
    seconds = [0.0] * (BINS + 1)
    for share, lasts in some:
        seconds[min(floor(share * BINS), BINS - 1) if share <= 1 + SAME else BINS] += lasts
    low, high = (_quantile(some, part) for part in BAND)
    return LoadSpread(
        program=program,
        tool=tool,
        measure=measure,
        seconds=tuple(round(spent, 3) for spent in seconds),
        low=low,
        high=high,
        most=max(share for share, _ in some),
    )


def _quantile(some: Sequence[tuple[float, float]], part: float) -> float:
    """The share that the load stays below for this part of the time."""
    order = sorted(some)
    until = list(accumulate(lasts for _, lasts in order))
    return next(share for (share, _), time in zip(order, until, strict=True) if time >= part * until[-1] - 1e-9)
