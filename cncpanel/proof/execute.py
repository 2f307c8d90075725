"""Carrying out one line after another: the order of execution of NISTIR 6556, table 8.

What is not simulated (cutter radius compensation, probing, homes and zeros that nobody named) is a safety finding,
for what follows is not known.
"""

from dataclasses import dataclass, field
from math import isnan, nan

from cncpanel.proof.compensation import compensate, follow
from cncpanel.proof.control import Control
from cncpanel.proof.expression import whole
from cncpanel.proof.modal import G_GROUP, g_name
from cncpanel.proof.modes import UNKNOWN
from cncpanel.proof.motion import Point3
from cncpanel.proof.mover import AXIS, Mover
from cncpanel.proof.record import Record
from cncpanel.proof.rules import has_axes
from cncpanel.proof.words import Block

_PLANES = {170: "xy", 180: "xz", 190: "yz"}
WORK_SYSTEMS = (540, 550, 560, 570, 580, 590, 591, 592, 593)
HOMES = {280: 5161, 300: 5181}  # the first of three parameters that hold the place (table 2)
ORIGIN: Point3 = (0.0, 0.0, 0.0)
_ZEROS = frozenset({*range(5211, 5217), *range(5220, 5387)})  # parameters that hold zeros (table 2)
_SLOTS = {"t": "T", "d": "D", "h": "H"}


