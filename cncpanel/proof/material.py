"""Moves that must not meet material: rapids, and tools going straight down that cannot; judged on what is left then."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from math import isnan

import numpy as np
import numpy.typing as npt
import shapely

from cncpanel.machine.tool import Tool
from cncpanel.proof.cuts import SAME, Cut, boxes, ceilings
from cncpanel.proof.finding import Finding, Severity, finding_at_end
from cncpanel.proof.footprint import Footprints
from cncpanel.proof.motion import Move
from cncpanel.proof.profile import radius_at, tip_height
from cncpanel.proof.setup import Setup
from cncpanel.proof.sweep import capsules, discs, extent, ring_sector, straightened

Numbers = npt.NDArray[np.int64]

THIN = 0.02  # mm; less than this on a rapid's way is the rounding of walls already cut
SLIGHT, SHORT = 2.5, 20.0  # counts of the last decimal, down and across: what rounding may bend by half and more
STEEP = 0.37  # rise to run: 20 degrees, the steepest ramp that a machine file may state


@dataclass(frozen=True, slots=True)
class Placed:
    """A move with the program it belongs to and how many cuts came before it on this sheet."""

    program: str
    move: Move
    before: int


class Stock:
    """The sheet as the programs leave it, move by move: asked what is gone at a place, a depth and a time."""

    def __init__(self, sheet: shapely.Geometry, cuts: Sequence[Cut]) -> None:
        """All cuts of all programs of the sheet, in order."""
        self._sheet, self._cuts = sheet, cuts
        self._covered = Footprints().covered

    @cached_property
    def _tree(self) -> shapely.STRtree | None:
        """Of every cut's box; most sheets are never asked."""
        return shapely.STRtree(shapely.box(*boxes(self._cuts).T)) if len(self._cuts) else None

    @cached_property
    def _deep(self) -> "np.ndarray[tuple[int], np.dtype[np.float64]]":
        return np.array([cut.deep for cut in self._cuts])

    @cached_property
    def _undercuts(self) -> "np.ndarray[tuple[int], np.dtype[np.bool_]]":
        return np.array([cut.tool.undercuts for cut in self._cuts], dtype=np.bool_)

    def left_in(self, area: shapely.Geometry, depth: float, before: int, above: float = 0.0) -> shapely.Geometry:
        """What material of `area` is still there between the depths `above` and `depth` before cut number `before`."""
        whole = shapely.intersection(area, self._sheet)
        if whole.is_empty or self._tree is None:
            return whole
        near = np.sort(self._tree.query(area))
        near = near[near < before]
        under = ceilings((self._cuts[i] for i in near[self._undercuts[near]]), depth, above)
        left = [self._left_at(whole, level, near) for level in (depth, *under)]
        return left[0] if len(left) == 1 else shapely.union_all(left)

    def _left_at(self, whole: shapely.Geometry, depth: float, near: Numbers) -> shapely.Geometry:
        gone = self._covered([self._cuts[i] for i in near[self._deep[near] >= depth - SAME]], depth).shapes
        return shapely.difference(whole, shapely.union_all(gone)) if gone else whole


def material_findings(moves: Sequence[Placed], stock: Stock, setup: Setup) -> Iterator[Finding]:
    """Rapids and plunges through what is left."""
    slope = _Slope(setup.last_decimal)
    for placed in moves:
        goes_down = slope.goes_down(placed.move)
        low = min(placed.move.start[2], placed.move.end[2])
        if isnan(low):
            low = placed.move.end[2]
        if not low < setup.top - SAME:
            continue
        if placed.move.kind == "rapid":
            yield from _rapid(placed, stock, setup, low)
        elif goes_down:
            yield from _plunge(placed, stock, setup)


