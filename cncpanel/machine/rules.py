"""What a machine's values must be to one another. Each function yields the contradictions of one section."""

from collections.abc import Iterator
from typing import TYPE_CHECKING

from cncpanel.machine.contradiction import Contradiction

if TYPE_CHECKING:
    from cncpanel.machine.model import Cutting, Dialect, Machine, Motion, Spindle, Table, Travel

TABLE_GUARD = 3.0  # mm of spoilboard that always stays between a tool and the table: common practice
CLEARANCE = 5.0  # mm over the tallest clamp for moves across the sheet: common practice
INCH = 25.4  # mm
LEAST_DECIMALS = {"mm": 3, "inch": 4}  # so that rounding stays within 0.002 mm, an arc's tolerance


def travel_rules(travel: "Travel") -> Iterator[Contradiction]:
    """Every axis goes from low to high."""
    for axis in ("x", "y", "z"):
        low, high = getattr(travel, axis)
        if not low < high:
            yield Contradiction(
                (axis,), f"its lowest, {low:g}, is not below its highest, {high:g}", "[lowest, highest]"
            )


def table_rules(table: "Table") -> Iterator[Contradiction]:
    """Through cuts go through everywhere, yet never near the table; clamps where there are clamps."""
    on_top = table.z_zero == "top"
    if table.cut_through < table.lowered - 1e-9:
        parts = "thickness_spread + flatness + z_error" if on_top else "flatness + z_error"
        remedy = "set Z zero on the table or raise cut_through" if on_top else "raise cut_through"
        yield Contradiction(
            ("cut_through",), f"{table.cut_through:g} mm does not cut through: {parts} is {table.lowered:g}", remedy
        )
    deepest = table.cut_through + table.z_error + table.flatness
    if deepest > table.spoilboard - TABLE_GUARD + 1e-9:
        yield Contradiction(
            ("spoilboard",),
            f"{table.spoilboard:g} mm is too thin for tools that go up to {deepest:g} mm into it",
            f"at least {deepest + TABLE_GUARD:g}: {TABLE_GUARD:g} mm always stay over the table",
        )
    if table.hold == "vacuum" and table.clamp_height:
        yield Contradiction(("clamp_height",), "a sheet held by vacuum has no clamps", "0, or hold by clamps or screws")
    if table.zone and table.hold != "vacuum":
        yield Contradiction(("zone",), f"a sheet held by {table.hold} has no vacuum zones", 'none, or hold = "vacuum"')
    for number, zone in enumerate(table.zone):
        for axis, (low, high) in (("x", zone.x), ("y", zone.y)):
            if not low < high:
                text = f"its lowest, {low:g}, is not below its highest, {high:g}"
                yield Contradiction(("zone", number, axis), text, "[lowest, highest]")
    for number, one in enumerate(table.zone):
        for before, other in enumerate(table.zone[:number]):
            if _overlap(one.x, other.x) and _overlap(one.y, other.y):
                yield Contradiction(("zone", number), f"lies over zone[{before}]", "zones beside each other")
    if table.hold == "clamps" and not table.clamp_height:
        yield Contradiction(("clamp_height",), "clamps stand above the sheet", "above 0")


def _overlap(one: tuple[float, float], other: tuple[float, float]) -> bool:
    return max(one[0], other[0]) < min(one[1], other[1])


def spindle_rules(spindle: "Spindle") -> Iterator[Contradiction]:
    """Speeds in order; a spindle set by hand has a dial or turns at one speed."""
    low, high = spindle.rpm_min, spindle.rpm_max
    if low > high:
        yield Contradiction(("rpm_min",), f"{low:g} is above rpm_max {high:g}", f"at most {high:g}")
    if low <= high and spindle.rpm_rated is not None and not low <= spindle.rpm_rated <= high:
        yield Contradiction(("rpm_rated",), f"{spindle.rpm_rated:g} is not a speed it has", f"{low:g} to {high:g}")
    if spindle.control == "program" and spindle.dial:
        yield Contradiction(("dial",), "a program sets the speed, so there is no dial", 'no dial, or control = "hand"')
    if spindle.control == "hand" and not spindle.dial and low < high:
        yield Contradiction(
            ("dial",),
            "set by hand, but neither a dial nor one fixed speed is given",
            "dial, or rpm_min = rpm_max",
        )
    for setting, rpm in spindle.dial.items():
        if low <= high and not low <= rpm <= high:
            yield Contradiction(("dial", setting), f"{rpm:g} rpm is not a speed it has", f"{low:g} to {high:g}")


