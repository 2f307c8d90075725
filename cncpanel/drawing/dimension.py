"""A dimension: between which two points of the panel it spans, and the number that says so."""

from dataclasses import dataclass

from cncpanel.drawing.measures import number
from cncpanel.geometry.point import Point
from cncpanel.job.model import Job
from cncpanel.units import DimensionUnit, ruled

DECIMALS = {"mm": 2, "inch": 3}  # finer than a router or a saw holds
UNIT_WORDS: dict[DimensionUnit, str] = {
    "mm": "All dimensions in mm.",
    "inch": "All dimensions in inches.",
    "fraction": "All dimensions in inches, to the nearest 1/64; a signed decimal after it is what the true length has "
    "over it, in inches.",
}


@dataclass(frozen=True, slots=True)
class Dimension:
    """`text` tells the distance from `start` to `end` (panel frame, mm), after a sign such as R or Ø."""

    start: Point
    end: Point
    text: str

    @property
    def span(self) -> float:
        """The distance that it spans, mm."""
        return self.start.distance(self.end)


@dataclass(frozen=True, slots=True)
class Dimensioning:
    """How numbers are told on drawings."""

    unit: DimensionUnit

    @staticmethod
    def of(job: Job) -> "Dimensioning":
        """As the job says, else in its own unit."""
        return Dimensioning(job.dimension_unit)

    @property
    def words(self) -> str:
        """What a reader must know of the numbers."""
        return UNIT_WORDS[self.unit]

    def told(self, millimetres: float) -> str:
        """The bare number: `604`, `23.78`, `23 25/32 -0.001`."""
        if self.unit != "fraction":
            return number(millimetres, self.unit, DECIMALS[self.unit])
        return ruled(millimetres)

    def between(self, start: Point, end: Point, sign: str = "") -> Dimension:
        """The dimension of that span."""
        return Dimension(start, end, sign + self.told(start.distance(end)))
