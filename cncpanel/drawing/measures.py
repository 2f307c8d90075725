"""Lengths as paper tells them: in the job's unit first, in both units where the job or the machine is in inches."""

import re
from dataclasses import dataclass

from cncpanel.geometry.point import Point
from cncpanel.job.model import JobHead
from cncpanel.machine.model import Machine
from cncpanel.units import Unit, as_fraction, in_millimetres

SHOWN = {"mm": 2, "inch": 4}  # decimals; what a caliper shows
SIZED = {"mm": 1, "inch": 3}  # decimals of a part's size; what a rule and a saw hold
MILLIMETRES = r"(?<![\w.])(\d+(?:\.\d+)?) mm(?![\w/])"  # a length in a reason; no feed
WORDS: dict[Unit, str] = {"mm": "mm", "inch": "in"}


@dataclass(frozen=True, slots=True)
class Measures:
    """`job` is the unit that people think in, `machine` the one that the control shows."""

    job: Unit
    machine: Unit
    names: tuple[str, ...] = ()  # of the tools, with lengths of their own

    @staticmethod
    def of(job: JobHead, machine: Machine) -> "Measures":
        """The measures of this job on this machine."""
        return Measures(job.units, machine.dialect.unit, tuple(tool.name for tool in machine.tool))

    @property
    def inches(self) -> bool:
        """Whether inches are told at all."""
        return "inch" in (self.job, self.machine)

    @property
    def units(self) -> tuple[Unit, ...]:
        """The units told, the job's first."""
        if not self.inches:
            return ("mm",)
        return ("inch", "mm") if self.job == "inch" else ("mm", "inch")

    def length(self, millimetres: float) -> str:
        """`18 mm`, `18 mm (0.7087 in)` or `0.7087 in (18 mm)`."""
        return _joined([f"{number(millimetres, unit, SHOWN[unit])} {WORDS[unit]}" for unit in self.units])

    def lengths(self, values: list[float]) -> str:
        """Several, joined by 'and'."""
        return " and ".join(map(self.length, values))

    def told(self, text: str) -> str:
        """The text with its lengths as `length` tells them; those in the names of tools stay."""
        if not self.inches:
            return text
        kept = map(re.escape, sorted(self.names, key=len, reverse=True))
        return re.sub("|".join((*kept, MILLIMETRES)), self._told, text)

    def _told(self, match: re.Match[str]) -> str:
        return match[0] if match[1] is None else self.length(float(match[1]))

    def size(self, across: float, along: float) -> str:
        """`620 x 1600 mm`; a job in inches adds the nearest 1/64, where that says more."""
        told = [
            f"{number(across, unit, SIZED[unit])} x {number(along, unit, SIZED[unit])} {WORDS[unit]}"
            for unit in self.units
        ]
        if self.job == "inch":
            told.insert(1, f"{as_fraction(across).removesuffix(' in')} x {as_fraction(along)}")
        return _joined(list(dict.fromkeys(told)))

    def place(self, point: Point) -> str:
        """A place as the control shows it: `X 25 Y 35 mm`, `X 0.984 Y 1.378 in`."""
        unit = self.machine
        decimals = SIZED[unit]
        return f"X {number(point.x, unit, decimals)} Y {number(point.y, unit, decimals)} {WORDS[unit]}"


def ruled(millimetres: float, unit: Unit) -> str:
    """A length as a rule holds it, with its unit."""
    return f"{number(millimetres, unit, SIZED[unit])} {WORDS[unit]}"


def number(millimetres: float, unit: Unit, decimals: int) -> str:
    """The bare number in `unit`, without needless zeros."""
    text = f"{millimetres / in_millimetres(unit):.{decimals}f}"
    short = text.rstrip("0").rstrip(".") if "." in text else text
    return "0" if short in ("-0", "") else short


def _joined(told: list[str]) -> str:
    first, *rest = told
    return f"{first} ({'; '.join(rest)})" if rest else first
