"""The reader's modal state: the only thing in the witness that changes while a program is read."""

from dataclasses import dataclass, field
from math import nan

from cncpanel.proof.motion import Point3

Pair = tuple[float, float]

UNKNOWN: Point3 = (nan, nan, nan)
PREAMBLE = ("units", "plane", "distance", "feed mode")  # to be stated before the first motion (checklist P6)


@dataclass(slots=True)
class Modes:
    """What is in force. Positions are base coordinates (the first work system, without G92), mm."""

    position: Point3 = UNKNOWN
    zero: Point3 = (0.0, 0.0, 0.0)  # the work system's, base coordinates
    systems: dict[int, Point3] = field(default_factory=dict)  # zeros that are known, by code times ten
    shift: Point3 = (0.0, 0.0, 0.0)  # G92: base = programmed + shift + zero
    kept_shift: Point3 = (0.0, 0.0, 0.0)  # for G92.3
    motion: int | None = None
    plane: str = "xy"
    incremental: bool = False
    inverse_time: bool = False
    inch: bool = False
    feed: float = 0.0  # as written: units a minute, or 1/min with G93
    rpm: float = 0.0
    turn: int = 0  # the spindle's: 1 clockwise, -1 the other way, 0 while it stands
    tool: int = 0
    selected: int = 0
    length_offset: int = 0
    work_system: int | None = None
    base: int | None = None  # the system whose zero is base coordinates' own
    to_old_z: bool = True  # G98
    cycle: int | None = None
    sticky: dict[str, float] = field(default_factory=dict)
    stated: set[str] = field(default_factory=set)
    moved: bool = False
    compensated: bool = False  # cutter radius compensation
    side: int = 0  # its: 1 left of the way, -1 right
    side_radius: float = nan  # its radius, mm
    heading: Pair | None = None  # of the compensated way, a unit vector; None before its first move
    parameters: dict[int, float] = field(default_factory=dict)

    @property
    def spindle_on(self) -> bool:
        """Whether the spindle turns."""
        return self.turn != 0

    @property
    def scale(self) -> float:
        """mm of one programmed unit."""
        return 25.4 if self.inch else 1.0
