"""How long a program takes, for planning the day: within a fifth either way."""

from collections.abc import Iterator
from dataclasses import dataclass, field
from math import hypot, sqrt

from cncpanel.geometry.point import Point
from cncpanel.geometry.segment import Segment
from cncpanel.machine.model import Machine
from cncpanel.sequence.motion import Direction, Motion, move_time, times
from cncpanel.sequence.program import Block, Cut, Dwell, LiftHome, Program, Rapid, Stop, ToolChange

BAND = 0.2  # of the total either way: jerk, look-ahead and acceleration are not known better
CORNER = 0.01  # mm; how far a control that states no blending may leave a corner: common practice, no source
STOP_S = 20.0  # s at a stop for a switch or a look: common practice, no source
MINUTE = 60.0


@dataclass(frozen=True, slots=True)
class ToolTime:
    """What one tool cuts: seconds and metres at a feed."""

    number: int
    cut_s: float
    cut_length_m: float


@dataclass(frozen=True, slots=True, kw_only=True)
class TimeEstimate:
    """Seconds of a program: cutting by tool, rapids, dwells, and what tool changes and stops take."""

    tools: tuple[ToolTime, ...]
    rapid_s: float
    dwell_s: float
    change_s: float
    assumptions: tuple[str, ...]

    @property
    def total_s(self) -> float:
        """Everything together."""
        return sum(tool.cut_s for tool in self.tools) + self.rapid_s + self.dwell_s + self.change_s

    @property
    def band_s(self) -> tuple[float, float]:
        """The least and the most it is likely to take."""
        return self.total_s * (1 - BAND), self.total_s * (1 + BAND)


def estimate(program: Program, machine: Machine) -> TimeEstimate:
    """The time of one program on this machine."""
    clock = _Clock(machine, program.tools[0].number)
    for block in program.blocks:
        clock.take(block)
    clock.finish_cutting()
    return TimeEstimate(
        tools=tuple(ToolTime(number, *clock.cut[number]) for number in sorted(clock.cut)),
        rapid_s=clock.rapid_s,
        dwell_s=clock.dwell_s,
        change_s=clock.change_s,
        assumptions=_assumptions(machine),
    )


def _deviation(machine: Machine) -> float:
    return machine.dialect.blend_tolerance or CORNER


def _assumptions(machine: Machine) -> tuple[str, ...]:
    motion = machine.motion
    return (
        f"acceleration {motion.acceleration_xy:g} mm/s2 in X and Y, {motion.acceleration_z:g} in Z",
        "jerk not counted",
        f"corners within {_deviation(machine):g} mm, the control looks far ahead",
        "every rapid starts and ends at rest",
        f"{motion.tool_change_s:g} s a tool change, {STOP_S:g} s another stop",
        f"within {BAND:.0%} either way",
    )


@dataclass(slots=True)
class _Clock:
    """Walks through a program and adds up."""

    machine: Machine
    tool: int
    at: list[float | None] = field(default_factory=lambda: [None, None, None])
    cutting: list[Motion] = field(default_factory=list)
    cut: dict[int, tuple[float, float]] = field(default_factory=dict)
    rapid_s: float = 0.0
    dwell_s: float = 0.0
    change_s: float = 0.0

    def take(self, block: Block) -> None:
        if isinstance(block, Cut):
            self.cutting += self.cut_motion(block)
            self.at = [block.x, block.y, block.z]
            return
        self.finish_cutting()
        match block:
            case Rapid():
                self.rapid((block.x, block.y, block.z))
            case LiftHome():
                self.rapid((None, None, self.machine.travel.z[1]))
            case Dwell():
                self.dwell_s += block.seconds
            case ToolChange():
                self.tool = block.number
                self.change_s += self.machine.motion.tool_change_s
            case Stop():
                self.tool = block.fits or self.tool
                self.change_s += STOP_S if block.fits is None else self.machine.motion.tool_change_s

    def finish_cutting(self) -> None:
        if not self.cutting:
            return
        seconds, metres = self.cut.get(self.tool, (0.0, 0.0))
        seconds += sum(times(self.cutting, _deviation(self.machine)))
        metres += sum(move.length for move in self.cutting) / 1000
        self.cut[self.tool] = seconds, metres
        self.cutting = []

    def rapid(self, goal: tuple[float | None, float | None, float | None]) -> None:
        """Each axis at its own pace until the slowest is there; no time from an unknown place."""
        motion = self.machine.motion
        limits = (
            (motion.rapid_xy, motion.acceleration_xy),
            (motion.rapid_xy, motion.acceleration_xy),
            (motion.rapid_z, motion.acceleration_z),
        )
        longest = 0.0
        for axis, (there, (speed, acceleration)) in enumerate(zip(goal, limits, strict=True)):
            here = self.at[axis]
            if there is not None and here is not None and there != here:
                longest = max(longest, move_time(abs(there - here), speed / MINUTE, acceleration))
            self.at[axis] = here if there is None else there
        self.rapid_s += longest

    def cut_motion(self, block: Cut) -> Iterator[Motion]:
        x, y, z = self.at
        if x is None or y is None or z is None:
            raise ValueError("a cut from a place that the program did not set")
        flat = Segment(Point(x, y), Point(block.x, block.y), block.bulge)
        rise = block.z - z
        plane = flat.length if flat.chord else 0.0
        length = hypot(plane, rise)
        if length == 0:
            return
        begins, ends = _directions(flat, plane / length, rise / length)
        acceleration = self.acceleration(begins, is_arc=flat.is_arc)
        speed = block.feed / MINUTE
        if flat.is_arc and plane:
            speed = min(speed, sqrt(self.machine.motion.acceleration_xy * flat.radius))
        yield Motion(length=length, speed=speed, acceleration=acceleration, begins=begins, ends=ends)

    def acceleration(self, begins: Direction, *, is_arc: bool) -> float:
        """What the axes allow along the move; an arc passes through every direction in the plane."""
        motion = self.machine.motion
        flat = hypot(begins[0], begins[1])
        shares = (flat,) if is_arc else (abs(begins[0]), abs(begins[1]))
        allowed = [motion.acceleration_xy / share for share in shares if share]
        allowed += [motion.acceleration_z / abs(begins[2])] if begins[2] else []
        return min(allowed)


def _directions(flat: Segment, level: float, steep: float) -> tuple[Direction, Direction]:
    if not flat.chord:
        return (0.0, 0.0, steep), (0.0, 0.0, steep)
    first, last = flat.start_direction, flat.end_direction
    return (first.x * level, first.y * level, steep), (last.x * level, last.y * level, steep)
