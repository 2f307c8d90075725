"""What the reader must know of the control; the rest of the machine is none of its business."""

from collections.abc import Mapping
from dataclasses import dataclass, field

from cncpanel.proof.motion import Point3


@dataclass(frozen=True, slots=True, kw_only=True)
class Control:
    """Where the zero lies and how words are read.

    `machine_zero`: machine coordinates of the work zero, for G53 (None: not known). `work_system`: the code
    times ten whose zero that is (None: whichever the program names first). `path_p`: G64 takes P here.
    `lacks`: words of the language that it does not read. `slots`: the highest number that the rack has (None: not
    known); `radii`: what each tool's radius is, mm.
    """

    machine_zero: Point3 | None = None
    work_system: int | None = None
    path_p: bool = False
    lacks: frozenset[str] = frozenset()
    slots: int | None = None
    radii: Mapping[int, float] = field(default_factory=dict)
