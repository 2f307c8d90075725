"""What the programs of one sheet share: machine, sheet, and the heights and places that follow."""

from dataclasses import dataclass
from math import isclose

from cncpanel.geometry.point import Point
from cncpanel.job.model import JobHead
from cncpanel.layout.layout import Sheet
from cncpanel.machine.model import Machine
from cncpanel.sequence.frame import clearance_height, top_of_sheet

SAME_PLACE = 1e-6  # mm


@dataclass(frozen=True, slots=True, kw_only=True)
class Setting:
    """One sheet on its machine.

    `sheets` counts the job's, None where it is not told; `spot` is where Z may be set. `zero` is the programs' zero
    from the sheet's lower left corner at its top, mm in program axes; None: the corner, as the machine file says.
    """

    sheet: Sheet
    machine: Machine
    job: JobHead
    sheets: int | None
    spot: Point | None
    zero: tuple[float, float, float] | None = None

    @property
    def top(self) -> float:
        """Program Z of the sheet's top at its thickest reading."""
        return top_of_sheet(self.sheet.stock, self.machine) if self.zero is None else 0.0 - self.zero[2]

    @property
    def is_zeroed_at_table(self) -> bool:
        """Whether Z zero is the spoilboard's surface."""
        return isclose(self.top, self.sheet.stock.thickest, abs_tol=SAME_PLACE)

    @property
    def corner(self) -> Point:
        """Program X and Y of the sheet's lower left corner."""
        return Point(0.0, 0.0) if self.zero is None else Point(0.0 - self.zero[0], 0.0 - self.zero[1])

    @property
    def clearance(self) -> float:
        """Program Z for every move above the table."""
        over_sheet = clearance_height(self.sheet.stock, self.machine) - top_of_sheet(self.sheet.stock, self.machine)
        return self.top + over_sheet

    @property
    def park(self) -> Point:
        """Where the tool waits for a person."""
        x, y = self.machine.motion.park
        return Point(x + self.corner.x, y + self.corner.y)
