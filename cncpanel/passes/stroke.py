"""What a region is opened by: getting in, and one cut after another."""

from dataclasses import dataclass

from cncpanel.geometry.point import Point
from cncpanel.geometry.segment import Segment


@dataclass(frozen=True, slots=True, kw_only=True)
class Seed:
    """Where the tool gets in: a slot along `chain` with each circle (centre, radius) on the way opened.

    No chain: the circle alone, or straight down at `start` where there is none. `is_loop`: the chain is closed.
    """

    start: Point
    chain: tuple[Segment, ...]
    is_loop: bool
    circles: tuple[tuple[Point, float], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Stroke:
    """A cut along `chain`; `link`: the places on the way there from where the tool is, through what is cleared.

    None: there is no such way known. `slot`: buried, each circle (centre, radius) on the way opened.
    """

    chain: tuple[Segment, ...]
    link: tuple[Point, ...] | None
    slot: bool = False
    circles: tuple[tuple[Point, float], ...] = ()
