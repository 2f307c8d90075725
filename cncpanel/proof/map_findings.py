"""What the height map shows against the target, told as findings: coarse cells first, finer ones where it matters."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import shapely

from cncpanel.proof.carved import Carved
from cncpanel.proof.compare_map import DEPTH, Cells, MapComparison, MapDifference
from cncpanel.proof.finding import Finding
from cncpanel.proof.finer import FINE, Box, Finer
from cncpanel.proof.heightmap import CELL
from cncpanel.proof.setup import Setup
from cncpanel.proof.target import Target

ROUND_IT = 3.0  # mm; looked at round a place that differs: as much as a cutter's radius
MOST_FINER = 100  # parts of a sheet that are cut anew; a sheet with more differences is wrong throughout


@dataclass(frozen=True, slots=True, kw_only=True)
class MapFindings:
    """Findings in the order of the target's parts; `excess` mm a cell, too deep (+) or left (-)."""

    findings: tuple[Finding, ...]
    excess: Cells
    gouge: float
    leftover: float


def map_findings(
    carved: Carved, target: Target, setup: Setup, told: Sequence[Finding], may_stay: shapely.Geometry
) -> MapFindings:
    """`told` are the exact comparison's: what they tell of the same line or floor is not told twice."""
    slack = setup.machine.dialect.blend_tolerance
    whole = MapComparison(carved.measured, target, slack=slack, may_stay=may_stay)
    look = _Look(Finer(carved, setup), target, slack, may_stay)
    found = [look.refined(one) for one in whole.differences()]
    known = {(one.kind, one.name) for one in found}
    found += [one for one in look.round_bottomed() if (one.kind, one.name) not in known]
    fresh = [finding for one in found if not _is_told(finding := _finding(one, carved, setup), one, told)]
    return MapFindings(
        findings=tuple(fresh),
        excess=whole.excess,
        gouge=max((one.amount for one in found if one.kind == "gouge"), default=0.0),
        leftover=max((one.amount for one in found if one.kind == "leftover"), default=0.0),
    )


@dataclass(slots=True)
class _Look:
    finer: Finer
    target: Target
    slack: float
    may_stay: shapely.Geometry
    looks: int = 0

    def refined(self, coarse: MapDifference) -> MapDifference:
        """The same difference at its worst place nearby."""
        x, y = coarse.x, coarse.y
        found = self.within((x - ROUND_IT, y - ROUND_IT, x + ROUND_IT, y + ROUND_IT))
        same = [one for one in found if (one.kind, one.name, one.move) == (coarse.kind, coarse.name, coarse.move)]
        worst = max(same, key=lambda one: one.amount, default=coarse)
        return replace(worst, area=coarse.area) if worst.amount > coarse.amount else coarse

    def round_bottomed(self) -> Iterator[MapDifference]:
        """What differs where tools cut whose bottoms no exact shape tells."""
        for floor in self.target.floors:
            if floor.kind not in ("hole", "mark") and floor.shape.intersects(self.finer.by_round_tools):
                left, low, right, high = floor.shape.bounds
                yield from self.within((left - CELL, low - CELL, right + CELL, high + CELL))

    def within(self, box: Box) -> list[MapDifference]:
        self.looks += 1
        if self.looks > MOST_FINER:
            return []
        measured, numbers = self.finer.within(box)
        part = _part(self.target, shapely.box(*box))
        found = MapComparison(measured, part, slack=self.slack, may_stay=self.may_stay).differences()
        return [replace(one, move=numbers[one.move] if one.move >= 0 else one.move) for one in found]


def _part(target: Target, box: shapely.Geometry) -> Target:
    """As much of the target as the box shows; a floor that is asked as a whole only where all of it lies inside."""
    floors = [
        floor
        for floor in target.floors
        if floor.shape.intersects(box) and (floor.kind not in ("hole", "mark") or box.covers(floor.shape))
    ]
    return replace(
        target,
        pieces=tuple(piece for piece in target.pieces if piece.shape.intersects(box)),
        floors=tuple(floors),
    )


def _is_told(finding: Finding, one: MapDifference, told: Sequence[Finding]) -> bool:
    if one.kind == "gouge":
        return any((f.kind, f.program, f.line) == ("gouge", finding.program, finding.line) for f in told)
    return any(f.kind == "leftover" and f.text.startswith(f"{one.name}: ") for f in told)


def _finding(one: MapDifference, carved: Carved, setup: Setup) -> Finding:
    placed = carved.moves[one.move] if one.move >= 0 else None
    words = "cut {:.2f} mm too deep" if one.kind == "gouge" else "{:.2f} mm of material left"
    depth = carved.measured.heights.depth_at(one.x, one.y)
    return Finding(
        kind=one.kind,
        severity="error",
        text=f"{one.name}: {words.format(one.amount)}, X{one.x:.2f} Y{one.y:.2f}, over {one.area:.1f} mm2",
        program=placed.program if placed else "",
        line=placed.move.line if placed else 0,
        x=round(one.x, 4),
        y=round(one.y, 4),
        z=round(setup.top - depth, 4),
        measure=round(one.amount, 4),
        limit=DEPTH,
    )


def tolerances(carved: Carved, touch: float) -> tuple[str, ...]:
    """What the comparison may miss, for whoever reads the report."""
    cell = carved.measured.heights.grid.cell
    under = f"what a disc takes under the face by exact shapes, within {touch:g} mm: pictures do not show it"
    return (
        f"walls and floors of straight-sided tools by exact shapes, within {touch:g} mm",
        f"depths of all tools at cells of {cell:.2g} mm, within {DEPTH:g} mm; at cells of {FINE:g} mm where something "
        "differs and where tools with round or sloping ends cut a floor",
        *((under,) if any(share.tool.undercuts for share in carved.shares) else ()),
    )
