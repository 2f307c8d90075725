"""The machine with one sheet on its table: where the heights lie in program coordinates."""

from dataclasses import dataclass

from cncpanel.machine.model import Machine
from cncpanel.machine.tool import Tool
from cncpanel.proof.control import Control
from cncpanel.proof.motion import Point3
from cncpanel.units import in_millimetres

KEEP_OFF_TABLE = 3.0  # mm of the spoilboard that no tool enters


@dataclass(frozen=True, slots=True)
class Setup:
    """`thickness` is the sheet's largest reading, mm.

    `origin` is the program's zero from the sheet's lower left corner at its top; None: as the machine file says.
    """

    machine: Machine
    thickness: float
    origin: Point3 | None = None

    @property
    def last_decimal(self) -> float:
        """What one count of the last decimal of the control's numbers is, mm: no place is written more finely."""
        dialect = self.machine.dialect
        return in_millimetres(dialect.unit) / 10.0**dialect.decimals

    @property
    def top(self) -> float:
        """Program Z of the sheet's top."""
        if self.origin is not None:
            return -self.origin[2]
        return self.thickness if self.machine.table.z_zero == "table" else 0.0

    @property
    def corner(self) -> tuple[float, float]:
        """Program X and Y of the sheet's lower left corner."""
        return (-self.origin[0], -self.origin[1]) if self.origin is not None else (0.0, 0.0)

    @property
    def work_zero(self) -> tuple[float, float]:
        """Machine X and Y of the program's zero."""
        x, y = self.corner
        return self.machine.table.zero_x - x, self.machine.table.zero_y - y

    @property
    def park(self) -> tuple[float, float]:
        """Program X and Y of the place where the tool waits for a person."""
        x, y = self.corner
        return self.machine.motion.park[0] + x, self.machine.motion.park[1] + y

    @property
    def spoilboard_top(self) -> float:
        """Program Z of the spoilboard's surface."""
        return self.top - self.thickness

    @property
    def lowest(self) -> float:
        """Program Z below which the table is in danger."""
        return self.spoilboard_top - (self.machine.table.spoilboard - KEEP_OFF_TABLE)

    @property
    def tools(self) -> dict[int, Tool]:
        """The rack by number."""
        return {tool.number: tool for tool in self.machine.tool}

    @property
    def control(self) -> Control:
        """What the reader is told: G53's highest Z is where a racked tool's tip is at the top of its travel."""
        machine, dialect = self.machine, self.machine.dialect
        zero_z = machine.motion.highest_z - (machine.travel.z[1] + self.spoilboard_top)
        system = int(dialect.work_offset[1:]) * 10 if dialect.work_offset else None
        return Control(
            machine_zero=(*self.work_zero, zero_z) if machine.motion.homes else None,
            work_system=system,
            path_p=" P" in dialect.path_words,
            lacks=frozenset(dialect.lacks),
            slots=max(self.tools, default=None),
            radii={number: tool.radius for number, tool in self.tools.items()},
        )
