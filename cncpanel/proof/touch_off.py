"""The spot where Z is set: the programs' heads name it, and no cut may take it away."""

import re
from collections.abc import Iterator, Sequence

import shapely

from cncpanel.machine.model import Machine
from cncpanel.proof.cuts import Cut, boxes
from cncpanel.proof.finding import Finding
from cncpanel.proof.footprint import Footprints

ROOM = 2.0  # mm; half of what a strip of paper or a gauge needs: common practice, no source
MM_PER_INCH = 25.4
_GAP = r"(?: |\)\s*\((?:MSG,)?)"  # also where a short line was broken
_SPOT = re.compile(  # no name in a program has an apostrophe: a panel "set at x100 y100" is no spot
    r"SHEET'S TOP, SET AT X(-?[\d.]+) Y(-?[\d.]+)".replace(" ", _GAP)
)


def touch_off_spots(text: str, machine: Machine) -> set[tuple[float, float]]:
    """The spots that a program's comments name (`THE SHEET'S TOP, SET AT X25 Y25`), mm."""
    scale = MM_PER_INCH if machine.dialect.unit == "inch" else 1.0
    return {(float(found[1]) * scale, float(found[2]) * scale) for found in _SPOT.finditer(text.upper())}


def touch_off_findings(spots: set[tuple[float, float]], cuts: Sequence[Cut]) -> Iterator[Finding]:
    """The first cut of each spot."""
    if not spots or not cuts:
        return
    tree = shapely.STRtree(shapely.box(*boxes(cuts).T))
    for x, y in sorted(spots):
        spot = shapely.buffer(shapely.Point(x, y), ROOM)
        near = [cuts[i] for i in sorted(tree.query(spot).tolist())]
        for cut in near:
            if any(shape.intersects(spot) for shape in Footprints().from_above([cut]).shapes):
                yield _finding(cut, x, y)
                break


def _finding(cut: Cut, x: float, y: float) -> Finding:
    return Finding(
        kind="touch-off-cut",
        severity="safety",
        text=f"the spot where Z is set, X{x:g} Y{y:g}, is cut away",
        program=cut.program,
        line=cut.move.line,
        x=x,
        y=y,
        z=None,
        measure=round(cut.deep, 4),
        limit=0.0,
    )
