"""Whether a tool of the rack may go this deep here, and what a cut with it costs in time."""

from dataclasses import dataclass, field

from cncpanel.job.model import Face, Settings, Stock
from cncpanel.machine.model import Machine
from cncpanel.machine.tool import Tool
from cncpanel.operation.flutes import SPLINTERS, manner
from cncpanel.tooling.cut import Kind
from cncpanel.tooling.drilling import can_drill
from cncpanel.tooling.feeds import CuttingData, cutting_data
from cncpanel.tooling.materials import MATERIALS
from cncpanel.tooling.spindle_speed import usable_speeds
from cncpanel.tooling.step_down import BORE_WIDTH, step_downs

SLENDER = 4.0  # tool diameters; "cutting length <= 4 x diameter, the shortest and largest possible" (cutter seller)
NUT_CLEAR = 2.0  # mm; the collet nut stays this far above the sheet's top


def deepest(tool: Tool, machine: Machine) -> float:
    """How deep the tool may cut within walls, mm: flutes, a wider shank over the sheet's highest top, the nut too."""
    shank = _higher(machine) if tool.shank_diameter > tool.cut_diameter else 0.0
    return min(tool.cutting_length - shank, tool.stick_out - NUT_CLEAR)


def _higher(machine: Machine) -> float:
    table = machine.table
    return table.z_error + (0.0 if table.z_zero == "top" else table.thickness_spread)


@dataclass(frozen=True, slots=True, kw_only=True)
class Bench:
    """What a panel is cut on: the machine, the stock's readings, what the job asks."""

    machine: Machine
    stock: Stock
    settings: Settings
    _known: dict[tuple[int, float, Kind], tuple[CuttingData, int]] = field(default_factory=dict, repr=False)

    @property
    def through(self) -> float:
        """How deep a through cut goes below the top."""
        return self.stock.thickest + self.machine.table.cut_through

    @property
    def higher(self) -> float:
        """How much higher than reckoned the sheet's top may stand against the tool, mm."""
        return _higher(self.machine)

    def refused(self, tool: Tool, depth: float | None) -> str | None:
        """Why the tool cannot cut down to `depth` (None: through), or None when it can."""
        deep = self.through if depth is None else depth
        if tool.cutting_length < deep - 1e-6:
            return f"its flutes are {tool.cutting_length:g} mm long, the cut is {deep:.2f} mm deep"
        if tool.shank_diameter > tool.cut_diameter and tool.cutting_length < deep + self.higher - 1e-6:
            text = f"its flutes are {tool.cutting_length:g} mm long under a wider shank, the cut is {deep:.2f} mm deep"
            return f"{text} and {self.higher:g} mm more where the sheet stands as high as it may"
        if tool.stick_out < deep + NUT_CLEAR - 1e-6:
            return f"it sticks out {tool.stick_out:g} mm, {deep + NUT_CLEAR:.2f} mm are needed"
        if usable_speeds(tool, self.machine) is None:
            slowest = self.machine.spindle.rpm_min
            return f"it turns at most {tool.rpm_max or 0:g} rpm, the spindle no slower than {slowest:g}"
        return None

    def slender(self, tool: Tool, depth: float | None) -> bool:
        """Whether a sturdier tool ought to be taken where the rack has one."""
        return (self.through if depth is None else depth) > SLENDER * tool.cut_diameter

    def frays(self, tool: Tool, depth: float | None, face: Face, *, skin: bool = False) -> int:
        """How badly the tool's flutes suit the cut, where the material's faces splinter; else 0."""
        if self.stock.material not in SPLINTERS:
            return 0
        return manner(tool, self.through if depth is None else depth, face, through=depth is None, skin=skin).rank

    def overloaded(self, tool: Tool, depth: float | None, kind: Kind) -> str | None:
        """Why the cut is beyond the spindle's power or the tool's stiffness even at its slowest, or None."""
        data, _ = self.cutting(tool, depth, kind)
        if data.power_w > data.power_available_w * 1.001:
            return f"it needs {data.power_w:.0f} W, the spindle gives {data.power_available_w:.0f}"
        if data.deflection_mm > self.machine.cutting.deflection_max * 1.001:
            return f"it would bend {data.deflection_mm:.3f} mm"
        return None

    def time_s(self, tool: Tool, length: float, depth: float | None, kind: Kind) -> float:
        """About how long a cut of `length` takes in all its passes down to `depth`."""
        data, passes = self.cutting(tool, depth, kind)
        if kind == "clear" and depth is not None and self.settings.floor_allowance:
            passes += 1
        return 60.0 * length * passes / data.feed

    def cutting(self, tool: Tool, depth: float | None, kind: Kind) -> tuple[CuttingData, int]:
        """Cutting data of the deepest step down to `depth`, and the number of steps."""
        deep = self.through if depth is None else depth
        key = (tool.number, deep, kind)
        if key not in self._known:
            self._known[key] = self._worked_out(tool, deep, kind)
        return self._known[key]

    def _worked_out(self, tool: Tool, deep: float, kind: Kind) -> tuple[CuttingData, int]:
        material = MATERIALS[self.stock.material]
        width = BORE_WIDTH * tool.cut_diameter if kind == "bore" else tool.cut_diameter
        steps = step_downs(deep, tool, material, self.machine, kind)
        deepest = max(low - high for high, low in zip((0.0, *steps[:-1]), steps, strict=True))
        data = cutting_data(tool, material, self.machine, depth=deepest, width=width, kind=kind)
        return data, len(steps)

    def drill_refused(self, tool: Tool) -> str | None:
        """Why a drill may not be used on this spindle, or None."""
        if can_drill(tool, self.machine):
            return None
        slowest = self.machine.spindle.rpm_min
        return f"a drill for at most {tool.rpm_max or 0:g} rpm, the spindle turns no slower than {slowest:g}"