@dataclass(slots=True)
class Executor:
    """Runs lines that broke no rule, and keeps the record of what they did."""

    control: Control
    record: Record = field(default_factory=Record)
    ended: bool = False

    def carry_out(self, block: Block) -> None:
        """Run one line."""
        self.slots(block)
        if block.g or self.record.modes.compensated:
            compensate(self.record, block, self.control)
        self.feed_and_speed(block)
        self.tool_and_spindle(block)
        if 40 in block.g:
            self.record.event("dwell", block.values["p"])
        self.settings(block)
        self.offsets(block)
        before = self.record.count
        self.mover.motion(block)
        if self.record.modes.compensated and self.record.count == before + 1:
            follow(self.record)
        self.stops(block)

    def slots(self, block: Block) -> None:
        """Numbers beyond the rack (checklist W6)."""
        most = self.control.slots
        for letter, name in _SLOTS.items():
            number = whole(block.values.get(letter, 0.0)) or 0
            if most is not None and number > most:
                text = f"{name}{number}, and the rack ends at T{most}"
                self.record.find("index-too-large", text, words=letter, measure=number, limit=most)

    def set_parameters(self, block: Block) -> None:
        """Keep what the line set, for the lines that follow."""
        for index, _ in block.settings:
            if index in _ZEROS:
                self.record.not_simulated(f"a zero set by #{index}", block.columns.get(f"#{index}", 0))
        self.record.modes.parameters.update(block.settings)

    @property
    def mover(self) -> Mover:
        """Who carries out motion words on this record."""
        return Mover(self.control, self.record)

    def feed_and_speed(self, block: Block) -> None:
        modes = self.record.modes
        for code in block.g:
            if code in (930, 940):
                modes.inverse_time = code == 930
                modes.stated.add("feed mode")
        if "f" in block.values:
            modes.feed = block.values["f"]
        if "s" in block.values:
            modes.rpm = block.values["s"]
            self.record.event("speed", modes.rpm)
        if "t" in block.values:
            modes.selected = whole(block.values["t"]) or 0
            self.record.event("tool named", modes.selected)

    def tool_and_spindle(self, block: Block) -> None:
        modes = self.record.modes
        if 6 in block.m:
            modes.tool, modes.turn = modes.selected, 0
            self.record.event("change", modes.tool)
        elif "t" in block.values and not modes.moved and not modes.tool:
            modes.tool = modes.selected
        for code in block.m:
            if code in (3, 4, 5):
                self.record.turn({3: 1, 4: -1, 5: 0}[code])

    def settings(self, block: Block) -> None:
        modes = self.record.modes
        for code in block.g:
            if code in _PLANES:
                modes.plane = _PLANES[code]
            elif code in (200, 210):
                self.units(code, block)
            elif code in (410, 420):
                self.record.not_simulated("cutter radius compensation", block.columns.get(f"g{code}", 0))
            elif code == 430:
                modes.length_offset = whole(block.values["h"]) or 0
            elif code == 490:
                modes.length_offset = 0
            elif code in WORK_SYSTEMS:
                self.work_system(code)
            elif code in (900, 910):
                modes.incremental = code == 910
            elif code in (980, 990):
                modes.to_old_z = code == 980
            modes.stated.add(G_GROUP[code])

    def units(self, code: int, block: Block) -> None:
        """G20, G21: what becomes of zeros that were given in the other unit is not the same everywhere."""
        modes, inch = self.record.modes, code == 200
        if inch != modes.inch and (modes.systems or any(modes.shift) or any(modes.kept_shift)):
            self.record.not_simulated("a change of units while G10 or G92 holds a zero", block.columns[f"g{code}"])
        modes.inch = inch

    def work_system(self, code: int) -> None:
        modes = self.record.modes
        if modes.base is None:
            modes.base = self.control.work_system or code
        modes.work_system = code
        zero = modes.systems.get(code, ORIGIN if code == modes.base else UNKNOWN)
        if any(map(isnan, zero)):
            text = f"{g_name(code)}: where its zero lies is not known (this program's zero is {g_name(modes.base)})"
            self.record.find("work-system", text, words=f"g{code}", severity="safety")
        modes.zero = _or_nothing(zero)

    def offsets(self, block: Block) -> None:
        for code in block.g:
            if code in (280, 300):
                self.home(code, block)
            elif code == 100:
                self.g10(block)
            elif code in (920, 921, 922, 923):
                self.g92(code, block)

    def home(self, code: int, block: Block) -> None:
        """G28, G30: by way of a point where one is given, to the place that parameters hold (machine coordinates)."""
        modes, zero = self.record.modes, self.control.machine_zero
        if has_axes(block):
            self.record.go("rapid", self.mover.target(block))
        first = HOMES[code]
        places = [modes.parameters.get(first + i) for i in range(3)]
        known = [place - at for place, at in zip(places, zero, strict=True) if place is not None] if zero else []
        if len(known) == 3:
            self.record.go("rapid", (known[0], known[1], known[2]), machine=True)
            return
        text = f"{g_name(code)} goes to a place that is not known here, so it"
        self.record.not_simulated(text, block.columns.get(f"g{code}", 0))
        modes.position = UNKNOWN

    def g10(self, block: Block) -> None:
        """G10 L2: a work system's zero, machine coordinates; only the axes that are given."""
        modes, machine = self.record.modes, self.control.machine_zero
        self.record.event("offset", 100)
        if modes.base is None:
            modes.base = self.control.work_system or WORK_SYSTEMS[0]
        code = WORK_SYSTEMS[(whole(block.values["p"]) or 1) - 1]
        zero = list(modes.systems.get(code, ORIGIN if code == modes.base else UNKNOWN))
        for axis, i in AXIS.items():
            if axis in block.values:
                zero[i] = block.values[axis] * modes.scale - machine[i] if machine else nan
        if machine is None:
            text = "G10 on a machine that does not know its own coordinates, so where the zero comes to lie"
            self.record.not_simulated(text, block.columns.get("g100", 0))
        modes.systems[code] = zero[0], zero[1], zero[2]
        if code == (modes.work_system or modes.base):
            modes.zero = modes.systems[code]

    def g92(self, code: int, block: Block) -> None:
        modes = self.record.modes
        self.record.event("offset", code)
        if code == 920:
            modes.shift = modes.kept_shift = tuple(  # type: ignore[assignment]
                modes.position[i] - modes.zero[i] - block.values[axis] * modes.scale
                if axis in block.values
                else modes.shift[i]
                for axis, i in AXIS.items()
            )
        elif code == 923:
            modes.shift = modes.kept_shift
        else:
            modes.kept_shift = (0.0, 0.0, 0.0) if code == 921 else modes.shift
            modes.shift = (0.0, 0.0, 0.0)

    def stops(self, block: Block) -> None:
        text = block.comment
        for code in block.m:
            if code in (0, 1, 60):
                self.record.event("optional stop" if code == 1 else "stop", text=text)
                self.record.modes.position = UNKNOWN  # a person may have moved the tool
            elif code in (2, 30):
                self.record.event("end", code)
                self.ended = True


def _or_nothing(zero: Point3) -> Point3:
    """Where an axis is not known, as if its zero were the program's own: the finding has been told."""
    x, y, z = (0.0 if isnan(value) else value for value in zero)
    return x, y, z
