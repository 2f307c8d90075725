"""How deep one step of a tool may go, and which rule says so."""

from dataclasses import dataclass

from cncpanel.machine.model import Machine
from cncpanel.machine.tool import Tool
from cncpanel.tooling.cut import Kind
from cncpanel.tooling.materials import Material

ACRYLIC = 0.5  # tool diameters, so that chips come out before they melt: common practice, no source
DOWN_CUT = 1.0  # tool diameters, for it packs its chips; a magazine's rule (WOOD, Oct. 2019, p. 59)
FINISH = 4.0  # tool diameters in one light pass; longer flutes are advised against (cncrouterbits.com.au)
MARK = 1.5  # mm, a v-bit's point: common practice, no source


@dataclass(frozen=True, slots=True)
class StepLimit:
    """Deepest step, mm, and its rule with its source."""

    depth: float
    rule: str


def step_limit(tool: Tool, material: Material, machine: Machine, kind: Kind) -> StepLimit:
    """The strictest of the rules that bear on this tool, material and kind of cut."""
    return min(_limits(tool, material, machine, kind), key=lambda limit: limit.depth)


def _limits(tool: Tool, material: Material, machine: Machine, kind: Kind) -> list[StepLimit]:
    found = [StepLimit(tool.cutting_length, "the tool's flutes")]
    if kind == "drill":
        return found
    if kind == "mark" and tool.kind == "v-bit":
        return [*found, StepLimit(MARK, "a v-bit's point, common practice")]
    if kind == "finish":
        return [*found, StepLimit(FINISH * tool.diameter, "4 x D in a light pass, a cutter seller's advice")]
    factor = machine.cutting.step_down_max
    found.append(StepLimit(factor * tool.diameter, f"{factor:g} x D, the machine file's step_down_max"))
    if tool.kind == "down-cut":
        found.append(StepLimit(DOWN_CUT * tool.diameter, "1 x D for a down-cut, a magazine's rule"))
    if material.name == "acrylic":
        found.append(StepLimit(ACRYLIC * tool.diameter, "0.5 x D in acrylic, common practice"))
    return found
