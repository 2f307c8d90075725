"""What tool and spindle may be asked in a job's material: the tables' figures, and what the passes were given."""

from collections.abc import Sequence

from cncpanel.machine.model import Machine
from cncpanel.machine.tool import Tool
from cncpanel.passes.run import CutUsed
from cncpanel.proof.load import Allowed, CuttingLimits
from cncpanel.tooling.cut import Cut, Kind
from cncpanel.tooling.materials import MATERIALS, Material


def cutting_limits(material: str, machine: Machine, cuts: Sequence[CutUsed]) -> CuttingLimits:
    """The limits in a stock's material."""
    stuff = MATERIALS[material]
    return CuttingLimits(
        specific_force=stuff.cutting_force,
        chip_most={tool.number: _thickest(tool, stuff, machine) for tool in machine.tool},
        allowed=tuple(_allowed(cut, stuff, machine) for cut in cuts),
    )


def _thickest(tool: Tool, material: Material, machine: Machine) -> float:
    """The high end of the table, at a depth that it does not derate."""
    kind: Kind = "drill" if tool.kind == "drill" else "slot"
    cut = Cut(tool=tool, material=material, machine=machine, depth=tool.diameter, width=tool.cut_diameter, kind=kind)
    return cut.load.high


def _allowed(used: CutUsed, material: Material, machine: Machine) -> Allowed:
    cut = Cut(tool=used.tool, material=material, machine=machine, depth=used.depth, width=used.width, kind=used.kind)
    return Allowed(tool=used.tool.number, feed=used.data.feed, section=cut.section)