@dataclass(slots=True)
class _Slope:
    """Whether moves go down more steeply than any ramp.

    Where one goes no farther than the numbers are coarse, rounding alone may make it steep: those that follow each
    other are judged together, their ends out by one count of the last decimal.
    """

    count: float
    drop: float = 0.0
    across: float = 0.0

    def goes_down(self, move: Move) -> bool:
        """Of this move, with the short ones before it."""
        drop, across = move.start[2] - move.end[2], move.across
        if move.kind == "rapid" or not (0 <= drop <= SLIGHT * self.count and across < SHORT * self.count):
            self.drop = self.across = 0.0
            return drop > SAME and drop > STEEP * across
        self.drop, self.across = self.drop + drop, self.across + across
        return drop > SAME and self.drop - self.count > STEEP * self.across


def _rapid(placed: Placed, stock: Stock, setup: Setup, low: float) -> Iterator[Finding]:
    move = placed.move
    tool = setup.tools.get(move.tool)
    if any(map(isnan, move.start + move.end)):
        yield _finding("rapid-unknown", placed, "a rapid below the sheet's top from a place that is not known")
        return
    tip = setup.top - low
    depth = max(tip - (tip_height(tool) if tool else 0.0), 0.0)
    radius = radius_at(tool, tip - depth) if tool else 0.0
    area = _swept(move, radius, setup.machine.motion.rapid_path == "dog-leg")
    above = _disc_top(placed, tool, setup)
    left = stock.left_in(shapely.buffer(area, -THIN), depth, placed.before, above)
    if not left.is_empty:
        at = left.representative_point()
        yield _finding(
            "rapid-in-material",
            placed,
            f"a rapid through material at X{at.x:.2f} Y{at.y:.2f}",
            setup.top - low,
        )


def _disc_top(placed: Placed, tool: Tool | None, setup: Setup) -> float:
    """The depth over which an undercutting tool is thinner all along the move; what its neck meets is told apart."""
    if tool is None or not tool.undercuts:
        return 0.0
    highest = max(placed.move.start[2], placed.move.end[2])
    return max(setup.top - highest - tool.cutting_length, 0.0)


def _swept(move: Move, radius: float, dog_leg: bool) -> shapely.Geometry:
    if move.is_vertical:
        return discs([move.start[:2]], radius)[0]
    if dog_leg:
        box = shapely.box(*extent(move))
        return shapely.buffer(box, radius)
    return capsules([(move.start[:2], move.end[:2])], radius)[0]


def _plunge(placed: Placed, stock: Stock, setup: Setup) -> Iterator[Finding]:
    """A flat tool straight down: it must find nothing below it, unless its end cuts over the centre."""
    move = placed.move
    tool = setup.tools.get(move.tool)
    if tool is None or tool.kind in ("drill", "v-bit") or any(map(isnan, move.start + move.end)):
        return
    end = radius_at(tool, 0.0) if tool.kind == "round-over" else tool.radius  # its flank cuts on the way down
    area = shapely.union_all([footprint(piece, end) for piece in straightened(move)])
    above = _disc_top(placed, tool, setup)
    left = stock.left_in(shapely.buffer(area, -THIN), setup.top - move.end[2], placed.before, above)
    if left.is_empty:
        return
    if tool.plunges:
        text = f"T{tool.number} goes straight down into material (its end cuts over the centre)"
        yield _finding("flat-plunge", placed, text, setup.top - move.end[2], remark=True)
    else:
        text = f"T{tool.number} goes straight down into material, which its end cannot cut"
        yield _finding("plunge", placed, text, setup.top - move.end[2])


def footprint(move: Move, radius: float) -> shapely.Geometry:
    """What a disc covers along the move, seen from above."""
    if move.centre is None:
        return _swept(move, radius, dog_leg=False)
    begin = float(np.arctan2(move.start[1] - move.centre[1], move.start[0] - move.centre[0]))
    sector = ring_sector(move.centre[:2], begin, move.turn * move.sweep, move.radius, radius)
    return shapely.union_all([sector, *discs([move.start[:2], move.end[:2]], radius)])


def _finding(kind: str, placed: Placed, text: str, depth: float | None = None, remark: bool = False) -> Finding:
    severity: Severity = "remark" if remark else "safety"
    return finding_at_end(placed.move, kind, text, program=placed.program, severity=severity, measure=depth)
