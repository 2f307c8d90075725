"""What a tool's values must be to one another."""

from collections.abc import Iterator
from typing import TYPE_CHECKING

from cncpanel.machine.contradiction import Contradiction

if TYPE_CHECKING:
    from cncpanel.machine.tool import Tool

MEASURED_SPREAD = 0.1  # of the nominal diameter; a caliper reading further off is a slip or another tool
PROFILE_SPREAD = 0.2  # mm between a round-over's diameter and 2 (radius + tip radius): makers round these


def tool_rules(tool: "Tool") -> Iterator[Contradiction]:
    """Every contradiction of one tool."""
    if tool.cutting_length > tool.stick_out:
        yield Contradiction(
            ("cutting_length",),
            f"flutes of {tool.cutting_length:g} mm reach into the collet: stick_out is {tool.stick_out:g}",
            f"at most {tool.stick_out:g}, or more stick_out",
        )
    if tool.nut_diameter < tool.shank_diameter:
        yield Contradiction(
            ("nut_diameter",),
            "the nut is thinner than the shank that it holds",
            f"at least {tool.shank_diameter:g}",
        )
    measured = tool.measured_diameter
    if measured is not None and abs(measured - tool.diameter) > MEASURED_SPREAD * tool.diameter:
        yield Contradiction(
            ("measured_diameter",),
            f"{measured:g} mm is too far from the nominal {tool.diameter:g}",
            f"within {MEASURED_SPREAD * tool.diameter:g} of it",
        )
    yield from _foreign_rules(tool)
    yield from _KIND_RULES.get(tool.kind, _no_rules)(tool)


def _no_rules(tool: "Tool") -> Iterator[Contradiction]:
    yield from ()


def _drill_rules(tool: "Tool") -> Iterator[Contradiction]:
    if tool.rpm_max is None:
        yield Contradiction(("rpm_max",), "a drill without its highest speed", "rpm as its maker states it")
    if not tool.plunges:
        yield Contradiction(("plunges",), "a drill goes straight down", "true")


def _compression_rules(tool: "Tool") -> Iterator[Contradiction]:
    if tool.up_cut_length is None:
        yield Contradiction(("up_cut_length",), "missing", "length of the up-cut part at the tip, mm")
    elif tool.up_cut_length >= tool.cutting_length:
        yield Contradiction(
            ("up_cut_length",), "the up-cut part is as long as the flutes", f"below {tool.cutting_length:g}"
        )


def _v_bit_rules(tool: "Tool") -> Iterator[Contradiction]:
    if tool.tip_angle_deg is None:
        yield Contradiction(("tip_angle_deg",), "missing", "included angle of the tip, degrees")


def _round_over_rules(tool: "Tool") -> Iterator[Contradiction]:
    missing = [key for key in ("tip_radius", "profile_radius") if getattr(tool, key) is None]
    for key in missing:
        yield Contradiction((key,), "missing", "mm, from the tool itself: never assumed")
    yield from _pilot_rules(tool)
    if tool.tip_radius is None or tool.profile_radius is None:
        return
    deep = tool.profile_radius + tool.under_curve
    if deep > tool.cutting_length + 1e-9:
        yield Contradiction(
            ("cutting_length",),
            f"{tool.cutting_length:g} mm from the tip is less than the radius and what is under it",
            f"at least {deep:g}",
        )
    expected = 2 * (tool.profile_radius + tool.tip_radius)
    if abs(expected - tool.diameter) > PROFILE_SPREAD:
        yield Contradiction(
            ("diameter",),
            f"{tool.diameter:g} mm is not 2 (profile_radius + tip_radius)",
            f"about {expected:g}",
        )


def _pilot_rules(tool: "Tool") -> Iterator[Contradiction]:
    """A bearing is given whole, and never wider than the cutter's small end: it would press on the wall."""
    if (tool.pilot_diameter is None) != (tool.pilot_length is None):
        key = "pilot_diameter" if tool.pilot_diameter is None else "pilot_length"
        yield Contradiction((key,), "missing", "a bearing has a diameter and a length, mm")
    if tool.pilot_diameter is not None and tool.tip_radius is not None:
        most = 2 * tool.tip_radius
        if tool.pilot_diameter > most + 1e-9:
            yield Contradiction(
                ("pilot_diameter",),
                f"the bearing is wider than the small end, {most:g} mm: it would press on the finished wall",
                f"at most {most:g}, or a larger tip_radius",
            )


def _foreign_rules(tool: "Tool") -> Iterator[Contradiction]:
    """Keys that only a slot cutter or only a round-over has."""
    if tool.kind != "slot-cutter":
        for key in ("neck_diameter", "neck_length"):
            if getattr(tool, key) is not None:
                yield Contradiction((key,), f"{tool.kind} tools have none", "leave it out, or slot-cutter")
    if tool.kind == "round-over":
        return
    for key in ("pilot_diameter", "pilot_length"):
        if getattr(tool, key) is not None:
            yield Contradiction((key,), f"{tool.kind} tools have none", "leave it out, or round-over")
    if tool.tip_length:
        yield Contradiction(("tip_length",), f"{tool.kind} tools have none", "leave it out, or round-over")


def _core_box_rules(tool: "Tool") -> Iterator[Contradiction]:
    if tool.profile_radius is None:
        yield Contradiction(("profile_radius",), "missing", "the radius it leaves, mm")


def _slot_cutter_rules(tool: "Tool") -> Iterator[Contradiction]:
    if tool.neck_diameter is None:
        yield Contradiction(("neck_diameter",), "missing", "of what is thinner over its disc, mm")
    elif tool.neck_diameter >= tool.diameter:
        yield Contradiction(("neck_diameter",), "the neck is as thick as the disc under it", f"below {tool.diameter:g}")
    if tool.neck_length is not None and tool.cutting_length + tool.neck_length > tool.stick_out:
        room = tool.stick_out - tool.cutting_length
        text = f"disc and neck reach into the collet: stick_out is {tool.stick_out:g}"
        yield Contradiction(("neck_length",), text, f"at most {room:g}")


_KIND_RULES = {
    "core-box": _core_box_rules,
    "slot-cutter": _slot_cutter_rules,
    "drill": _drill_rules,
    "compression": _compression_rules,
    "v-bit": _v_bit_rules,
    "round-over": _round_over_rules,
}
