"""What a program makes the machine do: moves and events, in the order in which they happen."""

from math import cos, dist, hypot, sin
from typing import Literal, NamedTuple

Point3 = tuple[float, float, float]
MoveKind = Literal["rapid", "feed", "arc"]
EventKind = Literal[
    "stop",
    "optional stop",
    "end",
    "dwell",
    "change",
    "tool named",
    "spindle on",
    "spindle off",
    "speed",
    "comment",
    "offset",
]
PLANE_AXES = {"xy": (0, 1, 2), "xz": (2, 0, 1), "yz": (1, 2, 0)}  # first, second and normal axis; G18 is Z then X


class Move(NamedTuple):
    """One move. Program coordinates, mm, NaN where a coordinate is not known; feed mm/min, sweep radians.

    An arc turns (+1 counter-clockwise seen from the normal's + end) round `centre`, whose entry on the normal
    axis is the start's, and goes evenly along the normal. `machine`: the end was given in machine coordinates.
    """

    line: int
    kind: MoveKind
    start: Point3
    end: Point3
    feed: float
    rpm: float
    spindle_on: bool
    tool: int
    centre: Point3 | None = None
    turn: int = 0
    sweep: float = 0.0
    plane: str = "xy"
    machine: bool = False
    length_offset: int = 0

    @property
    def radius(self) -> float:
        """The arc's, measured at its start."""
        if self.centre is None:
            return 0.0
        first, second, _ = PLANE_AXES[self.plane]
        return hypot(self.start[first] - self.centre[first], self.start[second] - self.centre[second])

    @property
    def length(self) -> float:
        """Along the path, helix included (section 2.1.2.6)."""
        if self.centre is None:
            return dist(self.start, self.end)
        normal = PLANE_AXES[self.plane][2]
        return hypot(self.radius * self.sweep, self.end[normal] - self.start[normal])

    @property
    def across(self) -> float:
        """Along the path as seen along its plane's normal: without a helix's or a ramp's height."""
        if self.centre is not None:
            return self.radius * self.sweep
        return hypot(self.end[0] - self.start[0], self.end[1] - self.start[1])

    @property
    def is_vertical(self) -> bool:
        """Whether it goes straight up or down."""
        return self.centre is None and self.start[:2] == self.end[:2]

    def at(self, fraction: float) -> Point3:
        """The point at `fraction` (0..1) of the move."""
        if fraction >= 1:
            return self.end
        if self.centre is None:
            x, y, z = (a + (b - a) * fraction for a, b in zip(self.start, self.end, strict=True))
            return x, y, z
        first, second, normal = PLANE_AXES[self.plane]
        angle = self.turn * self.sweep * fraction
        u, v = self.start[first] - self.centre[first], self.start[second] - self.centre[second]
        point = [0.0, 0.0, 0.0]
        point[first] = self.centre[first] + u * cos(angle) - v * sin(angle)
        point[second] = self.centre[second] + u * sin(angle) + v * cos(angle)
        point[normal] = self.start[normal] + (self.end[normal] - self.start[normal]) * fraction
        return point[0], point[1], point[2]


class Event(NamedTuple):
    """Something other than motion, after `moves` moves were made."""

    line: int
    kind: EventKind
    moves: int
    value: float = 0.0
    text: str = ""
