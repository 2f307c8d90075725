"""Says in sentences what clipped a cut's figures, and what to look at."""

from cncpanel.tooling.cut import Cut
from cncpanel.tooling.downward import plunge_share, ramp_cap, ramp_share
from cncpanel.tooling.speed_choice import chip_by_power, wanted_chip
from cncpanel.tooling.spindle_speed import PREFERRED, highest_rpm, usable_speeds
from cncpanel.tooling.step_limit import FINISH

DEEPEST = 3.0  # tool diameters in a full-width cut; no table goes beyond
_SAME = 1e-9  # relative; two ceilings that differ by rounding are one


def limit_sentences(cut: Cut, rpm: float, feed: float) -> tuple[str, ...]:
    """A sentence for every ceiling that clipped a value."""
    return (*_bend(cut), *_feed(cut, rpm), *_speed(cut, rpm), *_downward(cut, feed))


def _bend(cut: Cut) -> tuple[str, ...]:
    middle, wanted = cut.load.middle, wanted_chip(cut)
    if wanted >= middle * (1 - _SAME):
        return ()
    return (f"chip load {wanted:.3f} instead of {middle:.3f} mm: the tool bends {cut.bend_max:g} mm then",)


def _feed(cut: Cut, rpm: float) -> tuple[str, ...]:
    """What would have clipped the feed at the speed that the charts are printed for, if the spindle has it."""
    found: list[str] = []
    fastest, wanted = max(rpm, _fastest(cut)), wanted_chip(cut)
    cap, sentence = min(cut.feed_caps)
    if cap < cut.centre_feed(fastest, wanted) * (1 - _SAME):
        found.append(f"feed held: {sentence}")
    if chip_by_power(cut, fastest) < wanted * (1 - _SAME):
        found.append(f"feed held: the spindle gives {cut.machine.spindle.power_at(rpm):.0f} W at {rpm:g} rpm")
    return tuple(found)


def _fastest(cut: Cut) -> float:
    speeds = usable_speeds(cut.tool, cut.machine)
    return speeds.at_most(PREFERRED) if speeds else 0.0


def _speed(cut: Cut, rpm: float) -> tuple[str, ...]:
    fastest = _fastest(cut)
    found: list[str] = []
    if fastest > PREFERRED:
        found.append(f"{fastest:g} rpm: the spindle's slowest")
    elif fastest < PREFERRED:
        whose = "tool" if highest_rpm(cut.tool) < cut.machine.spindle.rpm_max else "spindle"
        found.append(f"{fastest:g} rpm: the {whose}'s highest")
    if rpm < fastest:
        found.append(f"{rpm:g} rpm instead of {fastest:g}, so that the chip does not get too thin")
    return tuple(found)


def _downward(cut: Cut, feed: float) -> tuple[str, ...]:
    if cut.kind in ("drill", "bore"):
        return ()
    highest, flutes = cut.machine.motion.feed_z_max, cut.tool.flutes
    ways = (("plunge", plunge_share(flutes), highest), ("ramp", ramp_share(flutes), ramp_cap(cut)))
    return tuple(
        f"{way} held: {highest:g} mm/min is the machine's highest Z feed"
        for way, share, cap in ways
        if cap < feed * share * (1 - _SAME)
    )


def warning_sentences(cut: Cut, rpm: float, chip: float) -> tuple[str, ...]:
    """A thin chip, a depth beyond the tables, a tool without a highest speed."""
    found: list[str] = []
    thickness, least = cut.thickness(chip), cut.least_chip
    if thickness < least * (1 - _SAME):
        found.append(
            f"chip {thickness:.3f} mm is below {least:.3f}: it rubs, scorches, and embers reach the dust collector"
        )
    deepest = FINISH if cut.kind == "finish" else DEEPEST
    if cut.kind != "drill" and cut.depth > deepest * cut.tool.diameter * (1 + _SAME):
        found.append(f"{cut.depth:g} mm is deeper than {deepest:g} x the tool's diameter: no table goes there")
    if cut.tool.rpm_max is None:
        found.append(f"the tool states no highest speed: {rpm:g} rpm follows a general guide by diameter")
    return tuple(found)
