"""Carrying out one line after another: the order of execution of NISTIR 6556, table 8.

What is not simulated (cutter radius compensation, probing, some cycles, going home) is a safety finding, for what
follows is not known.
"""

from dataclasses import dataclass, field

from cncpanel.proof.control import Control
from cncpanel.proof.modal import G_GROUP, g_name
from cncpanel.proof.modes import UNKNOWN
from cncpanel.proof.mover import AXIS, Mover
from cncpanel.proof.record import Record
from cncpanel.proof.words import Block

_PLANES = {170: "xy", 180: "xz", 190: "yz"}
_WORK_SYSTEMS = frozenset({540, 550, 560, 570, 580, 590, 591, 592, 593})


@dataclass(slots=True)
class Executor:
    """Runs lines that broke no rule, and keeps the record of what they did."""

    control: Control
    record: Record = field(default_factory=Record)
    ended: bool = False

    def carry_out(self, block: Block) -> None:
        """Run one line."""
        self.feed_and_speed(block)
        self.tool_and_spindle(block)
        if 40 in block.g:
            self.record.event("dwell", block.values["p"])
        self.settings(block)
        self.offsets(block)
        Mover(self.control, self.record).motion(block)
        self.stops(block)

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
            modes.selected = int(block.values["t"])
            self.record.event("tool named", modes.selected)

    def tool_and_spindle(self, block: Block) -> None:
        modes = self.record.modes
        if 6 in block.m:
            modes.tool, modes.spindle_on = modes.selected, False
            self.record.event("change", modes.tool)
        elif "t" in block.values and not modes.moved and not modes.tool:
            modes.tool = modes.selected
        for code in block.m:
            if code in (3, 4):
                modes.spindle_on = True
                self.record.event("spindle on", modes.rpm, f"M{code}")
            elif code == 5:
                modes.spindle_on = False
                self.record.event("spindle off")

    def settings(self, block: Block) -> None:
        modes = self.record.modes
        for code in block.g:
            if code in _PLANES:
                modes.plane = _PLANES[code]
            elif code in (200, 210):
                modes.inch = code == 200
            elif code in (410, 420):
                self.record.not_simulated("cutter radius compensation", block.columns.get(f"g{code}", 0))
            elif code == 430:
                modes.length_offset = int(block.values["h"])
            elif code == 490:
                modes.length_offset = 0
            elif code in _WORK_SYSTEMS:
                self.work_system(code)
            elif code in (900, 910):
                modes.incremental = code == 910
            elif code in (980, 990):
                modes.to_old_z = code == 980
            modes.stated.add(G_GROUP[code])

    def work_system(self, code: int) -> None:
        known = self.control.work_system or self.record.modes.work_system or code
        self.record.modes.work_system = code
        if code != known:
            text = f"{g_name(code)}: where its zero lies is not known (this program's zero is {g_name(known)})"
            self.record.find("work-system", text, severity="safety")

    def offsets(self, block: Block) -> None:
        for code in block.g:
            if code in (280, 300):
                self.record.not_simulated(f"{g_name(code)} (going home)", block.columns.get(f"g{code}", 0))
                self.record.modes.position = UNKNOWN
            elif code == 100:
                self.record.not_simulated("G10 (setting a work offset)", block.columns.get("g100", 0))
            elif code in (920, 921, 922, 923):
                self.g92(code, block)

    def g92(self, code: int, block: Block) -> None:
        modes = self.record.modes
        self.record.event("offset", code)
        if code == 920:
            modes.shift = modes.kept_shift = tuple(  # type: ignore[assignment]
                modes.position[i] - block.values[axis] * modes.scale if axis in block.values else modes.shift[i]
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

    # -- motion --------------------------------------------------------------------------------------------
