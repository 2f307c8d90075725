"""How a program speaks to its operator: names made plain, lengths in the machine's own unit, capitals."""

import re

from cncpanel.job.program_name import comment_name, program_name
from cncpanel.layout.layout import Sheet
from cncpanel.machine.model import Machine
from cncpanel.machine.tool import Tool
from cncpanel.units import in_millimetres


def plain_name(name: str) -> str:
    """A name as A-Z 0-9 - _ and space, numbers as written: accents dropped, the rest a dash, never a leading MSG."""
    return comment_name(name) or "-"


def sheet_stem(job: str, sheet: Sheet) -> str:
    """How a sheet's programs begin: `cabinet-sheet2`, `cabinet-sheet2-side1`."""
    side = f"-side{sheet.side.number}" if sheet.side else ""
    return f"{file_stem(job)}-sheet{sheet.number}{side}"


def file_stem(name: str) -> str:
    """A name as part of a file's: a-z 0-9 and single dashes."""
    return re.sub(r"[^a-z0-9]+", "-", program_name(name).lower()).strip("-") or "job"


def said(length: float, machine: Machine) -> str:
    """A length with its unit as the machine reads it: `6.35 MM`, `0.25 IN`."""
    inch = machine.dialect.unit == "inch"
    number = f"{length / in_millimetres('inch'):.3f}" if inch else f"{length:.2f}"
    return f"{_trimmed(number)} {'IN' if inch else 'MM'}"


def said_plainly(length: float, machine: Machine) -> str:
    """The same without its unit."""
    return said(length, machine).split()[0]


def _trimmed(number: str) -> str:
    short = number.rstrip("0").rstrip(".")
    return "0" if short in ("-0", "") else short


def said_tool(tool: Tool, machine: Machine) -> tuple[str, str]:
    """What an operator checks of a tool: number and name; diameter as measured and length out of the nut."""
    measured = tool.measured_diameter
    diameter = f"MEASURED {said(measured, machine)}" if measured else "NOT MEASURED"
    sizes = f"DIAMETER {said(tool.diameter, machine)} {diameter}, STICK-OUT {said(tool.stick_out, machine)}"
    return f"T{tool.number} {plain_name(tool.name)}", sizes


def said_form(tool: Tool, machine: Machine) -> tuple[str, ...]:
    """What an operator checks of a tool with a form: a round-over's radius and small end, a v-bit's angle."""
    if tool.kind == "round-over":
        small = said(2 * (tool.tip_radius or 0.0), machine)
        under = f", {said(tool.under_curve, machine)} UNDER ITS CURVE" if tool.under_curve else ""
        return (f"T{tool.number} RADIUS {said(tool.profile_radius or 0.0, machine)}, SMALL END {small}{under}",)
    if tool.kind == "v-bit":
        blunt = f", POINT {said(2 * tool.tip_radius, machine)} BLUNT" if tool.tip_radius else ""
        return (f"T{tool.number} POINT {tool.tip_angle_deg:g} DEGREES{blunt}",)
    return ()


def control_words(machine: Machine) -> tuple[str, ...]:
    """What the programs expect of the control: work offset, unit of dwells, who changes tools."""
    dialect = machine.dialect
    offset = dialect.work_offset or "the offset in force"
    zero = f"{offset} with the zero in G92" if dialect.zero_in_g92 else offset
    lengths = " with length offsets" if dialect.length_offsets else ""
    changes = {
        "changer": f"tools by the changer{lengths}",
        "stop": "tools by hand at stops",
        "file": "one tool a program",
    }
    unit = "milliseconds" if dialect.dwell_unit == "ms" else "seconds"
    return f"work offset {zero}", f"dwells in {unit}", changes[dialect.tool_change]
