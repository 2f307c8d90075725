"""Which of two set-ups a sheet lies in that is cut from both faces: what it is turned about, how it comes back."""

from dataclasses import dataclass

from cncpanel.geometry.point import Point
from cncpanel.job.model import Axis, Registration


@dataclass(frozen=True, slots=True, kw_only=True)
class Side:
    """Set-up `number` of two; `axis` of the sheet's own that it is turned over about.

    `dowels` are their middles in this set-up's sheet frame, `dowel` their diameter, mm; none with an edge stop.
    """

    number: int
    axis: Axis
    by: Registration
    dowel: float
    dowels: tuple[Point, ...] = ()
