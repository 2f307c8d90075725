"""The sheet cut on the height map in the order of the programs: what each move takes, and who lowered each cell."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby
from math import isnan, sqrt

import shapely

from cncpanel.machine.tool import Tool
from cncpanel.proof.finding import Finding
from cncpanel.proof.heightmap import CELL, HeightMap
from cncpanel.proof.material import Placed
from cncpanel.proof.removal import MeasuredMap, Removal
from cncpanel.proof.setup import Setup
from cncpanel.proof.tool_form import form_of
from cncpanel.proof.undercut import undercut_findings

MOST_CELLS = 30_000_000  # of a map, 240 MB with its writers; larger sheets get coarser cells


@dataclass(frozen=True, slots=True)
class Share:
    """Moves of one tool, one after another, and what they took."""

    tool: Tool
    moves: tuple[Placed, ...]
    taken: Removal


@dataclass(frozen=True, slots=True, kw_only=True)
class Carved:
    """`measured` tells the number of the move that lowered a cell last; `moves` are all that cut, by that number.

    `findings` are moves of undercutting tools that would tear what stands over them.
    """

    measured: MeasuredMap
    moves: tuple[Placed, ...]
    shares: tuple[Share, ...]
    findings: tuple[Finding, ...]


def carved(moves: Sequence[Placed], sheet: shapely.Geometry, setup: Setup) -> Carved:
    """Cut the sheet anew; moves from places, or with tools, that are not known take nothing."""
    measured = MeasuredMap(_blank(sheet, setup))
    cutting: list[Placed] = []
    shares: list[Share] = []
    findings: list[Finding] = []
    known = [p for p in moves if p.move.tool in setup.tools and not any(map(isnan, p.move.start + p.move.end))]
    for (number, program), some in groupby(known, key=lambda placed: (placed.move.tool, placed.program)):
        tool, of_tool = setup.tools[number], list(some)
        findings += (finding.of_program(program) for finding in _torn(of_tool, tool, measured.heights))
        share = tuple(placed for placed in of_tool if placed.move.kind != "rapid")
        taken = measured.remove([placed.move for placed in share], tool, first=len(cutting))
        shares.append(Share(tool, share, taken))
        cutting += share
    return Carved(measured=measured, moves=tuple(cutting), shares=tuple(shares), findings=tuple(findings))


def _blank(sheet: shapely.Geometry, setup: Setup) -> HeightMap:
    left, low, right, high = sheet.bounds
    size = right - left, high - low
    cell = max(CELL, sqrt(size[0] * size[1] / MOST_CELLS))
    return HeightMap(size, setup.thickness, cell, origin=(left, low), top=setup.top)


def _torn(moves: Sequence[Placed], tool: Tool, heights: HeightMap) -> Iterator[Finding]:
    """On a copy of the map, which is lowered move by move."""
    form = form_of(tool)
    if form.undercuts:
        yield from undercut_findings([placed.move for placed in moves], form, heights.copied())
