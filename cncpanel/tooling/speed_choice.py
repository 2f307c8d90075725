"""Which speed a cut gets: the charts' own, or as much less as keeps the chip from getting too thin."""

from cncpanel.tooling.cut import Cut
from cncpanel.tooling.force import cutting_power
from cncpanel.tooling.spindle_speed import PREFERRED, Speeds

_SAME = 1e-9  # relative; guards a whole hundred of rpm from being rounded down by float noise


def wanted_chip(cut: Cut) -> float:
    """Advance a tooth, mm: the table's middle, or less where the tool would bend too far."""
    return min(cut.load.middle, chip_by_bend(cut))


def chip_by_bend(cut: Cut) -> float:
    """The advance at which the tip gives way by as much as it may; the table's high end where it cannot bend."""
    per_chip = cut.bend(cut.force_per_chip)
    return cut.bend_max / per_chip if per_chip else cut.load.high


def chip_by_feed(cut: Cut, rpm: float) -> float:
    """The advance that the machine's feed allows at this speed."""
    return min(cap for cap, _ in cut.feed_caps) / cut.centre_feed(rpm, 1.0)


def chip_by_power(cut: Cut, rpm: float) -> float:
    """The advance that the spindle's power carries at this speed."""
    return cut.machine.spindle.power_at(rpm) / _power(cut, rpm, 1.0)


def chip_at(cut: Cut, rpm: float) -> float:
    """The advance a tooth at this speed: what is wanted, or what the limits leave of it."""
    return min(wanted_chip(cut), chip_by_feed(cut, rpm), chip_by_power(cut, rpm))


def held_chip(cut: Cut) -> float:
    """The advance below which rpm comes down: the table's low end, or more where a thin chip would rub."""
    return min(wanted_chip(cut), max(cut.load.low, cut.least_chip / cut.thickness(1.0)))


def chosen_rpm(cut: Cut, speeds: Speeds) -> float:
    """The charts' speed, less where feed or power would thin the chip, and always one that the spindle has."""
    hold = held_chip(cut)
    ceilings = [PREFERRED, PREFERRED * chip_by_feed(cut, PREFERRED) / hold]
    if chip_by_power(cut, speeds.at_most(PREFERRED)) < hold:
        ceilings.append(_rpm_by_power(cut, hold))
    return speeds.at_most(min(ceilings) * (1 + _SAME))


def _rpm_by_power(cut: Cut, hold: float) -> float:
    """Where the power just carries `hold`; below its rated speed, slowing down helps no further."""
    spindle = cut.machine.spindle
    return max(spindle.power / _power(cut, 1.0, hold), spindle.rpm_rated or 0.0)


def _power(cut: Cut, rpm: float, chip: float) -> float:
    return cutting_power(cut.removal_rate(cut.centre_feed(rpm, chip)), cut.material.cutting_force)
