"""What the programs of one sheet share: machine, sheet, and the heights and places that follow."""

from dataclasses import dataclass

from cncpanel.geometry.point import Point
from cncpanel.job.model import JobHead
from cncpanel.layout.layout import Sheet
from cncpanel.machine.model import Machine
from cncpanel.sequence.frame import clearance_height


@dataclass(frozen=True, slots=True, kw_only=True)
class Setting:
    """One sheet on its machine.

    `sheets` counts the job's, None where it is not told; `spot` is where Z may be set.
    """

    sheet: Sheet
    machine: Machine
    job: JobHead
    sheets: int | None
    spot: Point | None

    @property
    def clearance(self) -> float:
        """Program Z for every move above the table."""
        return clearance_height(self.sheet.stock, self.machine)

    @property
    def park(self) -> Point:
        """Where the tool waits for a person."""
        return Point(*self.machine.motion.park)
