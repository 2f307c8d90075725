"""A run: one uninterrupted stay of a tool in the material. Sheet frame, Z 0 at the sheet's top, mm and mm/min."""

from dataclasses import dataclass, field
from typing import Literal, Protocol

from cncpanel.geometry.point import Point
from cncpanel.geometry.segment import Bounds
from cncpanel.job.model import KeepOut, ScrewSettings
from cncpanel.machine.tool import Tool
from cncpanel.tooling.cut import Kind
from cncpanel.tooling.feeds import CuttingData

Nub = Literal["form", "seen", "mates", "nook"]
RunKind = Literal["screw", "mark", "recess", "hole", "opening", "outline", "edge", "skin"]


@dataclass(frozen=True, slots=True)
class Step:
    """A cutting move to (x, y, z): straight (bulge 0) or an arc in XY with Z changing evenly; feed in mm/min."""

    x: float
    y: float
    z: float
    feed: float
    bulge: float = 0.0


@dataclass(frozen=True, slots=True)
class Door:
    """A place where a closed pass may be entered: where the run would begin and end, seen from above.

    `lead`: the box of the tool's centre on a lead that leaves the kerf; None where none does.
    """

    start: Point
    end: Point
    lead: Bounds | None = None


class Entries(Protocol):
    """Other ways to cut one run."""

    @property
    def doors(self) -> tuple[Door, ...]:
        """Where else it may be entered."""

    def run(self, number: int) -> "Run":
        """The run that is entered by that door."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Run:
    """The tool comes down by rapid over `start` to `approach` (above material there), cuts `steps`, then lifts.

    `approach` is a height at which no material is: a little over the sheet's top, or over a floor already cleared
    by an earlier pass of the same run's operation or of one that is cut first. The first step leaves (start, approach).
    `entries`: where else the same cut may begin, None where it begins here only. `area`: of the part that an outline
    goes round, openings counted, mm2; 0 of other runs.
    """

    kind: RunKind
    part: str
    feature: str
    tool: Tool
    rpm: float
    start: Point
    approach: float
    steps: tuple[Step, ...]
    frees: bool = False
    area: float = 0.0
    entries: Entries | None = field(default=None, compare=False, repr=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class Tab:
    """A bridge left across a kerf: centre on the finished wall, `along` the wall's unit direction, sheet frame.

    Its material is at least `width` long along the wall; its top lies `top` (negative) below the sheet's top, so that
    the bridge is `height` high over the underside at the thinnest reading. It holds against `grip` N at its least
    section; the passes that free its piece push with `force` N. `nub`: what the nub that it leaves is in the way of: a
    rim's form, what is seen, another panel, or nothing else than that no hand reaches it in its nook; None of these.
    `flank_deg`: how steep its flanks fall away along the wall, beyond its width; None: they are upright. `beyond`: the
    part that it ends on, "" where that is scrap.
    """

    part: str
    feature: str
    centre: Point
    along: Point
    width: float
    top: float
    height: float
    grip: float = 0.0
    force: float = 0.0
    nub: Nub | None = None
    flank_deg: float | None = None
    beyond: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Freed:
    """A part while its outline is freed: N that the vacuum and the skin hold it with, and that the passes push with.

    `alone`: no tab of its own holds it, the vacuum does.
    """

    part: str
    feature: str
    vacuum: float
    skin: float
    force: float
    alone: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class CutUsed:
    """A kind of cut that the runs of a sheet make, at a depth a pass and a radial width, and its cutting data.

    `share`: what is used of its feed, less than all in inside bends.
    """

    tool: Tool
    kind: Kind
    depth: float
    width: float
    data: CuttingData
    share: float = 1.0


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetRuns:
    """All runs of one sheet, in no order yet, the tabs that hold its pieces, and the cutting data used.

    `screws`, all of the size `screw`, are driven at a stop after the runs that drill for them, in the sheet's frame.
    """

    sheet: int
    runs: tuple[Run, ...]
    tabs: tuple[Tab, ...]
    cuts: tuple[CutUsed, ...] = ()
    freed: tuple[Freed, ...] = ()
    screw: ScrewSettings | None = None
    screws: tuple[KeepOut, ...] = ()
