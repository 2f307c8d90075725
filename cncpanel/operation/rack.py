"""Whether a tool of the rack may go this deep here, and what a cut with it costs in time."""

from dataclasses import dataclass

from cncpanel.job.model import Settings, Stock
from cncpanel.machine.model import Machine
from cncpanel.machine.tool import Tool
from cncpanel.tooling.drilling import drill_may_turn
from cncpanel.tooling.feeds import CutKind, cutting_data
from cncpanel.tooling.materials import material
from cncpanel.tooling.step_down import step_downs

NUT_CLEAR = 2.0  # mm; the collet nut stays this far above the sheet's top


@dataclass(frozen=True, slots=True, kw_only=True)
class Bench:
    """What a panel is cut on: the machine, the stock's readings, what the job asks."""

    machine: Machine
    stock: Stock
    settings: Settings

    @property
    def through(self) -> float:
        """How deep a through cut goes below the top."""
        return self.stock.thickest + self.machine.table.cut_through

    def too_short(self, tool: Tool, depth: float | None) -> str | None:
        """Why the tool cannot go to `depth` (None: through), or None when it can."""
        deep = self.through if depth is None else depth
        if tool.cutting_length < deep - 1e-6:
            return f"its flutes are {tool.cutting_length:g} mm long, the cut is {deep:.2f} mm deep"
        if tool.stick_out < deep + NUT_CLEAR - 1e-6:
            return f"it sticks out {tool.stick_out:g} mm, {deep + NUT_CLEAR:.2f} mm are needed"
        return None

    def overloaded(self, tool: Tool, depth: float | None, kind: CutKind) -> str | None:
        """Why the cut is beyond the spindle's power or the tool's stiffness even at its slowest, or None."""
        deep = self.through if depth is None else depth
        steps = step_downs(deep, tool, material(self.stock.material), self.machine, kind)
        data = cutting_data(
            tool,
            material(self.stock.material),
            self.machine,
            depth=steps[0] if steps else deep,
            width=tool.cut_diameter,
            kind=kind,
        )
        if data.power_w > self.machine.spindle.power:
            return f"it needs {data.power_w:.0f} W of the spindle's {self.machine.spindle.power:g}"
        if data.deflection_mm > self.machine.cutting.deflection_max * 1.001:
            return f"it would bend {data.deflection_mm:.3f} mm"
        return None

    def time_s(self, tool: Tool, length: float, depth: float | None, kind: CutKind) -> float:
        """About how long a cut of `length` takes in all its passes down to `depth`."""
        deep = self.through if depth is None else depth
        steps = step_downs(deep, tool, material(self.stock.material), self.machine, kind)
        data = cutting_data(
            tool,
            material(self.stock.material),
            self.machine,
            depth=deep / max(len(steps), 1),
            width=tool.cut_diameter,
            kind=kind,
        )
        return 60.0 * length * max(len(steps), 1) / data.feed

    def drill_refused(self, tool: Tool) -> str | None:
        """Why a drill may not be used on this spindle, or None."""
        if drill_may_turn(tool, self.machine):
            return None
        return (
            f"turns at most {tool.rpm_max:g} rpm, the spindle no slower than {self.machine.spindle.rpm_min:g}"
        )
