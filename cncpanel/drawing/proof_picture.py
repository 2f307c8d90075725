"""What the picture of a proof shows, as plain values: sheets, their programs' moves, depths, outlines and findings.

Everything is in program coordinates, mm and mm/min, seconds; depths count down from the sheet's top.
"""

from dataclasses import dataclass
from enum import IntEnum

import numpy as np
import numpy.typing as npt

from cncpanel.proof.finding import Finding

Floats = npt.NDArray[np.float64]
Whole = npt.NDArray[np.int64]
MOST_CELLS = 4_000_000  # of a shown map: a full sheet at 1 mm, and a quarter of what a browser's canvas may hold


class Step(IntEnum):
    """How the tool gets to a track's next place."""

    RAPID = 0
    FEED = 1
    ARC = 2
    JUMP = 3  # from an unknown place, or an offset changed: no way is drawn


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Track:
    """A program's moves as columns of one length; each step begins where the one before ended.

    `line` is the program's, from 1. `centre_x`, `centre_y` and `sweep` (radians, counter-clockwise positive) mean
    something for arcs only. `rpm` is 0 while the spindle stands.
    """

    x: Floats
    y: Floats
    z: Floats
    step: Whole
    tool: Whole
    line: Whole
    feed: Floats
    rpm: Floats
    seconds: Floats
    centre_x: Floats
    centre_y: Floats
    sweep: Floats


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class ProgramPicture:
    """A program: its text as the control ends its lines, and what it does."""

    name: str
    lines: tuple[str, ...]
    track: Track


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class DepthMap:
    """Depths at the middles of square cells: rows along Y, columns along X, `origin` the lowest corner."""

    depth: npt.NDArray[np.floating]
    cell: float
    origin: tuple[float, float] = (0.0, 0.0)

    def reduced(self, most: int = MOST_CELLS) -> "DepthMap":
        """The same in as few as `most` cells; each shows what is furthest from 0 in it, so that no cut is lost."""
        rows, columns = self.depth.shape
        times = 1
        while -(-rows // times) * -(-columns // times) > most:
            times += 1
        if times == 1:
            return self
        whole = np.pad(self.depth, [(0, -rows % times), (0, -columns % times)], mode="edge")
        blocks = whole.reshape(whole.shape[0] // times, times, whole.shape[1] // times, times)
        high, low = blocks.max(axis=(1, 3)), blocks.min(axis=(1, 3))
        return DepthMap(depth=np.where(high >= -low, high, low), cell=self.cell * times, origin=self.origin)


@dataclass(frozen=True, slots=True, kw_only=True)
class Outline:
    """A closed line of the wanted shape: of a "piece", a "recess", "through", a "hole", a "mark" or a "tab"."""

    kind: str
    name: str
    points: tuple[tuple[float, float], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class ShownTool:
    """What the picture needs of a tool."""

    number: int
    name: str
    diameter: float
    flutes: int


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class SheetPicture:
    """One sheet. `corner` is its lower left one, `top` program Z of its top; `inches`: what its control shows.

    `excess` is what was cut too deep (+) or left (-), mm, where judged.
    """

    name: str
    size: tuple[float, float]
    thickness: float
    top: float
    verdict: str
    findings: tuple[Finding, ...]
    dropped: int
    tools: tuple[ShownTool, ...]
    programs: tuple[ProgramPicture, ...]
    outlines: tuple[Outline, ...]
    depth: DepthMap
    excess: DepthMap | None = None
    corner: tuple[float, float] = (0.0, 0.0)
    inches: bool = False


@dataclass(frozen=True, slots=True, eq=False)
class ProofPicture:
    """Everything that one page shows: at least one sheet with a program; `title` names the job or the programs."""

    title: str
    sheets: tuple[SheetPicture, ...]
