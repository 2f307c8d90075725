"""Feeds and speeds of one cut: the table's chip load, what clips it, and what follows.

When a limit clips the feed, rpm comes down before the chip gets too thin; rpm never goes up to rescue a chip.
"""

from dataclasses import dataclass, replace
from math import floor

from cncpanel.machine.model import Machine
from cncpanel.machine.tool import Tool
from cncpanel.tooling.clipping import limit_sentences, warning_sentences
from cncpanel.tooling.cut import Cut, Kind
from cncpanel.tooling.downward import plunge_feed, ramp_feed
from cncpanel.tooling.force import cutting_power, tangential_force
from cncpanel.tooling.materials import Material
from cncpanel.tooling.speed_choice import chip_at, chosen_rpm
from cncpanel.tooling.spindle_speed import peripheral_speed_m_s, usable_speeds

COARSE, COARSE_FROM = 10.0, 200.0  # mm/min: feeds are whole tens from 200 on, whole ones below
_SAME = 1e-9  # relative; two figures that differ by rounding are one


@dataclass(frozen=True, slots=True, kw_only=True)
class CuttingData:
    """What to set and what to expect. mm, mm/min, rpm, mm3/s, W, N.

    `feed` is the tool centre's; in a bore the wall sees more. `chip_per_tooth` is the advance a tooth along the
    wall, `chip_thickness` the thickest part of the chip. `limits`: each ceiling that clipped a value; `warnings`:
    what to look at. `dial` is the mark to set by hand, where there is one.
    """

    rpm: float
    dial: str | None
    feed: float
    plunge_feed: float
    ramp_feed: float
    chip_per_tooth: float
    chip_thickness: float
    least_chip: float
    peripheral_speed_m_s: float
    removal_rate: float
    power_w: float
    power_available_w: float
    force_n: float
    deflection_mm: float
    table: str
    force_label: str
    limits: tuple[str, ...]
    warnings: tuple[str, ...]

    def slowed(self, share: float) -> "CuttingData":
        """At that share of the feed, in whole tens; the bite at the wall of an inside bend stays what it was."""
        feed = _rounded_down(self.feed * share)
        less = feed / self.feed
        return replace(self, feed=feed, removal_rate=self.removal_rate * less, power_w=self.power_w * less)

    @property
    def rubs(self) -> bool:
        """Whether the chip is below the minimum: heat, scorching, embers."""
        return self.chip_thickness < self.least_chip * (1 - _SAME)


def cutting_data(
    tool: Tool,
    material: Material,
    machine: Machine,
    *,
    depth: float,
    width: float,
    kind: Kind,
    rpm: float | None = None,
) -> CuttingData:
    """Feeds and speeds at `depth` (of a step; a bore's pitch) and `width` (radial; a bore's diameter), mm.

    `rpm`: turn at this speed, so that one setting serves several cuts; none: choose. Raises ValueError where the
    spindle cannot turn slowly enough for the tool (ask `usable_speeds` first), where it does not have `rpm`,
    where depth or width is nothing, or where a bore is not wider than its tool.
    """
    cut = Cut(tool=tool, material=material, machine=machine, depth=depth, width=width, kind=kind)
    speeds = usable_speeds(tool, machine)
    if speeds is None:
        raise ValueError(f"the spindle cannot turn as slowly as {tool.name} allows")
    if rpm is not None and not speeds.has(rpm):
        raise ValueError(f"{rpm:g} rpm is no speed for {tool.name} on {machine.name}")
    turning = chosen_rpm(cut, speeds) if rpm is None else rpm
    feed = _rounded_down(cut.centre_feed(turning, chip_at(cut, turning)))
    return _data(cut, turning, speeds.setting(turning), feed)


def _rounded_down(feed: float) -> float:
    if feed < 1:
        return feed
    step = COARSE if feed >= COARSE_FROM else 1.0
    return floor(feed / step * (1 + _SAME)) * step


def _data(cut: Cut, rpm: float, dial: str | None, feed: float) -> CuttingData:
    chip = feed / cut.centre_feed(rpm, 1.0)
    rim_speed = peripheral_speed_m_s(cut.rim, rpm)
    power = cutting_power(cut.removal_rate(feed), cut.material.cutting_force)
    force = tangential_force(power, rim_speed)
    return CuttingData(
        rpm=rpm,
        dial=dial,
        feed=feed,
        plunge_feed=_rounded_down(plunge_feed(cut, feed)),
        ramp_feed=_rounded_down(ramp_feed(cut, feed)),
        chip_per_tooth=chip,
        chip_thickness=cut.thickness(chip),
        least_chip=cut.least_chip,
        peripheral_speed_m_s=rim_speed,
        removal_rate=cut.removal_rate(feed),
        power_w=power,
        power_available_w=cut.machine.spindle.power_at(rpm),
        force_n=force,
        deflection_mm=cut.bend(force),
        table=cut.load.label,
        force_label=cut.material.force_label,
        limits=limit_sentences(cut, rpm, feed),
        warnings=warning_sentences(cut, rpm, chip),
    )
