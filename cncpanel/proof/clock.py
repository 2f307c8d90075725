"""How long a program takes, from what was read back: every move looked ahead, and all that is waited for."""

from collections.abc import Sequence
from dataclasses import dataclass
from re import compile as pattern

import numpy as np

from cncpanel.machine.model import Machine
from cncpanel.proof.axis_limits import MINUTE, Limits, limits_of
from cncpanel.proof.lookahead import Floats, corner_speeds, joint_speeds, move_times
from cncpanel.proof.motion import Event, Move
from cncpanel.proof.reader import Reading

BAND = 0.2  # of the total either way: jerk, look-ahead and accelerations are not known better (common practice)
CORNER = 0.01  # mm; how far a control that states no blending may leave a corner: common practice, no source
STOP_S = 20.0  # s at a stop for a switch or a look: common practice, no source
_OPERATION = pattern(r"\s*(PART .+?),\s*T\d+\s*$")
_HALTS = ("stop", "optional stop", "change", "dwell", "end")


@dataclass(frozen=True, slots=True, kw_only=True)
class Stretch:
    """What one tool, or one operation of it, takes: seconds cutting and at rapids, metres at a feed."""

    name: str
    tool: int
    cut_s: float
    rapid_s: float
    cut_m: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Duration:
    """Seconds of a program; `moves_s` has one for each move, and `joint_speeds` mm/s one more.

    `change_s` is what tool changes and stops for a person take, `dwell_s` what the program waits for, spindle
    included. `unknown` counts moves from a place that the program did not set: they take no time here.
    """

    moves_s: Floats
    joint_speeds: Floats
    cut_s: float
    rapid_s: float
    dwell_s: float
    change_s: float
    unknown: int
    tools: tuple[Stretch, ...]
    operations: tuple[Stretch, ...]
    assumptions: tuple[str, ...]

    @property
    def total_s(self) -> float:
        """Everything together."""
        return self.cut_s + self.rapid_s + self.dwell_s + self.change_s

    @property
    def band_s(self) -> tuple[float, float]:
        """The least and the most it is likely to take."""
        return self.total_s * (1 - BAND), self.total_s * (1 + BAND)


def duration(reading: Reading, machine: Machine) -> Duration:
    """The time of one program on this machine."""
    moves, events = reading.moves, reading.events
    limits = limits_of(moves, machine.motion)
    seconds, speeds = _moves(moves, events, limits, machine)
    dwell_s, change_s = _waits(events, machine)
    cut = ~limits.rapid
    return Duration(
        moves_s=seconds,
        joint_speeds=speeds,
        cut_s=float(seconds[cut].sum()),
        rapid_s=float(seconds[~cut].sum()),
        dwell_s=dwell_s,
        change_s=change_s,
        unknown=int((~limits.known).sum()),
        tools=_by_name([_tool_name(move.tool) for move in moves], moves, seconds, limits),
        operations=_by_name(_operations(moves, events), moves, seconds, limits),
        assumptions=_assumptions(machine),
    )


def _deviation(machine: Machine) -> float:
    """How far a corner may be left, mm; 0 where the control halts at each."""
    if machine.dialect.path_words.startswith("G61.1"):
        return 0.0
    return machine.dialect.blend_tolerance or CORNER


def _moves(moves: Sequence[Move], events: Sequence[Event], limits: Limits, machine: Machine) -> tuple[Floats, Floats]:
    """Seconds of each move, and the speed at each joint."""
    if not moves:
        return np.zeros(0), np.zeros(1)
    limits, still = _without_stays(limits)
    acceleration = np.minimum(limits.acceleration[1:], limits.acceleration[:-1])
    caps = np.zeros(len(limits.length) + 1)
    corner = corner_speeds(limits.ends[:-1], limits.begins[1:], acceleration, _deviation(machine))
    caps[1:-1] = np.minimum(np.minimum(limits.speed[1:], limits.speed[:-1]), corner)
    halts = {event.moves for event in events if event.kind in _HALTS}
    place = np.concatenate(([0], np.cumsum(~still)))
    caps[place[np.array(sorted(halts), dtype=np.intp)]] = 0.0
    if machine.motion.rapid_path == "dog-leg":
        rapid = np.flatnonzero(limits.rapid)
        caps[rapid] = caps[rapid + 1] = 0.0
    speeds = joint_speeds(caps, limits.length, limits.acceleration)
    moving = move_times(limits.length, limits.speed, limits.acceleration, speeds[:-1], speeds[1:])
    if machine.motion.rapid_path == "dog-leg":
        moving = np.where(limits.rapid, _dog_legs(limits, machine), moving)
    seconds = np.zeros(len(moves))
    seconds[~still] = moving
    return seconds, speeds[place]


