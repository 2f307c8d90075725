"""What is known of the table, the zero and the holding when programs are judged; what is not is not judged."""

from dataclasses import dataclass, replace

from cncpanel.proof.load import CuttingLimits
from cncpanel.proof.motion import Point3
from cncpanel.proof.obstacle import Obstacle


@dataclass(frozen=True, slots=True, order=True)
class NotJudged:
    """Something that could not be judged, and why. `safety`: nothing passes while it is open."""

    what: str
    why: str
    safety: bool

    def __str__(self) -> str:
        """`not judged: what: why`."""
        return f"not judged: {self.what}: {self.why}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Circumstances:
    """`origin` is the program's zero from the sheet's lower left corner at its top, mm in program axes.

    Without it the zero is where the machine file says. `holding` lies in program axes from the same corner.
    `used` is where the sheet was cut away before, `flaws` what no part may hold; both in the target's axes.
    `limits` are those of the sheet's material; without them load and power are not told. `not_judged` is what the
    caller could not find out.
    """

    origin: Point3 | None = None
    holding: tuple[Obstacle, ...] = ()
    used: tuple[Obstacle, ...] = ()
    flaws: tuple[Obstacle, ...] = ()
    limits: CuttingLimits | None = None
    not_judged: tuple[NotJudged, ...] = ()

    @property
    def screwed_down(self) -> "Circumstances":
        """The same with every screw driven already."""
        return replace(self, holding=tuple(replace(held, driven=False) for held in self.holding))


AS_THE_MACHINE_SAYS = Circumstances()
