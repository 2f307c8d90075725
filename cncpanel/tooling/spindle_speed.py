"""Which speeds a spindle may turn a tool at, and the fastest of them under a ceiling."""

from dataclasses import dataclass
from math import floor, pi

from cncpanel.machine.model import Machine
from cncpanel.machine.tool import Tool

PREFERRED = 18000.0  # rpm; the speed that the chip-load charts are printed for
STEP = 100.0  # rpm; speeds set by a program are whole hundreds
_GUIDE = ((25.4, 24000.0), (50.8, 18000.0), (63.5, 16000.0), (88.9, 12000.0))
"""Highest rpm up to a diameter in mm, for tools that state none: general guide of woodworking pages."""
_GUIDE_BEYOND = 10000.0  # rpm for anything larger: common practice


@dataclass(frozen=True, slots=True, kw_only=True)
class Speeds:
    """From `low` to `high` rpm; `dial` holds (setting, rpm) where only those are to be had, slowest first."""

    low: float
    high: float
    dial: tuple[tuple[str, float], ...] = ()

    def at_most(self, rpm: float) -> float:
        """The fastest speed not above `rpm`; the slowest there is where all are."""
        if self.dial:
            below = [speed for _, speed in self.dial if speed <= rpm]
            return below[-1] if below else self.dial[0][1]
        return max(self.low, floor(min(rpm, self.high) / STEP) * STEP)

    def has(self, rpm: float) -> bool:
        """Whether it can turn at exactly this speed."""
        if self.dial:
            return self.setting(rpm) is not None
        return self.low <= rpm <= self.high

    def setting(self, rpm: float) -> str | None:
        """The dial's mark for a speed it has; None without a dial."""
        return next((mark for mark, speed in self.dial if speed == rpm), None)


def highest_rpm(tool: Tool) -> float:
    """What the tool states; without it a general guide by its diameter. The figure on the shank wins."""
    if tool.rpm_max is not None:
        return tool.rpm_max
    return next((rpm for diameter, rpm in _GUIDE if tool.diameter <= diameter), _GUIDE_BEYOND)


def usable_speeds(tool: Tool, machine: Machine) -> Speeds | None:
    """The spindle's speeds that the tool allows; None where even the slowest is too fast for it."""
    spindle, most = machine.spindle, highest_rpm(tool)
    if spindle.dial:
        dial = tuple(sorted(((k, rpm) for k, rpm in spindle.dial.items() if rpm <= most), key=lambda one: one[1]))
        return Speeds(low=dial[0][1], high=dial[-1][1], dial=dial) if dial else None
    if spindle.rpm_min > most:
        return None
    return Speeds(low=spindle.rpm_min, high=min(spindle.rpm_max, most))


def peripheral_speed_m_s(diameter: float, rpm: float) -> float:
    """Speed of the rim, m/s, from mm and rpm."""
    return pi * diameter * rpm / 60000