def motion_rules(motion: "Motion") -> Iterator[Contradiction]:
    """No axis cuts faster than it runs; a machine that homes has a height to go up to."""
    if motion.homes and motion.home_z is None:
        yield Contradiction(("home_z",), "missing", "machine Z of the top of its travel: G53 goes there first")
    for feed, rapid in (("feed_xy_max", "rapid_xy"), ("feed_z_max", "rapid_z")):
        cutting, running = getattr(motion, feed), getattr(motion, rapid)
        if cutting > running:
            yield Contradiction((feed,), f"{cutting:g} is above {rapid} {running:g}", f"at most {running:g}")


def cutting_rules(cutting: "Cutting") -> Iterator[Contradiction]:
    """A machine that roughs the one way and finishes the other leaves something for its finish."""
    if cutting.direction != cutting.finish_direction and not cutting.finish_allowance:
        yield Contradiction(
            ("finish_allowance",),
            f"{cutting.direction} roughing leaves nothing for the {cutting.finish_direction} finish",
            "above 0, often 0.3",
        )


def dialect_rules(dialect: "Dialect") -> Iterator[Contradiction]:
    """Path words, mode and tolerance agree; decimals carry the arcs; length offsets need a changer."""
    words, tolerance = dialect.path_words, dialect.blend_tolerance
    if dialect.path_mode == "blend":
        if not tolerance:
            yield Contradiction(("blend_tolerance",), "blending without a tolerance", "how far it leaves the path, mm")
        if words.startswith("G61"):
            yield Contradiction(("path_words",), f"{words} asks for the exact path", 'G64, or path_mode = "exact"')
    else:
        if tolerance:
            yield Contradiction(("blend_tolerance",), "an exact path has none", '0, or path_mode = "blend"')
        if words.startswith("G64"):
            yield Contradiction(("path_words",), f"{words} asks for blending", 'G61, or path_mode = "blend"')
    asked = _blend_asked(dialect)
    if tolerance and asked > tolerance + 1e-9:
        yield Contradiction(
            ("blend_tolerance",), f"path_words lets it leave the path by {asked:g} mm", f"at least {asked:g}"
        )
    least = LEAST_DECIMALS[dialect.unit]
    if dialect.decimals < least:
        yield Contradiction(("decimals",), f"{dialect.decimals} are too few for {dialect.unit}", f"at least {least}")
    if dialect.length_offsets and dialect.tool_change != "changer":
        yield Contradiction(("length_offsets",), "only a changer's tools have measured lengths", "false")


def _blend_asked(dialect: "Dialect") -> float:
    """The tolerance in the path words' P, mm; 0 without one."""
    _, _, number = dialect.path_words.partition(" P")
    return float(number) * (INCH if dialect.unit == "inch" else 1.0) if number else 0.0


def machine_rules(machine: "Machine") -> Iterator[Contradiction]:
    """What holds between the sections."""
    yield from _reach_rules(machine)
    yield from _changer_rules(machine)
    yield from _rack_rules(machine)


def _reach_rules(machine: "Machine") -> Iterator[Contradiction]:
    travel, table, motion = machine.travel, machine.table, machine.motion
    for axis, zero, parked in (("x", table.zero_x, motion.park[0]), ("y", table.zero_y, motion.park[1])):
        low, high = getattr(travel, axis)
        if not low <= zero <= high:
            yield Contradiction(("table", f"zero_{axis}"), f"{zero:g} is outside travel.{axis}", f"{low:g} to {high:g}")
        elif not low <= zero + parked <= high:
            yield Contradiction(
                ("motion", "park"),
                f"its {axis}, {parked:g}, is machine {axis} {zero + parked:g}, outside the travel",
                f"{low - zero:g} to {high - zero:g}",
            )
    deepest = -(table.cut_through + table.z_error)
    if travel.z[0] > deepest:
        yield Contradiction(("travel", "z"), f"lowest {travel.z[0]:g} cannot cut through", f"at most {deepest:g}")
    highest = table.clamp_height + CLEARANCE
    if travel.z[1] <= highest:
        yield Contradiction(
            ("travel", "z"), f"highest {travel.z[1]:g} does not clear the clamps", f"more than {highest:g}"
        )


def _changer_rules(machine: "Machine") -> Iterator[Contradiction]:
    if machine.dialect.tool_change != "changer":
        return
    if not machine.motion.homes:
        yield Contradiction(("motion", "homes"), "a changer is found in machine coordinates", "true")
    if machine.spindle.control == "hand":
        yield Contradiction(("spindle", "control"), "a changer needs a spindle that the program stops", '"program"')


def _rack_rules(machine: "Machine") -> Iterator[Contradiction]:
    seen: dict[int | str, int] = {}
    for place, tool in enumerate(machine.tool):
        for key, value in (("number", tool.number), ("name", tool.name)):
            first = seen.setdefault(value, place)
            if first != place:
                yield Contradiction(("tool", place, key), f"{value} is tool[{first}]'s already", f"a {key} of its own")
