"""For any tool, machine and material: no limit is passed, and a chip is thick enough or named."""

from hypothesis import assume, given, settings
from hypothesis import strategies as st
from law_examples import examples

from cncpanel.machine.model import Cutting, Machine, Motion, Spindle
from cncpanel.machine.read import read_machine
from cncpanel.machine.tool import Tool
from cncpanel.tooling.cut import Kind
from cncpanel.tooling.feeds import CuttingData, cutting_data
from cncpanel.tooling.materials import MATERIALS
from cncpanel.tooling.spindle_speed import highest_rpm, usable_speeds
from cncpanel.tooling.step_down import step_downs
from cncpanel.tooling.step_limit import step_limit

BASE = read_machine("shop-router")
KINDS: tuple[Kind, ...] = ("profile", "slot", "clear", "bore", "drill", "finish", "mark")
NOISE = 1 + 1e-6


@st.composite
def tools(draw: st.DrawFn) -> Tool:
    """Cutters and drills of any size that a collet takes."""
    diameter = draw(st.floats(0.8, 20))
    kind = draw(st.sampled_from(("up-cut", "down-cut", "straight", "v-bit", "drill")))
    length = draw(st.floats(3, 60))
    speed = st.floats(3000, 40000)
    return Tool.model_validate(
        {
            "number": 1,
            "name": "tool",
            "kind": kind,
            "diameter": diameter,
            "flutes": draw(st.integers(1, 4)),
            "cutting_length": length,
            "stick_out": length + draw(st.floats(0, 30)),
            "nut_diameter": 30,
            "shank_diameter": draw(st.sampled_from((3.0, 6.0, 12.0))),
            "plunges": True,
            "rpm_max": draw(speed if kind == "drill" else st.none() | speed),
            "tip_angle_deg": draw(st.floats(30, 120)) if kind == "v-bit" else None,
        }
    )


@st.composite
def spindles(draw: st.DrawFn) -> Spindle:
    """By program, by dial, at one speed."""
    low = draw(st.floats(1000, 20000))
    high = low + draw(st.floats(0, 20000))
    way = draw(st.sampled_from(("program", "dial", "fixed")))
    dial = {str(mark): min(high, low + (high - low) * mark / 5) for mark in range(6)} if way == "dial" else {}
    return Spindle(
        control="program" if way == "program" else "hand",
        rpm_min=low,
        rpm_max=low if way == "fixed" else high,
        dial=dial,
        power=draw(st.floats(50, 9000)),
        rpm_rated=draw(st.none() | st.just(low)),
        spin_up_s=1,
        spin_down_s=1,
    )


@st.composite
def machines(draw: st.DrawFn) -> Machine:
    """The shop router with another spindle, other motion, another way of cutting."""
    feed, down = draw(st.floats(300, 40000)), draw(st.floats(100, 20000))
    motion: Motion = BASE.motion.model_copy(
        update={"feed_xy_max": feed, "feed_z_max": down, "acceleration_xy": draw(st.floats(20, 8000))}
    )
    cutting: Cutting = BASE.cutting.model_copy(
        update={
            "chip_load": draw(st.sampled_from(("industrial", "light"))),
            "ramp_deg": draw(st.floats(0.5, 20)),
            "step_down_max": draw(st.floats(0.2, 3)),
            "deflection_max": draw(st.floats(0.01, 0.2)),
        }
    )
    return BASE.model_copy(update={"spindle": draw(spindles()), "motion": motion, "cutting": cutting})


def _check(data: CuttingData, tool: Tool, machine: Machine) -> None:
    spindle = machine.spindle
    assert spindle.rpm_min <= data.rpm <= spindle.rpm_max
    assert data.rpm <= highest_rpm(tool)
    assert not spindle.dial or spindle.dial[data.dial or ""] == data.rpm
    assert data.feed > 0
    assert 0 < data.plunge_feed <= machine.motion.feed_z_max * NOISE
    assert data.power_w <= data.power_available_w * NOISE
    assert data.rubs == any("rubs" in warning for warning in data.warnings)
    assert data.chip_thickness >= data.least_chip * (1 - 1e-6) or data.rubs


@settings(max_examples=examples(300), deadline=None)
@given(
    tools(),
    machines(),
    st.sampled_from(list(MATERIALS)),
    st.sampled_from(KINDS),
    st.floats(0.1, 25),
    st.floats(0.1, 30),
)
def test_no_limit_is_passed_and_a_thin_chip_is_named(
    tool: Tool, machine: Machine, material: str, kind: Kind, depth: float, width: float
) -> None:
    assume(usable_speeds(tool, machine) is not None)
    across = tool.diameter + width if kind == "bore" else width
    data = cutting_data(tool, MATERIALS[material], machine, depth=depth, width=across, kind=kind)
    _check(data, tool, machine)
    motion, share = machine.motion, 0.5 if kind == "finish" else 1.0
    assert data.feed <= (motion.feed_z_max if kind == "drill" else motion.feed_xy_max) * NOISE
    assert data.deflection_mm <= machine.cutting.deflection_max * share * NOISE
    if kind == "bore":
        assert (data.feed / 60) ** 2 / (width / 2) <= motion.acceleration_xy * NOISE


@settings(max_examples=examples(60), deadline=None)
@given(
    tools(),
    machines(),
    st.sampled_from(list(MATERIALS)),
    st.sampled_from(("profile", "slot", "clear")),
    st.floats(0.5, 25),
)
def test_steps_end_at_the_depth_and_are_within_the_limit(
    tool: Tool, machine: Machine, material: str, kind: Kind, total: float
) -> None:
    assume(tool.is_flat and usable_speeds(tool, machine) is not None)
    depths = step_downs(total, tool, MATERIALS[material], machine, kind)
    limit = step_limit(tool, MATERIALS[material], machine, kind).depth
    assert depths[-1] == total
    assert all(b - a <= limit * NOISE for a, b in zip((0.0, *depths), depths, strict=False))
