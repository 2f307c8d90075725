"""What a problem is about: a panel, or one feature of it, with the words and the place it is told by."""

from dataclasses import dataclass, replace

from cncpanel.errors import Gathering, Place
from cncpanel.geometry.point import Point
from cncpanel.job.read import ReadJob
from cncpanel.units import shown

Key = str | int

ORIGIN = Point(0.0, 0.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Subject:
    """One panel or feature: `keys` lead to it in the job file, `said` and `name` are what messages and outputs call it.

    `shift` is what was subtracted from the author's coordinates; positions are told in the author's.
    """

    read: ReadJob
    gathering: Gathering
    keys: tuple[Key, ...]
    said: str
    name: str
    shift: Point = ORIGIN

    @property
    def place(self) -> Place:
        """File, line and key."""
        return self.read.file.place(self.keys)

    @property
    def short(self) -> str:
        """The name without the panel's, for messages that tell the panel already."""
        return self.said.split(", ", 1)[-1]

    def problem(self, text: str, allowed: str = "", *keys: Key) -> None:
        """Note a mistake, at the key below this one when given."""
        self.gathering.problem(self.read.file.place((*self.keys, *keys)), f"{self.said}: {text}", allowed)

    def warn(self, text: str, allowed: str = "", *keys: Key) -> None:
        """Note something that stops nothing."""
        self.gathering.warn(self.read.file.place((*self.keys, *keys)), f"{self.said}: {text}", allowed)

    def moved(self, shift: Point) -> "Subject":
        """The same, once `shift` was subtracted from the author's coordinates."""
        return replace(self, shift=shift)

    def feature(self, kind: str, number: int, name: str) -> "Subject":
        """A feature of this panel."""
        said = f'{kind} "{name}"' if name else f"{kind}[{number}]"
        return replace(
            self,
            keys=(*self.keys, kind, number),
            said=f"{self.said}, {said}",
            name=name or f"{kind} {number + 1}",
        )

    def part(self, *keys: Key) -> "Subject":
        """A part of this feature, such as a step, under the feature's own name."""
        said = f"{self.said}, {keys[0]}" + "".join(f"[{key}]" for key in keys[1:])
        return replace(self, keys=(*self.keys, *keys), said=said)

    def length(self, value: float) -> str:
        """A length in mm as it is told, in the job's unit."""
        return shown(value, self.read.job.job.units)

    def written(self, value: float) -> str:
        """A length in mm as labels and drawings write it: as the job's dimensions, else in its unit."""
        return shown(value, self.read.job.dimension_unit)

    def told(self, point: Point) -> str:
        """A position as it is told, in the frame that it is in."""
        return f"({self.length(point.x)}, {self.length(point.y)})"

    def at(self, point: Point) -> str:
        """A position in the panel's frame as the author would write it."""
        return self.told(point.plus(self.shift))