def _without_stays(limits: Limits) -> tuple[Limits, "np.ndarray[tuple[int], np.dtype[np.bool_]]"]:
    """Moves without length join nothing: what is before them meets what comes after."""
    still = limits.length <= 0
    kept = ~still
    return Limits(
        length=limits.length[kept],
        speed=limits.speed[kept],
        acceleration=limits.acceleration[kept],
        begins=limits.begins[kept],
        ends=limits.ends[kept],
        rapid=limits.rapid[kept],
        known=limits.known[kept],
    ), still


def _dog_legs(limits: Limits, machine: Machine) -> Floats:
    """From rest to rest, each axis at its own pace until the slowest is there."""
    motion = machine.motion
    longest = np.zeros(len(limits.length))
    for axis, (speed, acceleration) in enumerate(
        (
            (motion.rapid_xy, motion.acceleration_xy),
            (motion.rapid_xy, motion.acceleration_xy),
            (motion.rapid_z, motion.acceleration_z),
        )
    ):
        way = np.abs(limits.begins[:, axis]) * limits.length
        rest = np.zeros_like(way)
        seconds = move_times(way, np.full_like(way, speed / MINUTE), np.full_like(way, acceleration), rest, rest)
        longest = np.maximum(longest, seconds)
    return longest


def _waits(events: Sequence[Event], machine: Machine) -> tuple[float, float]:
    """Seconds of dwells, the spindle's own among them, and of changes and stops. A dwell is in the machine's unit.

    A spindle that is switched on is waited for where the program's own dwell after it is shorter.
    """
    dwell_s = change_s = owed_s = 0.0
    named = turning = False
    at = 0
    unit = 0.001 if machine.dialect.dwell_unit == "ms" else 1.0
    for event in events:
        if event.moves != at:
            dwell_s, owed_s, at = dwell_s + owed_s, 0.0, event.moves
        if event.kind == "dwell":
            dwell_s += event.value * unit
            owed_s = max(owed_s - event.value * unit, 0.0)
        elif event.kind == "spindle on" and not turning:
            owed_s, turning = machine.spindle.spin_up_s, True
        elif event.kind == "spindle off":
            owed_s, turning = 0.0, False
        elif event.kind == "tool named":
            named = "FIT T" in event.text.upper()
        elif event.kind == "change":
            change_s, named = change_s + machine.motion.tool_change_s, False
        elif event.kind in ("stop", "optional stop"):
            change_s, named = change_s + (machine.motion.tool_change_s if named else STOP_S), False
    return dwell_s + owed_s, change_s


def _operations(moves: Sequence[Move], events: Sequence[Event]) -> list[str]:
    """For each move the operation it belongs to, as the last comment of the form (PART ..., FEATURE, Tn) says."""
    names: list[str] = []
    current = ""
    for event in events:
        names += [current] * (event.moves - len(names))
        if event.kind == "comment" and (found := _OPERATION.match(event.text)):
            current = found[1]
        elif event.kind in ("stop", "change", "end"):
            current = ""
    return names + [current] * (len(moves) - len(names))


def _tool_name(number: int) -> str:
    return f"T{number}" if number else "no tool named"


def _by_name(names: Sequence[str], moves: Sequence[Move], seconds: Floats, limits: Limits) -> tuple[Stretch, ...]:
    """Sums in the order of first mention; moves of no operation are left out."""
    sums: dict[tuple[str, int], list[float]] = {}
    for name, move, took, length, rapid in zip(
        names, moves, seconds.tolist(), limits.length.tolist(), limits.rapid.tolist(), strict=True
    ):
        if not name:
            continue
        entry = sums.setdefault((name, move.tool), [0.0, 0.0, 0.0])
        entry[1 if rapid else 0] += took
        entry[2] += 0.0 if rapid else length / 1000
    return tuple(
        Stretch(name=name, tool=tool, cut_s=cut, rapid_s=rapid, cut_m=metres)
        for (name, tool), (cut, rapid, metres) in sums.items()
    )


def _assumptions(machine: Machine) -> tuple[str, ...]:
    motion, deviation = machine.motion, _deviation(machine)
    corners = f"corners within {deviation:g} mm" if deviation else "a halt at every corner"
    rapids = "rapids straight" if motion.rapid_path == "straight" else "rapids axis by axis, from rest to rest"
    return (
        f"acceleration {motion.acceleration_xy:g} mm/s2 in X and Y, {motion.acceleration_z:g} in Z",
        "jerk not counted",
        f"{corners}, the control looks all the way ahead",
        rapids,
        f"{motion.tool_change_s:g} s a tool change, {STOP_S:g} s another stop",
        f"within {BAND:.0%} either way",
    )
